"""Typical figures that stand in for what a scenario does not say: all that it uses are listed, and no others."""

from __future__ import annotations

import io
from typing import Any

import pytest
from rich.console import Console

from linesim.desk import TYPICAL, desk_figures
from linesim.desk.assumed import ASSUMED_COLUMNS, assumed_table
from linesim.desk.assumed_defaults import DEFAULTS
from linesim.desk.assumed_words import WORDS
from linesim.handbook import abrasives, grades
from linesim.handbook.entries import Entry
from linesim.report.page.justification_content import _typical
from linesim.report.page.notes import assumptions_of
from linesim.report.terminal.check import desk_text
from linesim.works import (
    Works,
    consequences,
    crib,
    load_works,
    mishaps,
    operations,
    warmth,
    wheel,
    works_from_dict,
)
from tests.floors import a_shop

MILL = {
    "grade": "carbide", "teeth": 6, "diameter": 100, "nose_radius": 0.8,
    "renewal": {"reground": {"stock": 3, "minutes": 9}},
}  # fmt: skip
BLADE = {"grade": "carbide", "life": 60, "life_cv": 0.2, "breaking": "never", "renewal": {"bought": {}}}
MILLED = {
    "feature": "top", "process": "milling", "cutter": "mill", "depth": 1, "speed": 90, "feed": 0.1, "width": 80,
    "length": 200,
}  # fmt: skip
BORED = {
    "feature": "hole", "process": "boring", "cutter": "blade", "depth": 0.5, "speed": 90, "feed": 0.1, "length": 60,
    "stress_release": 1,
}  # fmt: skip
PARTS = ("mill", "blade", "milled", "bored", "top", "first", "second")


def works(**entries: Any) -> Works:
    """A face that is milled, a hole that is bored, and an operation behind; entries go over the parts of this name."""
    of = {name: dict(entries.get(name, {})) for name in PARTS}
    cuts = {"face": {"cuts": {"mill it": MILLED | of["milled"]}}, "hole": {"cuts": {"bore it": BORED | of["bored"]}}}
    features = {"top": of["top"], "hole": {"kind": "bore", "diameter": 80}}
    operations = {"Op 10": {"strokes": cuts} | of["first"], "Op 20": {"minutes": 1} | of["second"]}
    return works_from_dict({
        "name": "x", "run": {"length": 100},
        "lines": {"line": {"material": "EN-GJL-250", "features": features, "operations": operations}},
        "cutters": {"mill": MILL | of["mill"], "blade": BLADE | of["blade"]},
        "policies": {"p": {"default": "run out"}}, **entries.get("works", {}),
    })  # fmt: skip


def figures(of: Works) -> dict[str, tuple[str, str, str]]:
    """By figure: value, for what, strength."""
    rows = assumed_table(of).to_dict(orient="records")
    return {str(row["figure"]): (row["value"], row["used_for"], row["strength"]) for row in rows}


def test_what_is_not_said_of_a_cut_stands_there_with_its_value() -> None:
    found = figures(works())
    assert found["run-out of all teeth"] == ("10 µm, no seat being named that of a cartridge", "mill", "read")
    assert found["nose radius, for the forces,"] == ("0.8 mm", "blade", "assumption")
    assert found["force into the work over cutting force, rho,"] == ("0.6", "carbide", "assumption")
    assert found["pressure of a worn land into the work, p_w,"] == ("500 N/mm²", "carbide", "assumption")
    assert found["radius of the sharp edge"] == ("15 µm", "carbide", "memory")
    assert found["rise of Ra past the wear limit, c_2,"] == ("0.5", "carbide", "assumption")
    assert found["power of Ra on depth beyond 0.5 mm"] == ("0.15", "mill", "assumption")
    assert found["Ra that torn graphite leaves in milling, at the least"] == ("0.8 µm", "EN-GJL-250", "assumption")
    assert found["power of breaking on chip load, m,"] == ("3", "carbide", "assumption")
    assert found["movement let go by the material"] == ("1.5 µm for each mm of depth", "EN-GJL-250", "assumption")
    assert found["metal ground away for each mm of land past the wear limit, c_x,"] == ("1 mm", "mill", "assumption")
    assert found["edge life"][0] == "30 min at 110 m/min, 0.15 mm of feed and 1.5 mm of depth"
    assert found["thinnest chip that is cut and not rubbed"][0] == "0.3 (edge radius + 0.1 wear land)"


OWN = {"handbook": {"grades": {"carbide": {"thrust_ratio": 0.7}}}}
GIVEN: list[tuple[dict[str, Any], str]] = [
    ({"mill": {"run_out": 8}}, "run-out of all teeth"),
    ({"blade": {"nose_radius": 0.4}}, "nose radius, for the forces,"),
    ({"mill": {"edge_radius": 20}, "blade": {"edge_radius": 20}}, "radius of the sharp edge"),
    ({"mill": {"sharp_roughness": 2}}, "power of Ra on depth beyond 0.5 mm"),
    ({"mill": {"life": 60}}, "edge life"),
    ({"mill": {"breaking": "never"}}, "power of breaking on chip load, m,"),
    ({"milled": {"stress_release": 1}}, "movement let go by the material"),
    ({"mill": {"renewal": {"bought": {}}}}, "metal ground away for each mm of land past the wear limit, c_x,"),
    ({"works": OWN}, "force into the work over cutting force, rho,"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "figure"), GIVEN)
