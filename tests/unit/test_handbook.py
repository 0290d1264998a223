"""The handbook: every figure in range, with a source, and lives as the trade expects them."""

from __future__ import annotations

import pickle
from dataclasses import fields
from importlib.resources import files

import pytest
import yaml

from linesim.cutting.life import extended_taylor_life_min, wear_growth
from linesim.handbook import (
    FAMILIES,
    STRENGTHS,
    Grade,
    HandbookError,
    abrasives,
    grade_for,
    grades,
    machine_stiffness,
    materials,
    moduli,
)
from linesim.handbook.entries import Entry
from linesim.handbook.reader import _entry

EVERYTHING: list[Entry] = [
    *materials().values(),
    *grades().values(),
    *abrasives().values(),
    *machine_stiffness().values(),
    *moduli().values(),
]


def figures(entry: Entry) -> dict[str, float]:
    """Fields of an entry that are numbers."""
    values = {field.name: getattr(entry, field.name) for field in fields(entry)}
    return {name: value for name, value in values.items() if isinstance(value, float)}


@pytest.mark.parametrize("entry", EVERYTHING, ids=lambda entry: f"{type(entry).__name__}-{entry.name}")
def test_every_figure_has_a_source_and_its_strength(entry: Entry) -> None:
    """No figure without, no source without a figure."""
    assert set(entry.sources) == set(entry.strengths) == set(figures(entry))
    assert all(len(text) > 20 for text in entry.sources.values())
    assert set(entry.strengths.values()) <= set(STRENGTHS)


@pytest.mark.parametrize("entry", EVERYTHING, ids=lambda entry: f"{type(entry).__name__}-{entry.name}")
def test_every_figure_is_positive_and_entries_travel_between_processes(entry: Entry) -> None:
    """All figures above 0, but that nothing is torn where there is no graphite; a worker gets the same entry."""
    assert all(value > 0.0 or name.startswith("torn") for name, value in figures(entry).items())
    assert all(value >= 0.0 for value in figures(entry).values())
    assert pickle.loads(pickle.dumps(entry)) == entry


def test_the_names_that_scenarios_use_are_there() -> None:
    """Materials, grades and abrasives."""
    assert {"EN-GJL-200", "EN-GJL-250", "EN-GJS-600", "C45", "AlSi10"} <= set(materials())
    names = {"carbide", "coated carbide", "high-speed steel", "ceramic", "cubic boron nitride"}
    assert {grade for grade, _ in grades()} == names
    assert set(abrasives()) == {"honing stone 220", "honing stone 400", "vitrified wheel 60"}
    assert {material.family for material in materials().values()} == set(FAMILIES)
    assert {family for _, family in grades()} <= set(FAMILIES)


def test_every_grade_cuts_grey_iron_and_carbide_cuts_everything() -> None:
    """So that a scenario for any material can be written."""
    assert all((grade, "grey iron") in grades() for grade, _ in grades())
    assert all((grade, family) in grades() for grade in ("carbide", "coated carbide") for family in FAMILIES)


def life_min(grade: Grade, speed_m_min: float) -> float:
    """Life at a speed, at the grade's own feed and depth, in sound metal."""
    reference = (grade.ref_life_min, grade.ref_speed_m_min, grade.ref_feed_mm, grade.ref_depth_mm)
    return extended_taylor_life_min(
        speed_m_min, grade.ref_feed_mm, grade.ref_depth_mm, *reference, grade.n, grade.p, grade.q, 1.0
    )


@pytest.mark.parametrize(("grade", "slow", "fast"), [("carbide", 95.0, 130.0), ("coated carbide", 155.0, 210.0)])
def test_carbide_lives_on_grey_iron_are_those_of_the_trade(grade: str, slow: float, fast: float) -> None:
    """15-60 min between 90 and 220 m/min, with C of 200-450 m/min and n of 0.20-0.30; common practice, no source."""
    entry = grade_for(grade, "EN-GJL-250")
    assert 15.0 < life_min(entry, fast) < life_min(entry, slow) < 60.0
    constant = entry.ref_speed_m_min * entry.ref_life_min**entry.n
    assert 200.0 < constant < 450.0
    assert 0.20 <= entry.n <= 0.30


