"""Desk figures of lines with part types, batches and ways: by hand, and beside a run."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.desk import Desk, desk_figures
from linesim.report.terminal.check import desk_text
from linesim.report.views.routing_picture import constraint_words, routing_picture
from linesim.study import run
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop
from tests.printed import terminal_tables
from tests.unit.test_floor_types import line_of

HEADS = {"left": {"batch": 40}, "right": {"batch": 20, "worth": 195, "casting_price": 70}}
FIRST = {"minutes": 6, "minutes_by_type": {"right": 8}, "changeover": {"minutes": 25}}
FACE = {"features": {"face": {"size": {"limits": [99.98, 100.02]}}}}
REST = {
    "Op 20": {"minutes": 5, "buffer": 8},
    "wash": {"minutes": 12, "buffer": "unlimited", "batch": {"most": 4, "waits": 20}},
    "Op 30": {"minutes": 5, "buffer": 6, "only": ["right"]},
}


def heads(first: dict[str, Any] | None = None, parts: dict[str, Any] | None = None, **more: Any) -> Works:
    """Left and right heads, 40 and 20 in a batch."""
    operations = {"Op 10": FIRST | (first or {}), **REST, **more.pop("operations", {})}
    line = {"casting": {"price": 60}, "worth": 180} | more.pop("line", {})
    return line_of(operations, parts or HEADS, 900.0, line=line, **more)


def row_of(desk: Desk, operation: str) -> dict[str, Any]:
    return dict(desk.operations.set_index("operation").loc[operation])


def test_minutes_are_the_mean_of_the_types_with_their_changeovers() -> None:
    """(40 · 6 + 20 · 8 + 2 · 25) / 60 = 7.5 min: 8 parts an hour. A third of the parts come to Op 30."""
    works = heads()
    desk = desk_figures(works)
    first = row_of(desk, "Op 10")
    assert first["cutting_min"] == pytest.approx(400 / 60)
    assert first["changeover_min"] == pytest.approx(50 / 60)
    assert first["parts_per_hour"] == pytest.approx(8.0)
    assert row_of(desk, "wash")["minutes_per_part"] == pytest.approx(3.0)
    assert row_of(desk, "Op 30")["share_of_parts"] == pytest.approx(1 / 3)
    assert row_of(desk, "Op 30")["parts_per_hour"] == pytest.approx(36.0)
    assert desk.constraints.iloc[0]["operation"] == "Op 10"
    assert float(run(works).lines["good_per_hour"].iloc[0]) == pytest.approx(8.0, rel=0.05)
    assert any("changes over for 0.83 of the 7.5 min of each part, once for 30 parts" in each for each in desk.remarks)


def test_each_type_has_its_own_constraint_and_earns_its_own_margin_there() -> None:
    """Alone, left heads go at 10 an hour (Op 10) and right ones at 7.5 with 60 (195 - 70) / 8 a constraint hour."""
    desk = desk_figures(heads())
    left, right = desk.types.to_dict(orient="records")
    assert (left["part_type"], left["operation"], left["parts_per_hour"]) == ("left", "Op 10", 10.0)
    assert (right["operation"], right["parts_per_hour"]) == ("Op 10", 7.5)
    assert left["margin_per_constraint_hour"] == pytest.approx(1200.0)
    assert right["margin_per_constraint_hour"] == pytest.approx(60 * 125 / 8)
    assert [left["share"], right["share"]] == pytest.approx([2 / 3, 1 / 3])
    (table,) = [each for each in terminal_tables(desk_text(desk)) if "Part types" in each.title]
    assert table.rows[1][-1] == "937.50"


def test_the_constraint_moves_with_the_mix() -> None:
    """With Op 30 at 30 min: 10 min of each part hold the mix; left heads pass it by and are held by Op 10."""
    works = heads(operations={"Op 30": REST["Op 30"] | {"minutes": 30}})
    desk = desk_figures(works)
    assert desk.constraints.iloc[0]["operation"] == "Op 30"
    assert desk.types["operation"].tolist() == ["Op 10", "Op 30"]
    assert math.isinf(desk.types["margin_per_constraint_hour"].iloc[0])
    assert "left alone would be held back by Op 10, at 10.00 parts an hour." in constraint_words(works, desk)


def test_a_policy_s_batches_change_the_minutes_at_the_desk() -> None:
    """120 and 60 in a batch: (120 · 6 + 60 · 8 + 50) / 180 min."""
    policies = {"long": {"default": "run out", "batches": {"line": {"left": 120, "right": 60}}}}
    desk = desk_figures(heads(policies=policies), "long")
    assert row_of(desk, "Op 10")["minutes_per_part"] == pytest.approx(1250 / 180)


@pytest.mark.parametrize(
    ("first", "parts", "minutes"),
    [
        # each of two machines changes over once in a batch of 40 and once in one of 20
        ({"machines": 2}, HEADS, 2 * 50 / 60),
        # but not more often than it gets a part
        ({"machines": 3}, {"left": {"batch": 2}, "right": {"batch": 1}}, (2 + 1) * 25 / 3),
        # drawn: two parts in a row are unlike with 2 · 0.75 · 0.25
        ({}, {"left": {"share": 0.75}, "right": {"share": 0.25}}, 0.375 * 25),
        # taken in turns of 12: of 100 castings 75 are left, in 6.25 turns, and as many of right
        ({"sequence": "in turn", "turn": 12}, {"left": {"share": 0.75}, "right": {"share": 0.25}}, 2 * 0.0625 * 25),
        ({"sequence": "in turn"}, HEADS, 0.0),
        ({"sequence": "same type first"}, HEADS, 50 / 60),
    ],
)
def test_changeovers_follow_batches_shares_and_turns(
    first: dict[str, Any], parts: dict[str, Any], minutes: float
) -> None:
    arrivals = {"casting": {"arrivals": {"between": 9}}} if "sequence" in first else {}
    desk = desk_figures(heads(first, parts, line=arrivals))
    assert row_of(desk, "Op 10")["changeover_min"] == pytest.approx(minutes)
    is_open = "only a run tells" in " ".join(each for each in desk.remarks if '"Op 10"' in each)
    assert is_open == (first.get("sequence") is not None and "turn" not in first)


def test_a_matrix_counts_the_changeovers_that_come_and_leaves_out_types_that_pass_by() -> None:
    """A 40, B 20, C 40 at 6, 8, 5 min with 20, 45 and 15: 680 min for 100 parts. Without B: A to C 50, C to A 15."""
    table = {"A": {"B": 20, "C": 50}, "B": {"C": 45, "A": 30}, "C": {"A": 15, "B": 15}}
    parts = {"A": {"batch": 40}, "B": {"batch": 20}, "C": {"batch": 40}}
    operation = {"minutes": 6, "minutes_by_type": {"B": 8, "C": 5}, "changeover": {"from_to": table}}
    short = {"minutes": 1, "buffer": "unlimited", "only": ["A", "C"], "changeover": {"from_to": table}}
    desk = desk_figures(line_of({"Op 10": operation, "Op 20": short}, parts))
    assert row_of(desk, "Op 10")["parts_per_hour"] == pytest.approx(8.82353, abs=5e-6)
    assert row_of(desk, "Op 20")["minutes_per_part"] == pytest.approx((80 + 65) / 100)


@pytest.mark.parametrize(
    ("move", "buffer", "per_hour"),
    [
        ({"minutes": 6, "carriers": 2, "back": 4}, 3, 12.0),  # two carriers, 10 min each
        ({"length": "1 m", "speed": "0.1 m/min", "pitch": "500 mm"}, 0, 12.0),  # a part each 5 min
        ({"minutes": 6}, 1, 12.0),  # a place and a machine, each 4 min of work and 6 of way
        ({"minutes": 6}, 0, 6.0),  # no room: 4 min of work and 6 of way
        ({"minutes": 6}, "unlimited", 15.0),
        ({"minutes": 6}, 3, 15.0),
    ],
)
def test_a_way_can_hold_the_line_back(move: dict[str, Any], buffer: Any, per_hour: float) -> None:
    operations = {"Op 10": {"minutes": 3}, "Op 20": {"minutes": 4, "buffer": buffer, "move": move}}
    works = line_of(operations, length=960.0)
    desk = desk_figures(works)
    held = desk.constraints.iloc[0]
    assert (held["operation"], held["is_way"]) == ("Op 20", per_hour < 15.0)
    assert held["parts_per_hour"] == pytest.approx(per_hour)
    assert float(run(works).lines["good_per_hour"].iloc[0]) == pytest.approx(per_hour, rel=0.03)
    assert ("The way to Op 20 holds the line back: it can bring" in constraint_words(works, desk)) == (per_hour < 15.0)


def test_a_way_for_some_types_holds_back_those_alone() -> None:
    """A carrier brings 6 right heads an hour, a third of the parts: 18 of the line's parts."""
    only = {"minutes": 1, "only": ["right"], "buffer": 4, "move": {"minutes": 5, "carriers": 1}}
    desk = desk_figures(heads(operations={"Op 30": only}))
    assert row_of(desk, "Op 30")["way_per_hour"] == pytest.approx(18.0)
    assert desk.types.set_index("part_type").at["right", "operation"] == "Op 30"
    assert desk.types.set_index("part_type").at["right", "parts_per_hour"] == pytest.approx(6.0)


