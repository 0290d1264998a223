"""The crib: regrinds as long as there is metal, new sets after their lead time, sets drawn in turn."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_shop, a_tool, run_shop


def worn(parts: int, length: float, minutes: float = 10.0, **reground: Any) -> Seen:
    """A machine with one set of life 10 min (land 0.3 mm at its end), ground in a minute, bought in 50."""
    stone = {"stock": 3.0, "margin": 0.1, "minutes": 1.0, "past_limit": 0.0, **reground}
    tool = a_tool(sets=1, life=10.0, lead_time=50.0, renewal={"reground": stone})
    operation = {"minutes": minutes, "sets": ["tool"]}
    return run_shop(a_shop({"Op 10": operation}, cutters={"tool": tool}, rule={"parts": parts}, length=length))


@pytest.mark.parametrize(("parts", "regrinds"), [(1, 7), (2, 4), (3, 3)])
def test_a_set_is_ground_until_its_stock_is_used_up(parts: int, regrinds: int) -> None:
    """Stock 3 mm, margin 0.1 mm, land 0.3, 0.6 or 0.9 mm when it comes off: 7, 4 or 3 regrinds (derived).

    3 / (0.9 + 0.1) makes 3 and not 2.
    """
    edge_min = 10.0 * parts
    seen = worn(parts, length=(regrinds + 1) * edge_min + regrinds + 49.0)
    assert seen.tally.regrinds.tolist() == [regrinds]
    assert seen.tally.bought.tolist() == [1]
    assert [change.parts for change in seen.changes] == [parts] * (regrinds + 1)


@pytest.mark.parametrize(("parts", "regrinds"), [(1, 7), (2, 3), (3, 1)])
def test_past_its_limit_a_set_loses_more_than_its_land(parts: int, regrinds: int) -> None:
    """As much again for what lies past 0.3 mm: 0.4, 0.7 + 0.3 and 1.0 + 0.6 mm each time (facts of regrinding)."""
    seen = worn(parts, length=(regrinds + 1) * 10.0 * parts + regrinds + 49.0, past_limit=1.0)
    assert seen.tally.regrinds.tolist() == [regrinds]
    assert seen.tally.bought.tolist() == [1]


def test_both_engines_grind_alike_past_the_limit() -> None:
    stone = {"stock": 3.0, "minutes": 1.0, "past_limit": 1.5}
    tool = a_tool(sets=2, life=10.0, life_cv=0.4, lead_time=50.0, renewal={"reground": stone})
    operation = {"minutes": 10.0, "sets": ["tool"]}
    works = a_shop({"Op 10": operation}, cutters={"tool": tool}, rule={"parts": 2}, length=2_000.0)
    assert assert_twins_agree(make_plan(works, "as stated")).regrinds.sum() > 0


def test_tenths_of_a_millimetre_add_up() -> None:
    """0.1 mm can be taken three times from 0.3 mm, though not by the arithmetic of binary fractions."""
    assert 0.3 - 0.1 - 0.1 < 0.1
    tool = a_tool(sets=1, lead_time=50.0, renewal={"reground": {"stock": 0.3, "margin": 0.1, "minutes": 1.0}})
    operation = {"minutes": 10, "sets": ["tool"]}
    seen = run_shop(a_shop({"Op 10": operation}, cutters={"tool": tool}, rule={"parts": 1}, length=90.0))
    assert seen.tally.regrinds.tolist() == [3]


def test_a_new_set_comes_after_its_lead_time() -> None:
    seen = worn(3, length=180.0)
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET) == [(30.0, 31.0), (61.0, 62.0), (92.0, 93.0), (123.0, 173.0)]


def test_grinding_on_the_flank_takes_less_for_the_same_land() -> None:
    """A tenth of the land: 0.03 + 0.1 mm each time, 23 regrinds in 3 mm."""
    seen = worn(1, length=24 * 11.0 + 40.0, per_wear_land=0.1)
    assert seen.tally.regrinds.tolist() == [23]


def test_a_reground_edge_may_last_less_long() -> None:
    """Ten minutes are a whole life of the new edge and a quarter more than that of a reground one."""
    seen = worn(1, length=40.0, life=0.8)
    assert [change.life_share for change in seen.changes] == pytest.approx([1.0, 1.25, 1.25])


def test_a_duller_edge_costs_more_of_the_stock() -> None:
    seen = worn(1, length=15.0)
    cutter_set = seen.floor.machines[0].mounts[0].cutter_set
    assert cutter_set is not None
    assert cutter_set.stock_mm == pytest.approx(3.0 - 0.3 - 0.1)


def test_an_indexed_set_that_is_used_up_is_bought_anew() -> None:
    tool = a_tool(sets=1, lead_time=7.0, renewal={"indexed": {"edges": 2}})
    seen = run_shop(
        a_shop({"Op 10": {"minutes": 5, "sets": ["tool"]}}, cutters={"tool": tool}, rule={"parts": 1}, length=30.0)
    )
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET) == [(10.0, 17.0), (27.0, 30.0)]


def test_the_set_longest_on_the_shelf_is_drawn_first() -> None:
    """Sets 0 and 1 stand on two machines, 2 and 3 on the shelf; after them come 0 and 1, ground by then."""
    tool = a_tool(sets=4, renewal={"reground": {"stock": 1000.0, "minutes": 1.0}})
    drawn = []
    for length in (5.5, 10.5):
        seen = run_shop(
            a_shop(
                {"Op 10": {"minutes": 5, "machines": 2, "sets": ["tool"]}},
                cutters={"tool": tool},
                crib={"grinders": 2},
                rule={"parts": 1},
                length=length,
            )
        )
        sets = [seen.floor.machines[machine].mounts[0].cutter_set for machine in (0, 1)]
        drawn.append([each.number for each in sets if each is not None])
    assert drawn == [[2, 3], [0, 1]]


def test_grinders_are_shared_by_all_kinds_first_come_first_served() -> None:
    """One grinder: the mill's set from 5 to 9, then the drill's, handed in at 6, from 9 to 11."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 5, "sets": ["mill"]}}},
        "b": {"operations": {"Op B": {"minutes": 6, "sets": ["drill"]}}},
    }
    cutters = {
        "mill": a_tool(sets=1, renewal={"reground": {"stock": 1000.0, "minutes": 4.0}}),
        "drill": a_tool(sets=1, renewal={"reground": {"stock": 1000.0, "minutes": 2.0}}),
    }
    seen = run_shop(a_shop(lines=lines, cutters=cutters, rule={"parts": 1}, length=12.0))
    assert seen.spans_in("Op A", State.WAITING_FOR_SET) == [(5.0, 9.0)]
    assert seen.spans_in("Op B", State.WAITING_FOR_SET) == [(6.0, 11.0)]
    assert seen.tally.queue_min.tolist() == [3.0]
    assert seen.tally.busy_min.tolist() == [6.0]


def test_what_the_shelf_holds_is_counted_over_time() -> None:
    """Three sets: two sharp until 5, one until 10, then both drawn; ground one after the other in 20 min each."""
    tool = a_tool(sets=3, renewal={"reground": {"stock": 1000.0, "minutes": 20.0}})
    seen = run_shop(
        a_shop({"Op 10": {"minutes": 5, "sets": ["tool"]}}, cutters={"tool": tool}, rule={"parts": 1}, length=15.0)
    )
    assert seen.tally.sharp_min.tolist() == [2 * 5.0 + 5.0]
    assert seen.tally.fewest_sharp.tolist() == [0]
    assert seen.tally.set_claims.tolist() == [2]
