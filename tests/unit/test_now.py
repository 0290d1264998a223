"""A works that does not begin from new edges and an empty line; each floor worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, a_tool, run_shop


def shop(now: dict[str, Any], operations: dict[str, Any] | None = None, **entries: Any) -> Works:
    entries = {"warm_up": 0, "cutters": {"tool": a_tool(change=2, sets=1)}, **entries}
    alone = {"Op 10": {"minutes": 10, "sets": ["tool"]}}
    return a_shop(operations or alone, now=now, **entries)


def seen_alike(works: Works) -> Seen:
    """The floor, after the compiled engine has been held to it."""
    seen = run_shop(works)
    plan = make_plan(works, next(iter(works.policies)))
    fast = run_fast(plan, 1, 0)
    assert fast.state_min.tolist() == seen.tally.state_min.tolist()
    return seen


def test_an_edge_goes_on_from_the_parts_that_it_has_done() -> None:
    """Changed after five parts; it has done three, so after two more."""
    policies = {"as stated": {"default": {"parts": 5}}}
    seen = seen_alike(shop({"lines": {"line": {"Op 10": {"edges": {"tool": 3}}}}}, policies=policies, length=60.0))
    assert seen.spans_in("Op 10", State.CHANGING)[0] == (20.0, 22.0)


def test_parts_that_wait_are_there_at_once() -> None:
    """Two parts wait before Op 20; the first casting comes to it after 10 min, as the first of them is done."""
    operations = {"Op 10": {"minutes": 10}, "Op 20": {"minutes": 6, "buffer": 3}}
    seen = seen_alike(shop({"lines": {"line": {"Op 20": {"waiting": 2}}}}, operations, cutters={}, length=20.0))
    assert seen.spans_in("Op 20", State.CUTTING)[:3] == [(0.0, 6.0), (6.0, 12.0), (12.0, 18.0)]
    assert seen.tally.shipped.tolist() == [3]
    assert seen.tally.castings.tolist() == [2]
    assert seen.tally.taken[1] == 3


def test_parts_that_wait_carry_what_the_operations_before_have_cut() -> None:
    """The blade that has done ten parts leaves 0.3 um a part more on; those that wait were cut by it as it stands."""
    operations = {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}, "Op 20": {"minutes": 1, "buffer": 3}}
    features = {"face": {"size": {"limits": [99.99, 100.01], "loss_at_limit": 5}}}
    now = {"lines": {"line": {"Op 10": {"edges": {"blade": 10}}, "Op 20": {"waiting": 1}}}}
    blades = {"blade": a_blade()}
    works = shop(now, operations, cutters=blades, line={"features": features}, length=1.5)
    fresh = shop({"lines": {"line": {"Op 20": {"waiting": 1}}}}, operations, cutters=blades,
                 line={"features": features}, length=1.5)  # fmt: skip
    worn_um = float(run_shop(works).tally.total[0, 0] - run_shop(fresh).tally.total[0, 0])
    assert worn_um == pytest.approx(3.0, abs=0.05)
    seen_alike(works)


def test_a_machine_that_is_down_is_repaired_first_and_the_fitter_is_busy_so_long() -> None:
    breakdowns = {"between": 15, "repair": 4}
    operations = {"Op 10": {"minutes": 10, "machines": 2, "fitters": "fitter", "breakdowns": breakdowns}}
    now = {"lines": {"line": {"Op 10": {"down": [0, 35]}}}}
    seen = seen_alike(shop(now, operations, cutters={}, people={"fitter": {"count": 1}}, length=80.0))
    assert seen.spans_in("Op 10 No. 2", State.UNDER_REPAIR)[0] == (0.0, 35.0)
    assert seen.spans_in("Op 10 No. 1", State.WAITING_FOR_FITTER)[0] == (15.0, 35.0)
    assert seen.spans_in("Op 10 No. 1", State.UNDER_REPAIR)[0] == (35.0, 39.0)


def test_sets_at_the_grinder_and_on_order_come_when_they_are_ready() -> None:
    """Changed after each part of 10 min. One set is at the grinder for 13 min, the next is on order for 25."""
    tool = a_tool(change=0, sets=3, lead_time=25, renewal={"reground": {"stock": 1000, "minutes": 13}})
    policies = {"as stated": {"default": {"parts": 1}}}
    now = {"sets": {"tool": {"sharp": 0, "at_grinder": 1, "ordered": 1}}}
    seen = seen_alike(shop(now, cutters={"tool": tool}, policies=policies, length=40.0))
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET)[0] == (10.0, 13.0)
    assert seen.tally.bought.tolist() == [0]
    # The one that came off at 10 min is back at 26, after the set on order at 25, which is taken at 23 as it is not.
    assert seen.spans_in("Op 10", State.CUTTING)[:3] == [(0.0, 10.0), (13.0, 23.0), (25.0, 35.0)]


@pytest.mark.parametrize(
    ("now", "entries", "text"),
    [
        ({"lines": {"lime": {}}}, {}, 'Did you mean "line"'),
        ({"lines": {"line": {"Op 11": {}}}}, {}, 'Did you mean "Op 10"'),
        ({"lines": {"line": {"Op 10": {"edges": {"toll": 3}}}}}, {}, 'Did you mean "tool"'),
        ({"lines": {"line": {"Op 10": {"edges": {"tool": [3, 4]}}}}}, {}, "one figure for each of 1 machines"),
        ({"lines": {"line": {"Op 10": {"waiting": 1}}}}, {}, "castings are always to be had here"),
        ({"lines": {"line": {"Op 10": {"warm": 0.5}}}}, {}, "do not warm up"),
        ({"sets": {"tool": {"sharp": 1}}}, {}, "which leaves 0; found 1 sharp"),
        ({"sets": {"tool": {"at_grinder": 1}}}, {}, "is not reground"),
        ({}, {"warm_up": 100}, "has no warm-up; found 100 min"),
    ],
)
def test_what_cannot_be_is_refused_in_words(now: dict[str, Any], entries: dict[str, Any], text: str) -> None:
    with pytest.raises(ScenarioError) as refused:
        shop(now, **entries)
    assert text in str(refused.value)