def test_sets_last_longer_where_they_cut_some_types_only() -> None:
    """Cuts of 2 min for all and 3 for right heads, in one set of 60 min: 60 / (2 + 3 / 3) = 20 parts of the line.

    Another set cuts right heads alone, 20 of them in a life of 60 min, which are 60 parts of the line.
    """
    cuts = {
        "rough": {"cuts": {"rough": a_cut("tip", minutes=2)}},
        "more": {"cuts": {"more": a_cut("tip", minutes=3, only=["right"])}},
        "last": {"cuts": {"last": a_cut("reamer", minutes=3, only=["right"])}},
    }
    cutters = {name: a_blade(life=60.0, change=6.0) for name in ("tip", "reamer")}
    works = a_shop({"Op 10": {"strokes": cuts}}, cutters=cutters, line={"parts": HEADS, **FACE}, rule={"life": 1})
    desk = desk_figures(works)
    tip, reamer = desk.sets.to_dict(orient="records")
    assert (tip["minutes_per_part"], tip["parts_between"], tip["share_of_parts"]) == pytest.approx((3.0, 20.0, 1.0))
    assert (reamer["minutes_per_part"], reamer["parts_between"]) == pytest.approx((3.0, 20.0))
    assert reamer["share_of_parts"] == pytest.approx(1 / 3)
    assert row_of(desk, "Op 10")["change_min"] == pytest.approx(6 / 20 + 6 / 60)
    assert row_of(desk, "Op 10")["cutting_min"] == pytest.approx(2 + 3 / 3 + 3 / 3)


