"""Part types, changeovers and sequences: floors worked out by hand, both engines at once."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.ledger import ledger_rows
from linesim.plan.build import make_plan
from linesim.plan.tally import State, Tally
from linesim.result import Result
from linesim.study import run
from linesim.works import Works, works_from_dict
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

TWO = {"A": {"batch": 2}, "B": {"batch": 1}}


def line_of(
    operations: dict[str, Any], parts: dict[str, Any] | None = None, length: float = 20.0, **more: Any
) -> Works:
    """A line of operations given by their minutes, with its part types."""
    content = {
        "name": "types",
        "run": {"length": length, "warm_up": 0},
        "lines": {"line": {"operations": operations, **({"parts": parts} if parts else {}), **more.pop("line", {})}},
        "policies": {"as stated": {"default": "run out"}} | more.pop("policies", {}),
        **more,
    }
    return works_from_dict(content, "types")


def seen_of(works: Works) -> Seen:
    """The floor, after both engines have been held to each other."""
    assert_twins_agree(make_plan(works, "as stated"))
    return run_shop(works)


def test_batches_come_in_a_cycle_with_a_changeover_between_them() -> None:
    """A A B at 2, 2 and 3 minutes, 5 from A to B and 4 back: done at 2, 4, 12, 18, 20."""
    table = {"A": {"B": 5}, "B": {"A": 4}}
    operation = {"minutes": 2, "minutes_by_type": {"B": 3}, "changeover": {"from_to": table}}
    seen = seen_of(line_of({"Op 10": operation}, TWO, 20.5))
    assert seen.when("complete", "Op 10") == [2.0, 4.0, 12.0, 18.0, 20.0]
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == [(4.0, 9.0), (12.0, 16.0), (20.0, 20.5)]
    assert seen.tally.shipped_of_type.tolist() == [4, 1]
    assert seen.tally.lead_of_type.tolist() == [2.0 + 2.0 + 6.0 + 2.0, 8.0]
    assert seen.tally.changeovers.tolist() == [3]


def test_a_changeover_waits_for_those_who_make_it() -> None:
    """One setter for two lines: the second is set over when the first is done; both need him at 1.0."""
    operation = {"minutes": 1, "changeover": {"minutes": 3, "by": "setters"}}
    line = {"parts": {"A": {"batch": 1}, "B": {"batch": 1}}, "operations": {"Op 10": operation}}
    content = {
        "name": "types",
        "run": {"length": 7.5, "warm_up": 0},
        "people": {"setters": {"rate": 60}},
        "lines": {"first": line, "second": {**line, "operations": {"Op 20": operation}}},
        "policies": {"as stated": {"default": "run out"}},
    }
    works = works_from_dict(content, "types")
    seen = seen_of(works)
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == [(1.0, 4.0), (7.0, 7.5)]
    assert seen.spans_in("Op 20", State.WAITING_FOR_SETTER) == [(1.0, 4.0)]
    assert seen.spans_in("Op 20", State.CHANGING_OVER) == [(4.0, 7.0)]
    rows = ledger_rows(works, make_plan(works, "as stated"), seen.tally)
    paid = rows[rows["item"] == "setters"]
    assert paid["operation"].tolist() == ["Op 10", "Op 20"]
    assert paid["minor_units"].sum() == 650


def test_types_pass_operations_by_and_go_on_behind_them() -> None:
    """B skips Op 20: it overtakes the A that is there, and the last operation is skipped straight to dispatch."""
    operations = {
        "Op 10": {"minutes": 1},
        "Op 20": {"minutes": 5, "only": ["A"], "buffer": 1},
        "Op 30": {"minutes": 1, "buffer": 2},
        "Op 40": {"minutes": 1, "only": ["A"]},
    }
    seen = seen_of(line_of(operations, {"A": {"batch": 1}, "B": {"batch": 1}}, 9.5))
    assert seen.moments["complete", "Op 20"] == {("line", 0): 6.0}
    assert seen.moments["complete", "Op 30"] == {("line", 1): 3.0, ("line", 3): 5.0, ("line", 0): 7.0, ("line", 5): 8.0}
    assert seen.moments["complete", "Op 40"] == {("line", 0): 8.0}
    assert seen.tally.shipped_of_type.tolist() == [1, 3]


@pytest.mark.parametrize(
    ("sequence", "order"),
    [
        ("oldest first", [0, 1, 2, 3, 4, 5]),
        ("same type first", [0, 3, 1, 4, 2, 5]),
        ("least changeover", [0, 3, 2, 5, 1, 4]),
    ],
)
def test_what_is_taken_of_those_that_wait(sequence: str, order: list[int]) -> None:
    """A B C A B C wait before a machine set to A after the first; to C is nearer than to B."""
    table = {"A": {"B": 9, "C": 2}, "B": {"A": 1, "C": 9}, "C": {"A": 9, "B": 1}}
    parts = {name: {"batch": 1} for name in "ABC"}
    operation = {"minutes": 1, "buffer": 9, "changeover": {"from_to": table}, "sequence": sequence}
    casting = {"limit": 6, "arrivals": {"between": 0.1}}
    works = line_of({"Op 10": operation}, parts, 60.0, line={"casting": casting})
    seen = seen_of(works)
    done = seen.moments["complete", "Op 10"]
    assert [serial for _, serial in sorted(done, key=lambda key: done[key])] == order


def test_the_same_choice_is_made_before_a_later_operation() -> None:
    """While Op 20 takes 4 minutes, A B A come at 1, 2, 3: it goes on with the A of 3 before the B of 2."""
    operations = {
        "Op 10": {"minutes": 1},
        "Op 20": {"minutes": 4, "buffer": 5, "sequence": "same type first", "changeover": {"minutes": 2}},
    }
    seen = seen_of(line_of(operations, {"A": {"batch": 1}, "B": {"batch": 1}}, 20.0, line={"casting": {"limit": 4}}))
    assert seen.moments["complete", "Op 20"] == {
        ("line", 0): 5.0,
        ("line", 2): 9.0,
        ("line", 1): 15.0,
        ("line", 3): 19.0,
    }


def test_in_turn_a_machine_changes_over_to_a_type_of_which_none_waits() -> None:
    """One B at 1.0: the machine has gone over to B at 2.0, cuts it until 3.0, and goes round on its own."""
    operation = {"minutes": 1, "changeover": {"minutes": 2}, "sequence": "in turn"}
    casting = {"limit": 1, "arrivals": {"between": 1}}
    parts = {"B": {"batch": 1}, "A": {"batch": 1}}
    works = line_of({"Op 10": operation}, parts, 7.5, line={"casting": casting})
    seen = seen_of(works)
    # It begins with B, of which none waits at 0.0; B comes at 1.0, when the machine is on its way to A.
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == [(0.0, 2.0), (2.0, 4.0), (5.0, 7.0), (7.0, 7.5)]
    assert seen.moments["complete", "Op 10"] == {("line", 0): 5.0}


# --- cuts ---------------------------------------------------------------------------------------------------------


def cut_shop(length: float, **more: Any) -> Works:
    """Two faces, the second only on A; each cut for a minute in a stroke of its own, gauged in no time."""
    faces = {name: {"size": {"limits": [99.98, 100.02]}} for name in ("face", "extra face")}
    faces["extra face"]["only"] = ["A"]
    strokes = {
        "first": {"cuts": {"cut": a_cut(feature="face", cutter="blade")}},
        "second": {"cuts": {"extra": a_cut(feature="extra face", cutter="extra blade")}},
    }
    gauges = {"extra gauge": {"feature": "extra face", "tries": 0}}
    operation = {"strokes": strokes, "gauges": gauges}
    cutters = {"blade": a_blade(life=1e9), "extra blade": a_blade(life=1e9)}
    parts = {"A": {"batch": 1}, "B": {"batch": 1}}
    line = {"features": faces, "parts": parts}
    return a_shop({"Op 10": operation}, line=line, cutters=cutters, length=length, **more)


def test_a_feature_that_a_type_does_not_have_is_neither_cut_nor_gauged_nor_counted() -> None:
    """A takes two minutes and B one: done at 2, 3, 5, 6."""
    works = cut_shop(6.5)
    seen = seen_of(works)
    assert seen.when("complete", "Op 10") == [2.0, 3.0, 5.0, 6.0]
    plan, tally = make_plan(works, "as stated"), seen.tally
    assert tally.readings.tolist() == [2]
    assert tally.places.tolist() == [4, 2]
    floor_mounts = [int(types) for types in plan.mounts.types]
    assert floor_mounts == [-1, 1]
    blank = seen.of_parts("complete", "Op 10")[1]
    assert (blank.error_um[1], blank.roughness_um[1], blank.is_clean[1]) == (0.0, 0.0, True)


def test_a_set_is_changed_after_parts_that_it_has_cut() -> None:
    """The extra blade after two parts: castings 0 and 2 are its own, and 4 is the first of the next one."""
    works = cut_shop(20.0, exceptions={"extra blade": {"parts": 2}})
    tally = assert_twins_agree(make_plan(works, "as stated"))
    assert (tally.planned.tolist(), tally.edge_parts.tolist()) == ([0, 3], [0, 6])


# --- money and the neutral case -----------------------------------------------------------------------------------


def test_worth_and_castings_are_those_of_the_types() -> None:
    """In 20.5 minutes 4 A and 1 B are shipped of 4 and 2 castings, at 100 and 300, 10 and 20 a casting."""
    parts = {"A": {"batch": 2, "worth": 100, "casting_price": 10}, "B": {"batch": 1, "worth": 300, "casting_price": 20}}
    operation = {"minutes": 2, "minutes_by_type": {"B": 3}, "changeover": {"from_to": {"A": {"B": 5}, "B": {"A": 4}}}}
    result: Result = run(line_of({"Op 10": operation}, parts, 20.5))
    rows = result.ledger[result.ledger["item"] == "castings"]
    assert dict(zip(rows["what"], rows["minor_units"], strict=True)) == {"casting, A": 4000, "casting, B": 4000}
    hours = 20.5 / 60.0
    assert result.lines["contribution_per_hour"].iloc[0] == pytest.approx((700.0 - 80.0) / hours)
    table = result.types.set_index("part_type")
    assert table["shipped"].to_dict() == {"A": 4, "B": 1}
    assert table["worth_less_castings_per_hour"].to_dict() == pytest.approx({"A": 360.0 / hours, "B": 260.0 / hours})
    over = result.changeovers.iloc[0]
    assert (over["changeovers"], over["minutes"], over["parts_per_changeover"]) == (3, 9.5, pytest.approx(5 / 3))


def test_scrapped_castings_cost_what_their_types_do() -> None:
    """Every part is spoiled: two castings of A at 10 and one of B at 40 in 3.5 minutes."""
    parts = {"A": {"batch": 2, "casting_price": 10}, "B": {"batch": 1, "casting_price": 40}}
    works = line_of({"Op 10": {"minutes": 1, "scrap_chance": 1}}, parts, 3.5)
    seen = seen_of(works)
    assert seen.tally.scrapped_of_type.tolist() == [[2, 1]]
    rows = ledger_rows(works, make_plan(works, "as stated"), seen.tally)
    lost = rows[(rows["item"] == "scrap") & (rows["what"] == "casting")]
    assert lost["minor_units"].sum() == 6000


@pytest.mark.parametrize("engine", [run_floor, run_fast])
def test_one_type_without_changeover_is_the_line_without_types(engine: Any) -> None:
    """Every figure of the run is the same to the last bit."""
    operations = {
        "Op 10": {"minutes": {"exponential": {"mean": 1}}, "scrap_chance": 0.1},
        "Op 20": {"minutes": {"exponential": {"mean": 1}}, "buffer": 3},
    }
    tallies: list[Tally] = []
    for parts in (None, {"only": {}}):
        plan = make_plan(line_of(operations, parts, 500.0), "as stated")
        tallies.append(engine(replace(plan, digest=""), 7, 0))
    for field in fields(Tally):
        np.testing.assert_array_equal(*(getattr(tally, field.name) for tally in tallies), field.name)


def test_shares_are_drawn_by_the_serial_number() -> None:
    """60 and 40 per cent of 2,000 castings, within four standard errors; the same castings under every policy."""
    parts = {"A": {"share": "60 %"}, "B": {"share": 0.4}}
    works = line_of({"Op 10": {"minutes": 1}}, parts, 2000.0)
    tally = run_fast(make_plan(works, "as stated"), 3, 0)
    assert tally.castings_of_type.sum() == tally.castings[0]
    assert abs(tally.castings_of_type[0] - 1200) < 4.0 * (2000 * 0.24) ** 0.5


def test_a_policy_says_batches_and_sequence() -> None:
    """B first and two of it: B B A, one changeover in three parts either way."""
    policies = {"other": {"default": "run out", "batches": {"line": {"B": 2, "A": 1}}}}
    operation = {"minutes": 1, "changeover": {"minutes": 3}}
    works = line_of({"Op 10": operation}, TWO, 6.5, policies=policies)
    tally = assert_twins_agree(make_plan(works, "other"))
    assert tally.shipped_of_type.tolist() == [1, 2]
