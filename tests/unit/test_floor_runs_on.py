"""First pieces that are gauged while the machine runs on; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State
from linesim.routing.account import account_of_run
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop


def works(first_piece: dict[str, Any], length: float = 12.5, limits: Any = (99.9, 100.1), **entries: Any) -> Works:
    """Faces cut in a minute each by a blade that draws back 0.3 µm for each part, set 4 µm too deep.

    It is changed every five parts; the reading takes two minutes unless told.
    """
    first = {"meanwhile": "runs on", "minutes": 2, "accept": 0.5, **first_piece}
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "first_piece": first}
    blade = a_blade(**({"setting": {"bias": "4 um"}} | entries.pop("blade", {})))
    policy = {"default": {"parts": 5}, **entries.pop("policy", {})}
    features = {"face": {"size": {"limits": list(limits)}}}
    return a_shop(
        {"Op 10": operation | entries}, line={"features": features}, cutters={"blade": blade}, length=length,
        policies={"as stated": policy}, people={"setters": {}},
    )  # fmt: skip


def firsts(first_piece: dict[str, Any], length: float = 12.5, **entries: Any) -> Seen:
    return run_shop(works(first_piece, length, **entries))


def test_the_answer_is_set_before_the_first_part_that_is_clamped_after_it() -> None:
    """Cut until 1.0, gauged until 2.5: the parts clamped at 1.0 and 2.0 stand where the first one did."""
    seen = firsts({"minutes": 1.5})
    assert seen.errors("Op 10")[:4] == pytest.approx([-4.0, -3.7, -3.4, 0.9])
    assert seen.moments["complete", "Op 10"]["line", 0] == 2.5
    assert seen.spans_in("Op 10", State.FIRST_PIECE) == []
    assert seen.when("loaded", "Op 10")[:4] == [0.0, 1.0, 2.0, 3.0]


def test_an_answer_of_the_moment_at_which_a_part_is_clamped_is_for_the_next_one() -> None:
    """Gauged until 3.0: the part clamped then still goes by the old offset."""
    assert firsts({}).errors("Op 10")[:5] == pytest.approx([-4.0, -3.7, -3.4, -3.1, 1.2])


def test_an_answer_about_an_edge_that_has_been_changed_says_nothing() -> None:
    """Of the second set the first part waits for the bench until 7.0 and is read at 9.0; at 10.0 it is changed.

    Read until 12.5 are the first part of either set, and the fifth, which was cut after the correction of the first.
    """
    seen = firsts({})
    assert seen.errors("Op 10")[5:] == pytest.approx([-4.0, -3.7, -3.4, -3.1, -2.8, -3.7])
    assert ("line", 10) not in seen.moments["complete", "Op 10"]
    assert seen.tally.first_gauged.tolist() == [3]
    assert seen.tally.first_corrected.tolist() == [3]


def test_no_other_piece_is_taken_until_the_answer_is_there() -> None:
    seen = firsts({"minutes": 30, "by": "setters"})
    assert seen.tally.first_gauged.tolist() == [0]
    waiting = [serial for serial in range(12) if ("line", serial) not in seen.moments["complete", "Op 10"]]
    assert waiting == [0, 5, 10]
    assert seen.tally.busy_min[0] == pytest.approx(11.5)


def test_a_piece_within_what_is_accepted_is_the_last_one_of_its_change() -> None:
    seen = firsts({"accept": 4.5, "minutes": 0.5}, length=4.8)
    assert seen.errors("Op 10") == pytest.approx([-4.0, -3.7, -3.4, -3.1])
    assert (seen.tally.first_gauged[0], seen.tally.first_corrected[0]) == (1, 0)


@pytest.mark.parametrize(("bias", "cause"), [(4, Cause.CUT_AWAY), (-4, Cause.METAL_LEFT)])
@pytest.mark.parametrize(("bad", "first"), [("scrap", []), ("salvage", [0.0]), ("pass", [4.0])])
def test_a_bad_piece_is_not_cut_again(bias: float, cause: Cause, bad: str, first: list[float]) -> None:
    """Read at 3.0, when the machine has long had other parts."""
    setting = {"setting": {"bias": bias}}
    seen = firsts({"bad": bad}, limits=(99.997, 100.003), length=4.5, blade=setting)
    side = -1.0 if bias > 0 else 1.0
    errors = [*(side * one for one in first), *(-bias + 0.3 * n for n in (1, 2, 3))]
    assert seen.errors("Op 10") == pytest.approx(errors)
    assert seen.tally.scrapped[0, cause] == seen.tally.scrapped.sum() == (bad == "scrap")
    assert seen.tally.first_salvaged.sum() == seen.tally.first_salvaged[0, cause] == (bad == "salvage")
    assert seen.tally.first_scrapped[0] == (bad == "scrap")
    assert seen.tally.recut.sum() == 0
    assert seen.tally.first_pass[0] == 3 + (bad == "pass")
    assert seen.tally.passed[0] == 3 + (bad != "scrap")


def test_the_account_of_an_error_follows_the_parts_on_the_bench() -> None:
    """The follower itself holds every part against the floor."""
    plan = make_plan(works({"bad": "salvage"}, 60.0, limits=(99.997, 100.003)), "as stated")
    account = account_of_run(plan, 0, 0, 1, 0)
    assert len(account.parts) > 50


def test_a_machine_that_runs_on_makes_more_and_one_that_stands_makes_fewer_bad_ones() -> None:
    running, standing = firsts({}, 100.0), firsts({"meanwhile": "stands"}, 100.0)
    assert running.tally.shipped[0] > standing.tally.shipped[0]
    far = [sum(abs(error) > 2.0 for error in seen.errors("Op 10")) for seen in (running, standing)]
    assert far[0] > far[1]
