"""Names that lead nowhere are told together, in plain words, with the nearest that leads somewhere."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works import changed, works_from_dict, works_from_text
from linesim.works.walks import mounts
from tests.builders import a_scenario_text, a_works
from tests.unit.changes_refused import BASE, OPERATIONS, cut, gauge, op, refused


def test_the_scenario_of_the_tests_passes_every_check() -> None:
    assert a_works() == BASE


def test_a_cutter_is_mounted_once_on_each_machine_that_uses_it() -> None:
    assert mounts(BASE) == {"brush": 1, "face mill": 1, "rough blade": 2, "finish blade": 2, "stones": 1}


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        (
            cut("Op 20", "face", "deck rough", feature="dck"),
            (
                f'changes, {OPERATIONS}[Op 20].strokes[face].cuts[deck rough].feature: "dck" is not a '
                "feature of this line; "
                'one of deck, bores was expected\n    Did you mean "deck"?'
            ),
        ),
        (
            cut("Op 20", "face", "deck rough", cutter="zzz"),
            (
                f'changes, {OPERATIONS}[Op 20].strokes[face].cuts[deck rough].cutter: "zzz" is not a '
                "cutter of this works; "
                "one of face mill, rough blade, finish blade, stones, brush was expected"
            ),
        ),
        (
            op("Op 10", sets=["brush", "bruhs"]),
            (
                f'changes, {OPERATIONS}[Op 10].sets[1]: "bruhs" is not a cutter of this works; '
                'one of face mill, rough blade, finish blade, stones, brush was expected\n    Did you mean "brush"?'
            ),
        ),
        (
            op("Op 20", setters="seters"),
            (
                f'changes, {OPERATIONS}[Op 20].setters: "seters" is not a pool of people; one of setters, '
                "fitters was expected\n"
                '    Did you mean "setters"?'
            ),
        ),
        (
            op("Op 20", fitters="nobody"),
            (
                f'changes, {OPERATIONS}[Op 20].fitters: "nobody" is not a pool of people; one of setters, '
                "fitters was expected"
            ),
        ),
        (
            op("Op 20", chips={"located_on": "sole"}),
            (
                f'changes, {OPERATIONS}[Op 20].chips.located_on: "sole" is not a feature of this line; '
                "one of deck, bores was expected"
            ),
        ),
        (
            op("Op 40", disturbs={"decks": 1}),
            (
                f'changes, {OPERATIONS}[Op 40].disturbs[decks]: "decks" is not a feature of this line; '
                'one of deck, bores was expected\n    Did you mean "deck"?'
            ),
        ),
        (
            gauge(feature="bore"),
            (
                f'changes, {OPERATIONS}[Op 40].gauges[bore gauge].feature: "bore" is not a feature of this line; '
                'one of deck, bores was expected\n    Did you mean "bores"?'
            ),
        ),
        (
            gauge(corrects={"operation": "Op 4"}),
            (
                f'changes, {OPERATIONS}[Op 40].gauges[bore gauge].corrects.operation: "Op 4" is not an '
                "operation of this line; "
                'one of Op 10, Op 20, Op 40, Op 50 was expected\n    Did you mean "Op 40"?'
            ),
        ),
        (
            gauge(corrects={"operation": "Op 50", "cut": "hone"}),
            (
                f'changes, {OPERATIONS}[Op 40].gauges[bore gauge].corrects.operation: "Op 50" comes after "Op 40"; '
                "an operation at or before the gauge was expected"
            ),
        ),
        (
            gauge(corrects={"operation": "Op 20", "cut": "deck finish"}),
            (
                f'changes, {OPERATIONS}[Op 40].gauges[bore gauge].corrects.cut: "deck finish" cuts "deck"; '
                'a cut of "bores" was expected'
            ),
        ),
        (
            {"policies": {"by parts": {"exceptions": {"finsh blade": "run out"}}}},
            (
                'changes, policies[by parts].exceptions[finsh blade]: "finsh blade" is not a cutter, or '
                "an operation and its "
                'cutter ("Op 40 / finish blade"); one of face mill, rough blade, finish blade, stones, '
                "brush, Op 10 / brush, "
                "Op 20 / face mill, Op 40 / finish blade, Op 40 / rough blade, Op 50 / stones was expected\n"
                '    Did you mean "finish blade"?'
            ),
        ),
        (
            {"policies": {"by parts": {"exceptions": {"Op 40 / face mill": "run out"}}}},
            (
                'changes, policies[by parts].exceptions[Op 40 / face mill]: "Op 40 / face mill" is not a cutter, or an '
                'operation and its cutter ("Op 40 / finish blade"); one of face mill, rough blade, finish '
                "blade, stones, brush, "
                "Op 10 / brush, Op 20 / face mill, Op 40 / finish blade, Op 40 / rough blade, Op 50 / "
                "stones was expected\n"
                '    Did you mean "Op 20 / face mill"?'
            ),
        ),
        (
            gauge(corrects={"cut": "trial"}),
            (
                f'changes, {OPERATIONS}[Op 40].gauges[bore gauge].corrects.cut: "trial" is not a cut of '
                "that operation; "
                'one of lead, trail was expected\n    Did you mean "trail"?'
            ),
        ),
    ],
)
def test_a_name_that_leads_nowhere_is_told(changes: dict[str, Any], error: str) -> None:
    assert refused(**changes) == error


def test_a_gauge_without_limits_of_its_own_needs_the_features() -> None:
    roughness = {"reads": ["size", "roughness"], "limits": None, "roughness_limit": None, "corrects": None}
    told = refused(lines={"block": {
        "features": {"bores": {"size": None, "roughness": None, "diameter": 80}},
        "operations": {"Op 40": {"gauges": {"bore gauge": roughness}}},
    }})  # fmt: skip
    place = f"changes, {OPERATIONS}[Op 40].gauges[bore gauge]"
    assert told.splitlines() == [
        (
            f'{place}.limits: missing; a list of 2 such as [1, 2] is needed to read the size of "bores", '
            "which has no size of its own"
        ),
        (
            f'{place}.roughness_limit: missing; a length such as "12 um" is needed to read the roughness of "bores", '
            "which has no limit of its own"
        ),
    ]


def test_a_correction_needs_a_cut_whose_name_is_its_own() -> None:
    text = a_scenario_text().replace("        setters: setters\n        stiffness: 20 N/um\n", (
        "          again: {cuts: {trail: *boring}}\n        setters: setters\n        stiffness: 20 N/um\n"
    )).replace("stock: 3.04 mm", "stock: 9 mm")  # fmt: skip
    with pytest.raises(ScenarioError) as caught:
        works_from_text(text, "b.yaml")
    assert str(caught.value) == (
        f'b.yaml, line 154, {OPERATIONS}[Op 40].gauges[bore gauge].corrects.cut: "trail" is a cut in the strokes '
        "rough and again; a name that only one cut has was expected"
    )


def test_a_gauge_may_correct_a_cut_of_an_earlier_operation() -> None:
    hone = {"feature": "bores", "corrects": {"operation": "Op 40", "cut": "lead"}}
    works = changed(BASE, op("Op 50", gauges={"air gauge": hone}))
    assert works.lines["block"].operations["Op 50"].gauges["air gauge"].corrects is not None


def test_all_that_is_wrong_is_told_together() -> None:
    told = refused(
        crib={"grinders": 0},
        lines={"block": {"operations": {"Op 20": {"setters": "x", "fitters": "y"}, "Op 40": {"machines": 9}}}},
    )
    assert len(told.splitlines()) == 5


@pytest.mark.parametrize("entry", [{"life_cv": 0.2}, {"breaking": {"shape": 2, "scale": 1.5}}])
def test_scatter_and_breaking_without_a_life_are_refused_where_nothing_is_cut(entry: dict[str, Any]) -> None:
    (name,) = entry
    content: dict[str, Any] = {
        "name": "x",
        "cutters": {"brush": {"renewal": {"bought": {}}, **entry}},
        "lines": {"l": {"operations": {"wash": {"minutes": 1, "sets": ["brush"]}}}},
        "policies": {"p": {"default": "run out"}},
    }
    with pytest.raises(ScenarioError) as caught:
        works_from_dict(content)
    assert str(caught.value) == (
        f'scenario, cutters[brush].{name}: {name} does nothing without a life, and "brush" makes no cuts from which '
        "one would follow; life (cutting minutes) was expected beside it"
    )
    content["cutters"]["brush"]["life"] = 90
    assert works_from_dict(content).cutters["brush"].life == 90
    del content["cutters"]["brush"][name]
    del content["cutters"]["brush"]["life"]
    content["cutters"]["brush"]["breaking"] = "never"
    assert works_from_dict(content).cutters["brush"].breaking is None