def test_a_figure_that_is_given_is_not_assumed(given: dict[str, Any], figure: str) -> None:
    assert figure in figures(works())
    assert figure not in figures(works(**given))


TEST = {"weights": {"top": {"scratch": 1}}}
SCRATCH = {"scratch": {"limit": 40}}
ADDED: list[tuple[dict[str, Any], str, str]] = [
    ({"mill": {"seat": "ground"}}, "setting error of a fresh edge", "10 µm, by its seat (ground)"),
    ({"mill": {"seat": "pressed"}}, "run-out of all teeth", "50 µm, by its seat (pressed)"),
    ({"mill": {"land": 1.4}}, "tilt of the lands", "0.8 mrad, no seat being named that of a cartridge"),
    ({"top": {"thickness": 30}}, "residual stress let go by a layer", "30 N/mm²"),
    ({"top": {"thickness": 30}}, "Young's modulus of the part", "110000 N/mm²"),
    ({"top": {"thickness": 30}}, "scatter of the stress let go", "0.4"),
    ({"first": {"warm_up": {"rise": 20}}}, "time constant of warming up", "60 min"),
    ({"first": {"chips": {"located_on": "top", "chance": 0.1}}}, "mean thickness of a chip under the part", "50 µm"),
    ({"second": {"test": TEST}, "top": SCRATCH}, "chance of a failure with all at their limits", "0.05"),
    ({"second": {"test": TEST}, "top": SCRATCH}, "chance of a failure with all at twice their limits", "0.5"),
    ({"second": {"test": {"rejected": {"repair": {}}}}}, "chance that one repair puts the cause right", "0.9"),
    ({"works": {"room": {"swing": 3}}}, "expansion of the part", "10.8 µm/(m K)"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "figure", "value"), ADDED)
def test_a_thing_that_is_named_brings_its_typical_figures(given: dict[str, Any], figure: str, value: str) -> None:
    assert figures(works(**given))[figure][0] == value
    assert figures(works()).get(figure, ("",))[0] != value


def test_chips_that_are_never_there_and_defaults_that_are_given_are_left_out() -> None:
    chips = {"located_on": "top", "chance": 0.1, "clean": True}
    assert "mean thickness of a chip under the part" not in figures(works(first={"chips": chips}))
    given = {"rise": 20, "minutes": 30}
    found = figures(works(first={"warm_up": given}))
    assert "time constant of warming up" not in found
    assert found["time constant of cooling down"][0] == "90 min"


def test_sand_in_the_skin_rests_on_what_a_hit_does() -> None:
    sandy = a_shop({"Op 10": {"minutes": 1}}, line={"casting": {"sand": {"chance": "0.05 %", "breaks": "10 %"}}})
    assert figures(sandy)["wear land that a hit of sand adds"][0] == "0.05 to 0.2 mm"
    assert "share of hits of sand that break an edge" not in figures(sandy)


def test_blades_on_one_bar_rest_on_the_unsteady_share() -> None:
    found = figures(load_works("scenarios/block-line.yaml"))
    assert found["unsteady share of the force of a blade that leads on one bar, in skin,"][:2] == ("0.2", "rough blade")
    assert found["share of what a stone takes that comes off the high places first, eta,"][:2] == ("0.5", "hone")
    assert found["form that the process adds"][0] in ("1 µm", "3 µm")


def test_every_default_is_an_entry_of_its_part() -> None:
    parts: list[Any] = [consequences, crib, mishaps, operations, warmth, wheel]
    for part, names in DEFAULTS.items():
        (model,) = {getattr(room, part) for room in parts if hasattr(room, part)}
        assert set(names) <= set(model.model_fields)
        assert all(not model.model_fields[name].is_required() for name in names)


@pytest.mark.parametrize("name", ["block-line", "crankcase-line", "head-line", "works", "smallest"])
def test_every_scenario_can_be_asked(name: str) -> None:
    table = assumed_table(load_works(f"scenarios/{name}.yaml"))
    assert list(table.columns) == ASSUMED_COLUMNS
    assert not table.duplicated().any()
    assert (table[ASSUMED_COLUMNS] != "").all(axis=None)


def test_figures_of_wear_that_are_assumptions_have_words() -> None:
    """All but those that are taken together or by the cut, and those that no cut uses."""
    entries: list[Entry] = [*grades().values(), *abrasives().values()]
    names = {name for entry in entries for name, strength in entry.strengths.items() if strength == "assumption"}
    assert (
        names - set(WORDS) == {"ref_life_min", "ref_feed_mm", "ref_depth_mm", "roughness_cv", "clearance_deg"} & names
    )


def test_check_page_and_sheet_show_them() -> None:
    of = works()
    desk = desk_figures(of)
    console = Console(width=2000, record=True, file=io.StringIO())
    console.print(desk_text(desk))
    printed = console.export_text()
    assert TYPICAL in printed
    first = next(text for text in desk.typical if text.startswith("run-out of all teeth 10 µm"))
    assert first.startswith(
        "run-out of all teeth 10 µm, no seat being named that of a cartridge (mill). Typical, read: Cutter"
    )
    assert f"- {first}" in printed
    assert first in assumptions_of(of, desk)
    (sentence,) = _typical(of)
    assert sentence.startswith(
        f"{len(desk.assumed)} typical figures stand in for what the scenario does not say, such as: "
    )