def test_a_set_changed_each_shift_does_the_parts_of_its_types_meanwhile() -> None:
    """A reamer for right heads, a third of the parts, in a shift of 480 min at 1 and 4 min: 480 / 6 = 80 of them."""
    cuts = {
        "rough": {"cuts": {"rough": a_cut("tip", minutes=1)}},
        "last": {"cuts": {"last": a_cut("reamer", minutes=3, only=["right"])}},
    }
    cutters = {name: a_blade(life=1e6, change=6.0) for name in ("tip", "reamer")}
    works = a_shop({"Op 10": {"strokes": cuts}}, cutters=cutters, line={"parts": HEADS, **FACE}, rule={"shift": 1})
    tip, reamer = desk_figures(works).sets["parts_between"]
    assert (tip, reamer) == pytest.approx((480 / 2, 80))


def test_a_part_that_passes_by_the_last_operation_is_shipped_at_the_one_before() -> None:
    """Its row of the trace says so, names its type; its casting has the price of its type, 10 EUR more for right ones.

    What else stands in the ledger for castings, of parts that are still in the line, is spread evenly over all parts.
    """
    answer = run(heads(), trace=True)
    assert answer.trace is not None
    parts = answer.trace.parts
    shipped = parts[parts["outcome"] == "shipped"]
    assert set(map(tuple, shipped[["part_type", "operation"]].to_numpy())) == {("left", "wash"), ("right", "Op 30")}
    assert len(shipped) == int(answer.tally.shipped.sum())
    kinds = answer.parts.merge(shipped[["serial", "part_type"]], on="serial").groupby("part_type")["castings"].mean()
    assert kinds["right"] - kinds["left"] == pytest.approx(1000, abs=1)


def test_the_drawing_has_ways_branches_batches_and_changeovers() -> None:
    works = heads(operations={"Op 20": REST["Op 20"] | {"move": {"minutes": 2, "carriers": 3}}})
    picture = routing_picture(works, desk_figures(works), "line")
    traces = {trace.name: trace for trace in picture.figure.data if trace.name}
    assert traces["a way (square: conveyor)"].hovertext == ("3 carriers, 2.00 min there",)
    assert list(traces["past it, for other part types"].x)[:1] == pytest.approx([3 - 0.36])
    assert traces["a changeover between part types"].hovertext == ("changeover 25.0 min, oldest first",)
    assert next(iter(traces["changing over"].y)) == pytest.approx(50 / 60)
    assert "takes up to 4 parts at once, waits 20.0 min for more" in traces["machines"].hovertext[2]
    assert any("right only" in str(each.text) for each in picture.figure.layout.annotations)
    assert "changing over" in str(picture.sheet.heads)
    assert "3 carriers, 2.00 min there" in str(picture.sheet.rows)