def test_grades_rank_by_speed_as_they_do_in_the_shop() -> None:
    """High-speed steel, carbide, coated carbide, ceramic, boron nitride; common practice, no source."""
    order = ("high-speed steel", "carbide", "coated carbide", "ceramic", "cubic boron nitride")
    speeds = [grade_for(name, "EN-GJL-250").ref_speed_m_min for name in order]
    assert speeds == sorted(speeds)


@pytest.mark.parametrize("grade", list(grades().values()), ids=lambda grade: f"{grade.name}-{grade.family}")
def test_grades_obey_the_laws_they_feed(grade: Grade) -> None:
    """Speed acts before feed and feed at least as depth; the curve starts at 0 and ends at 1; shares are shares."""
    assert 1.0 / grade.n > grade.p >= grade.q
    assert wear_growth(1.0, grade.wear_b, grade.wear_tau, grade.wear_gamma) == pytest.approx(1.0)
    assert grade.wear_b < 1.0
    assert 0.0 < grade.skin_factor <= 1.0
    assert grade.break_scale > 1.0
    assert grade.break_shape > 1.0
    assert 0.1 <= grade.life_cv <= 0.5


@pytest.mark.parametrize("grade", list(grades().values()), ids=lambda grade: f"{grade.name}-{grade.family}")
def test_the_skin_costs_life_as_a_speed_factor_of_0_85(grade: Grade) -> None:
    """Kosilova and Meshcheryakov (from memory), 0.85**(1/n); permanent-mould aluminium has no such skin."""
    if grade.family == "cast aluminium":
        assert grade.skin_factor == 1.0
    else:
        assert grade.skin_factor == pytest.approx(0.85 ** (1.0 / grade.n), abs=0.02)


def test_typical_stiffness_lies_in_its_range() -> None:
    """Low, value, high."""
    assert all(entry.low <= entry.value <= entry.high for entry in machine_stiffness().values())


def test_an_unknown_material_is_named_with_those_that_are_known() -> None:
    """Whole text."""
    expected = '"EN-GJL-999" is not a material of the handbook; one of these was expected: ' + ", ".join(materials())
    with pytest.raises(HandbookError) as caught:
        grade_for("carbide", "EN-GJL-999")
    assert str(caught.value) == f"{expected}."


def test_a_grade_unfit_for_a_material_is_named_with_those_that_are() -> None:
    """Boron nitride does not cut aluminium."""
    with pytest.raises(HandbookError) as caught:
        grade_for("cubic boron nitride", "AlSi10")
    assert str(caught.value) == (
        '"cubic boron nitride" has no figures for cast aluminium (AlSi10); '
        "one of these was expected: carbide, coated carbide, high-speed steel."
    )


def test_a_figure_without_a_listed_source_is_refused() -> None:
    """And an entry with an item missing."""
    items = {name: [1.0, "a"] for name in ("value", "low", "high")}
    sources = {"a": {"text": "a book", "strength": "read"}}
    kind = type(machine_stiffness()["milling machine"])
    assert _entry(kind, "x", items, sources).value == 1.0
    with pytest.raises(HandbookError, match=r'handbook entry "x": no such source: b\. List it under sources\.'):
        _entry(kind, "x", {**items, "low": [1.0, "b"]}, sources)
    with pytest.raises(HandbookError, match=r'handbook entry "x": missing or unknown items: low\.'):
        _entry(kind, "x", {name: items[name] for name in ("value", "high")}, sources)


@pytest.mark.parametrize("name", ["materials.yaml", "grades.yaml", "abrasives.yaml", "stiffness.yaml"])
def test_every_listed_source_is_used(name: str) -> None:
    """The data files are read as package data; a source no figure cites is a slip."""
    page = yaml.safe_load(files("linesim.handbook").joinpath("data", name).read_text("utf-8"))

    def keys(item: object) -> set[str]:
        if isinstance(item, dict):
            return set().union(*(keys(value) for value in item.values()))
        return {item[1]} if isinstance(item, list) else set()

    listed = set(page.pop("sources"))
    assert keys(page) == listed


def test_changing_a_returned_table_does_not_change_the_handbook() -> None:
    """Each call hands out its own table."""
    materials().clear()
    assert "C45" in materials()
