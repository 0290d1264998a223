"""Figures that do not fit one another, and what a cut, a set or the handbook lacks, are told in plain words."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.handbook import abrasives, grades, materials
from linesim.handbook.former import FORMER
from linesim.plan.figures import cut_figures
from linesim.works import changed
from linesim.works.checks_cuts import cutting_diameter
from linesim.works.features import Feature, Size
from linesim.works.ranges import RANGES, Range
from tests.builders import flow_line
from tests.unit.changes_refused import BASE, OPERATIONS, cut, feature, op, refused


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        (
            {"cutters": {"finish blade": {"sets": 0}}},
            (
                'changes, cutters[finish blade].sets: there is no set of "finish blade", but 2 machines mount it; '
                "at least 2 was expected"
            ),
        ),
        (
            {"cutters": {"stones": {"sets": 0}}},
            (
                'changes, cutters[stones].sets: there is no set of "stones", but 1 machine mounts it; at '
                "least 1 was expected"
            ),
        ),
        (
            op("Op 40", machines=4),
            (
                'b.yaml, line 27, cutters[rough blade].sets: 3 of "rough blade" are too few, because 4 '
                "machines mount it; "
                "at least 4 was expected\n"
                'b.yaml, line 38, cutters[finish blade].sets: 3 of "finish blade" are too few, because 4 '
                "machines mount it; "
                "at least 4 was expected"
            ),
        ),
        (
            {"crib": {"grinders": 0}},
            'changes, crib.grinders: 0 grinders, but "rough blade" is to be reground; at least 1 was expected',
        ),
        (
            {"cutters": {"face mill": {"grade": None}}},
            (
                "changes, cutters[face mill].grade: missing; a cutter grade or an abrasive of the handbook is "
                "needed for an edge that cuts: its wear, scatter and breaking follow from the grade"
            ),
        ),
        (
            cut("Op 20", "finish", "deck finish", depth=0.75),
            (
                "b.yaml, line 68, lines.block.features[deck].as_cast.stock: the cuts take off 3.75 mm (3 + 0.75), "
                "but the casting has 3.5 mm of stock; at most that was expected"
            ),
        ),
        (
            {"lines": {"block": {"material": None}}},
            "changes, lines.block.material: missing; a text is needed where cuts are described",
        ),
        (
            cut("Op 20", "face", "deck rough", width=201),
            (
                f"changes, {OPERATIONS}[Op 20].strokes[face].cuts[deck rough].width: 201 mm is wider than "
                '"face mill" (200 mm); '
                "at most its diameter was expected"
            ),
        ),
        (
            {"cutters": {"face mill": {"diameter": None}}},
            'changes, cutters[face mill].diameter: missing; a length such as "3 mm" is needed for milling',
        ),
        (
            feature("bores", size=None),
            (
                'b.yaml, line 24, cutters[rough blade].diameter: missing; a length such as "3 mm" is '
                "needed for boring, "
                'unless "bores" has a diameter\n'
                'b.yaml, line 35, cutters[finish blade].diameter: missing; a length such as "3 mm" is '
                "needed for boring, "
                'unless "bores" has a diameter'
            ),
        ),
        (
            {"lines": {"block": {"material": "EN-GJL-25"}}},
            (
                'changes, lines.block.material: "EN-GJL-25" is not a material of the handbook; one of '
                "EN-GJL-200, EN-GJL-250, "
                "EN-GJL-300, EN-GJS-400, EN-GJS-600, EN-GJMB-350, EN-GJMB-550, AlSi10, AlSi17, C15, C45, "
                'C45 hardened and tempered, ... was expected\n    Did you mean "EN-GJL-250"?'
            ),
        ),
        (
            {"cutters": {"rough blade": {"grade": "honing stone 220"}}},
            (
                'changes, cutters[rough blade].grade: "honing stone 220" is not a cutter grade of the '
                "handbook; one of carbide, "
                "coated carbide, high-speed steel, ceramic, cubic boron nitride was expected"
            ),
        ),
        (
            {"cutters": {"stones": {"grade": "carbide"}}},
            (
                'changes, cutters[stones].grade: "carbide" is not an abrasive of the handbook; one of '
                "honing stone 220, "
                "honing stone 400, vitrified wheel 60 was expected"
            ),
        ),
        (
            {"lines": {"block": {"material": "AlSi10"}}},
            (
                'b.yaml, line 36, cutters[finish blade].grade: "cubic boron nitride" has no figures for '
                "cast aluminium (AlSi10); "
                "it has them for grey iron"
            ),
        ),
        (
            {"cutters": {"brush": {"grade": "bristle"}}},
            (
                'changes, cutters[brush].grade: "bristle" is not a grade or an abrasive of the handbook; '
                "one of carbide, "
                "coated carbide, high-speed steel, ceramic, cubic boron nitride, honing stone 220, honing stone 400, "
                "vitrified wheel 60 was expected"
            ),
        ),
        (
            {"handbook": {"grades": {"our grade": {"n": 0.3}}}},
            (
                'changes, handbook.grades[our grade]: "our grade" is not one of the handbook\'s grades, '
                "and has no entry "
                "based_on; one of carbide, coated carbide, high-speed steel, ceramic, cubic boron nitride was expected"
            ),
        ),
        (
            {"handbook": {"materials": {"our iron": {"based_on": "EN-GJL-999"}}}},
            (
                'changes, handbook.materials[our iron][based_on]: "EN-GJL-999" is not one of the '
                "handbook's materials; "
                "one of EN-GJL-200, EN-GJL-250, EN-GJL-300, EN-GJS-400, EN-GJS-600, EN-GJMB-350, "
                "EN-GJMB-550, AlSi10, AlSi17, "
                'C15, C45, C45 hardened and tempered, ... was expected\n    Did you mean "EN-GJL-300"?'
            ),
        ),
        (
            {"handbook": {"grades": {"carbide": {"nn": 0.3}}}},
            (
                'changes, handbook.grades[carbide][nn]: "nn" is not a figure of the handbook; one of '
                "family, ref_life_min, "
                "ref_speed_m_min, ref_feed_mm, ref_depth_mm, n, p, q, skin_factor, wear_limit_mm, wear_b, "
                "wear_tau, ... "
                'was expected\n    Did you mean "n"?'
            ),
        ),
        (
            {"handbook": {"grades": {"carbide": {"n": "high"}}}},
            'changes, handbook.grades[carbide][n]: "high" was found; a number was expected',
        ),
        (
            {"handbook": {"materials": {"EN-GJL-250": {"family": 3}}}},
            "changes, handbook.materials[EN-GJL-250][family]: 3 was found; a text was expected",
        ),
    ],
)
def test_what_does_not_fit_is_told(changes: dict[str, Any], error: str) -> None:
    assert refused(**changes) == error


@pytest.mark.parametrize(
    ("operation", "stroke", "name", "needed"),
    [
        ("Op 20", "face", "deck rough", ["speed", "feed", "length", "width"]),
        ("Op 40", "rough", "lead", ["speed", "feed", "length"]),
    ],
)
def test_a_cut_says_what_its_minutes_follow_from(operation: str, stroke: str, name: str, needed: list[str]) -> None:
    taken = dict.fromkeys(needed)
    told = refused(**cut(operation, stroke, name, **taken)).splitlines()
    assert [line.split(":")[0].rsplit(".", 1)[1] for line in told] == needed
    assert all("unless minutes are given" in line for line in told)
    known = changed(BASE, cut(operation, stroke, name, **taken, minutes="30 s"))
    assert known.lines["block"].operations[operation].strokes[stroke].cuts[name].minutes == 0.5


@pytest.mark.parametrize("process", ["drilling", "reaming"])
def test_drilling_and_reaming_need_what_boring_needs(process: str) -> None:
    told = refused(**cut("Op 40", "rough", "lead", process=process, speed=None))
    assert told.endswith(
        f'speed: missing; a speed such as "90 m/min" is needed for {process}, unless minutes are given'
    )


@pytest.mark.parametrize(("process", "grade"), [("honing", "honing stone 220"), ("grinding", "vitrified wheel 60")])
def test_honing_and_grinding_take_their_rate_from_the_abrasive(process: str, grade: str) -> None:
    hone = cut("Op 50", "hone", "hone", process=process, removal=None)
    works = changed(BASE, {**hone, "cutters": {"stones": {"grade": grade}}})
    assert cut_figures(works)["block", "Op 50", "hone", "hone"].cut_min > 0.0
    assert refused(**hone, cutters={"stones": {"grade": None}}) == (
        "changes, cutters[stones].grade: missing; a cutter grade or an abrasive of the handbook is needed for an edge "
        "that cuts: its wear, scatter and breaking follow from the grade"
    )


def test_a_stone_hones_and_a_wheel_grinds() -> None:
    assert refused(cutters={"stones": {"grade": "vitrified wheel 60"}}) == (
        'changes, cutters[stones].grade: "vitrified wheel 60" is for grinding, but the cut "hone" is honing; '
        "an abrasive for honing was expected"
    )


def test_one_set_makes_one_cut_of_a_stroke() -> None:
    assert refused(**cut("Op 40", "rough", "trail", cutter="rough blade")) == (
        f'changes, {OPERATIONS}[Op 40].strokes[rough].cuts[trail].cutter: "rough blade" already makes the cut "lead" '
        "of this stroke, and one set cannot make two cuts at once; another cutter, or a stroke of its own, was expected"
    )
    strokes = BASE.lines["block"].operations["Op 20"].strokes
    assert [cut.cutter for stroke in strokes.values() for cut in stroke.cuts.values()] == ["face mill", "face mill"]


@pytest.mark.parametrize(
    ("kind", "name", "item", "value", "told"),
    [
        (
            *("grades", "carbide", "n", 4),
            "4 is out of range; n must be above 0 and below 1\n    If it is 1/n, write 0.25.",
        ),
        ("grades", "carbide", "n", 0, "0 is out of range; n must be above 0 and below 1"),
        ("grades", "carbide", "life_cv", 3.1, "3.1 is out of range; life_cv must be at least 0 and at most 3"),
        ("grades", "carbide", "wear_b", 1.1, "1.1 is out of range; wear_b must be at least 0 and at most 1"),
        ("grades", "carbide", "wear_tau", 0, "0 is out of range; wear_tau must be above 0"),
        ("grades", "carbide", "force_growth", -0.1, "-0.1 is out of range; force_growth must be at least 0"),
        (
            *("grades", "carbide", "clearance_deg", 45),
            "45 is out of range; clearance_deg must be above 0 degrees and below 45 degrees",
        ),
        ("materials", "C15", "mc", 1, "1 is out of range; mc must be above 0 and below 1"),
        ("materials", "C15", "kc11_n_mm2", 0, "0 is out of range; kc11_n_mm2 must be above 0 N/mm²"),
        (
            *("materials", "C15", "family", "gray iron"),
            (
                '"gray iron" is not known here; one of grey iron, nodular iron, malleable iron, cast aluminium, steel '
                'was expected\n    Did you mean "grey iron"?'
            ),
        ),
        (
            *("abrasives", "honing stone 220", "life_min", -1),
            "-1 is out of range; life_min must be above 0 min",
        ),
        (
            *("abrasives", "honing stone 220", "copying_factor", 1),
            "1 is out of range; copying_factor must be at least 0 and below 1",
        ),
    ],
)  # fmt: skip
def test_figures_of_the_shops_own_make_sense(kind: str, name: str, item: str, value: Any, told: str) -> None:
    assert refused(handbook={kind: {name: {item: value}}}) == f"changes, handbook.{kind}[{name}][{item}]: {told}"


def test_the_handbooks_own_figures_lie_within_their_ranges() -> None:
    entries = [*materials().values(), *grades().values(), *abrasives().values()]
    figures = [(name, getattr(entry, name)) for entry in entries for name in entry.sources]
    assert {name for name, _ in figures} | set(FORMER) == set(RANGES)
    assert [(name, figure) for name, figure in figures if not RANGES[name].holds(figure)] == []


@pytest.mark.parametrize(
    ("bounds", "within", "outside"),
    [
        (Range(0, 1), [0, 0.5, 1], [-0.01, 1.01]),
        (Range(0, 1, True, True), [0.01, 0.99], [0, 1]),
        (Range(0, low_open=True), [0.01, 1e9], [0, -1]),
    ],
)
def test_a_range_knows_its_ends(bounds: Range, within: list[float], outside: list[float]) -> None:
    assert [bounds.holds(figure) for figure in (*within, *outside)] == [True] * len(within) + [False] * len(outside)


def test_a_width_just_as_wide_as_the_cutter_will_do() -> None:
    changed(BASE, cut("Op 20", "face", "deck rough", width=200))


def test_all_of_the_stock_may_be_cut_but_for_rounding() -> None:
    assert 0.1 + 0.2 > 0.3
    strokes = {"face": {"cuts": {"deck rough": {"depth": 0.1}}}, "finish": {"cuts": {"deck finish": {"depth": 0.2}}}}
    deck = {
        "features": {"deck": {"as_cast": {"stock": 0.3}}},
        **op("Op 20", strokes=strokes)["lines"]["block"],
    }
    assert changed(BASE, {"lines": {"block": deck}}).lines["block"].features["deck"].as_cast.stock == 0.3


def test_as_many_sets_as_machines_are_enough() -> None:
    assert changed(BASE, op("Op 40", machines=3)).lines["block"].operations["Op 40"].machines == 3


def test_the_same_feature_may_be_cut_twice_in_one_stroke() -> None:
    cuts = BASE.lines["block"].operations["Op 40"].strokes["rough"].cuts
    assert [(name, entry.feature) for name, entry in cuts.items()] == [("lead", "bores"), ("trail", "bores")]


def test_a_set_without_a_life_may_serve_an_operation_given_by_its_minutes() -> None:
    works = changed(BASE, {"cutters": {"brush": {"life": None}}})
    assert works.cutters["brush"].life is None


def test_grinders_are_needed_only_for_what_is_mounted() -> None:
    spare = {"sets": 1, "renewal": {"reground": {"stock": 2, "minutes": 3}}}
    works = flow_line([1], works={"cutters": {"spare": spare}, "crib": {"grinders": 0}})
    assert works.crib.grinders == 0


def test_the_handbook_may_be_changed_and_added_to() -> None:
    works = changed(BASE, {
        "handbook": {
            "grades": {"our grade": {"based_on": "carbide", "n": 0.3}, "carbide": {"life_cv": 0.2}},
            "materials": {"our iron": {"based_on": "EN-GJL-250", "family": "grey iron", "kc11_n_mm2": 1200}},
        },
        "cutters": {"rough blade": {"grade": "our grade"}},
        "lines": {"block": {"material": "our iron"}},
    })  # fmt: skip
    assert works.cutters["rough blade"].grade == "our grade"


def test_an_added_grade_has_the_families_of_the_one_it_is_based_on() -> None:
    told = refused(
        handbook={"grades": {"our grade": {"based_on": "cubic boron nitride"}}},
        cutters={"rough blade": {"grade": "our grade"}, "finish blade": {"grade": "carbide"}},
        lines={"block": {"material": "AlSi10"}},
    )
    assert told == (
        'changes, cutters[rough blade].grade: "our grade" has no figures for cast aluminium (AlSi10); '
        "it has them for grey iron"
    )


@pytest.mark.parametrize(
    ("own", "feature", "expected"),
    [
        (50.0, Feature(diameter=80), 50.0),
        (None, Feature(diameter=80), 80.0),
        (None, Feature(kind="bore", size=Size(limits=(80, 81))), 80.5),
        (None, Feature(kind="face", size=Size(limits=(80, 81))), None),
        (None, None, None),
    ],
)
def test_the_diameter_is_the_cutters_or_the_bores(
    own: float | None, feature: Feature | None, expected: float | None
) -> None:
    assert cutting_diameter(own, feature) == expected
