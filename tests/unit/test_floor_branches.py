"""Parts that take branches by chance: where each goes, and what does not fit."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.report.views.routing_picture import routing_picture
from linesim.works import Works
from tests.agree.twins import assert_twins_agree, different_fields
from tests.floors import a_blade, a_cut, a_shop, run_shop

FINISH = {"finish": {"honed": 0.6, "lapped": 0.3}}


def a_forked(branches: dict[str, Any] | None = None, castings: int = 400, **more: Any) -> Works:
    """Honed or lapped or neither, then washed."""
    operations: dict[str, dict[str, Any]] = {
        "Op 10": {"minutes": 1},
        "hone": {"minutes": 1, "buffer": 9, "branch": "honed"},
        "lap": {"minutes": 2, "buffer": 9, "branch": "lapped"},
        "wash": {"minutes": 0.5, "buffer": 9},
    }
    for name, entries in more.items():
        operations[name].update(entries)
    line = {"branches": FINISH if branches is None else branches}
    return a_shop(operations, line=line, castings=castings, length=3000.0)


def ways(works: Works) -> dict[str, set[int]]:
    """Serial numbers of the parts that come to each operation."""
    seen = run_shop(works)
    assert seen.tally.shipped[0] == 400
    return {name: {serial for _, serial in seen.moments["loaded", name]} for name in seen.plan.names.operations}


def test_each_part_takes_one_branch_or_none_and_all_come_back() -> None:
    at = ways(a_forked())
    assert at["Op 10"] == at["wash"] == set(range(400))
    assert not at["hone"] & at["lap"]
    # Four standard deviations of so many draws; a false alarm in 16 000.
    for name, share in (("hone", 0.6), ("lap", 0.3)):
        assert abs(len(at[name]) - 400 * share) < 4 * math.sqrt(400 * share * (1 - share)), name


def test_operations_of_a_branch_meet_the_same_parts_and_choices_are_made_apart() -> None:
    one = ways(a_forked(wash={"branch": "honed"}))
    assert one["wash"] == one["hone"]
    apart = ways(a_forked({"finish": {"honed": 0.6}, "again": {"lapped": 0.5}}))
    both = len(apart["hone"] & apart["lap"])
    assert abs(both - 400 * 0.3) < 4 * math.sqrt(400 * 0.3 * 0.7)


def test_a_part_that_comes_back_repaired_takes_its_branch_again() -> None:
    test = {"floor": 0.5, "rejected": {"repair": {"succeeds": 0.5, "tries": 9, "back_to": "wash"}}}
    operations: dict[str, dict[str, Any]] = {
        "Op 10": {"minutes": 1},
        "wash": {"minutes": 0.5, "buffer": 9},
        "hone": {"minutes": 0.2, "buffer": 9, "branch": "honed"},
        "leak test": {"minutes": 0.1, "buffer": 9, "test": test},
    }
    line = {"branches": {"finish": {"honed": 0.5}}}
    works = a_shop(operations, line=line, castings=400, length=3000.0)
    seen = run_shop(works)
    came = {serial for _, serial in seen.moments["loaded", "hone"]}
    repaired = {serial for _, serial in seen.moments["turned down", "leak test"]}
    assert len(repaired) > 100
    assert 60 < len(came & repaired) < len(repaired) - 60
    assert seen.tally.worked[seen.plan.names.machines.index("hone")] > len(came)


@pytest.mark.parametrize(("share", "there"), [(1.0, True), (0.0, False)])
def test_a_branch_of_all_is_no_branch_and_one_of_none_is_no_operation(share: float, there: bool) -> None:
    of_all = run_shop(a_forked({"finish": {"honed": share, "lapped": 0.0}}, lap={"minutes": 1})).tally
    assert int(of_all.worked[1]) == (400 if there else 0)
    if there:
        plain = run_shop(a_forked({"finish": {"lapped": 0.0}}, hone={"branch": None}, lap={"minutes": 1})).tally
        assert not different_fields(of_all, plain)


def test_both_engines_send_parts_the_same_ways() -> None:
    tally = assert_twins_agree(
        make_plan(a_forked(hone={"machines": 2, "unlike": {"a": {}, "b": {"time": 3}}}), "as stated")
    )
    assert np.all(tally.worked > 20)


@pytest.mark.parametrize(
    ("branches", "more", "says"),
    [
        ({"finish": {"honed": 0.8, "lapped": 0.3}}, {}, "add up to 110 %; 100 % at most were expected"),
        ({"finish": {"honed": 0.8}}, {}, 'lapped.*no branch of this line|"lapped"'),
        ({"finish": {"honed": 0.8, "lapped": 0.1, "blued": 0.1}}, {}, "no operation stands in it"),
        ({"a": {"honed": 0.8, "lapped": 0.1}, "b": {"honed": 0.1}}, {}, "there is another branch"),
        (FINISH, {"Op 10": {"branch": "honed"}}, "all castings come in at the first operation"),
        (
            FINISH,
            {"wash": {"test": {"floor": 0.1, "rejected": {"repair": {"back_to": "lap"}}}}},
            'the repaired part comes back at "lap" in the branch "lapped", which not all parts take that come here',
        ),
    ],
)
def test_what_does_not_fit_is_refused(branches: dict[str, Any], more: dict[str, Any], says: str) -> None:
    with pytest.raises(ScenarioError, match=says):
        a_forked(branches, **more)


def test_a_gauge_reads_what_was_cut_on_all_parts_that_come_to_it() -> None:
    stroke = {"stroke": {"cuts": {"cut": a_cut()}}}
    operations: dict[str, dict[str, Any]] = {
        "Op 10": {"minutes": 1},
        "bore": {"strokes": stroke, "branch": "bored"},
        "gauge": {"minutes": 1, "gauges": {"gauge": {"feature": "face"}}},
    }
    line = {"features": {"face": {"size": {"limits": [99.98, 100.02]}}}, "branches": {"way": {"bored": 0.5}}}
    with pytest.raises(ScenarioError, match='"face" is cut last at "bore" in the branch "bored"'):
        a_shop(operations, line=line, cutters={"blade": a_blade()})
    operations["gauge"]["branch"] = "bored"
    assert a_shop(operations, line=line, cutters={"blade": a_blade()}).name


def test_the_desk_counts_those_that_pass_an_operation_by_with_no_minutes() -> None:
    rows = desk_figures(a_forked()).operations.set_index("operation")
    # Six in ten take a minute to be honed, three in ten two minutes to be lapped.
    assert rows["cutting_min"].tolist() == pytest.approx([1.0, 0.6, 0.6, 0.5])
    assert rows["parts_per_hour"].tolist() == pytest.approx([60.0, 100.0, 100.0, 120.0])
    assert rows["load_percent"].tolist() == pytest.approx([100.0, 60.0, 60.0, 50.0])


def test_the_routing_drawing_says_who_comes_to_which_machines() -> None:
    works = a_forked(hone={"machines": 2, "unlike": {"new": {}, "old": {"time": 2}}})
    picture = routing_picture(works, desk_figures(works), "line")
    hints = [text for trace in picture.figure.data if trace.name == "machines" for text in trace.hovertext]
    assert "only parts that take the branch honed" in hints[1]
    assert "unlike machines: new, old" in hints[1]
    assert "branch" not in hints[0] + hints[3]
