"""Who gets what first on the floor: parts, sharp sets, setters; each floor worked out by hand."""

from __future__ import annotations

from typing import Any

from linesim.plan.tally import State
from tests.floors import a_shop, a_tool, run_shop

INDEXED = {"indexed": {"edges": 1000}}
"""Edges without end: turned where they are, so that only the setter is needed."""


def reground(minutes: float) -> dict[str, Any]:
    return {"reground": {"stock": 1000.0, "minutes": minutes}}


def test_the_oldest_part_in_a_buffer_goes_first() -> None:
    """Part 1 overtakes part 0; parts 2 and 3 come at one instant, the one from machine No. 1 before the other."""
    operations = {
        "Op 10": {"minutes": {"in_order": [5, 2, 4, 1]}, "machines": 2},
        "Op 20": {"minutes": 10, "buffer": "unlimited"},
    }
    seen = run_shop(a_shop(operations, castings=4, length=100.0))
    assert seen.machine_of["Op 10", "line", 3] == "Op 10 No. 1"
    assert seen.when("complete", "Op 10") == [5.0, 2.0, 6.0, 6.0]
    assert seen.when("loaded", "Op 20") == [12.0, 2.0, 32.0, 22.0]


def test_a_full_buffer_keeps_the_part_on_the_machine() -> None:
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 5, "buffer": 1}}
    seen = run_shop(a_shop(operations, length=20.0))
    assert seen.when("complete", "Op 10")[:4] == [2.0, 4.0, 6.0, 9.0]
    assert seen.when("left", "Op 10")[:4] == [2.0, 4.0, 7.0, 12.0]
    assert seen.spans_in("Op 10", State.HELD_UP)[:2] == [(6.0, 7.0), (9.0, 12.0)]


def test_a_worn_tool_waits_for_a_sharp_set_and_then_for_the_setter() -> None:
    """The only set is ground from 5 to 12; the setter is at the other line from 4 to 24."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 5, "sets": ["lone"], "setters": "setters"}}},
        "b": {"operations": {"Op B": {"minutes": 4, "sets": ["slow"], "setters": "setters"}}},
    }
    cutters = {
        "lone": a_tool(sets=1, change=3, renewal=reground(7)),
        "slow": a_tool(change=20),
    }
    seen = run_shop(
        a_shop(lines=lines, cutters=cutters, people={"setters": {"count": 1}}, rule={"parts": 1}, length=30.0)
    )
    assert seen.spans["Op A"][:5] == [
        (State.CUTTING.words, 0.0, 5.0),
        (State.WAITING_FOR_SET.words, 5.0, 12.0),
        (State.WAITING_FOR_SETTER.words, 12.0, 24.0),
        (State.CHANGING.words, 24.0, 27.0),
        (State.CUTTING.words, 27.0, 30.0),
    ]


def test_dull_sets_are_handed_in_before_sharp_ones_are_claimed() -> None:
    """With one set for each machine and no spare, both machines still go on: their own sets come back sharp."""
    operations = {"Op 10": {"minutes": 5, "machines": 2, "sets": ["tool"]}}
    cutters = {"tool": a_tool(sets=2, renewal=reground(2))}
    seen = run_shop(a_shop(operations, cutters=cutters, rule={"parts": 1}, length=30.0))
    assert seen.spans_in("Op 10 No. 1", State.WAITING_FOR_SET)[:2] == [(5.0, 7.0), (12.0, 14.0)]
    assert seen.spans_in("Op 10 No. 2", State.WAITING_FOR_SET)[:2] == [(5.0, 9.0), (14.0, 16.0)]
    assert not seen.tally.is_stuck


def test_the_longest_waiting_is_served_first() -> None:
    """Three machines stop at 4, 6 and 5 while the setter is away from 4 to 14: the one that stopped at 5 is next."""
    operations = {
        f"Op {name}": {"minutes": minutes, "sets": ["tool"], "setters": "setters"}
        for name, minutes in (("A", 4), ("B", 6), ("C", 5))
    }
    lines = {name: {"operations": {name: operation}} for name, operation in operations.items()}
    cutters = {"tool": a_tool(sets=9, change=10)}
    works = a_shop(lines=lines, cutters=cutters, people={"setters": {"count": 1}}, rule={"parts": 1}, length=40.0)
    begun = list(run_shop(works).order_in(State.CHANGING))
    assert begun == [(4.0, "Op A"), (14.0, "Op C"), (24.0, "Op B"), (34.0, "Op A")]


def test_among_equals_downstream_is_served_first_and_then_by_machine_number() -> None:
    """At minute 10 both machines of Op 10 have done two parts, and Op 20 its first."""
    operations = {
        "Op 10": {"minutes": 5, "machines": 2, "sets": ["mill"], "setters": "setters"},
        "Op 20": {"minutes": 5, "buffer": "unlimited", "sets": ["drill"], "setters": "setters"},
    }
    cutters = {name: a_tool(sets=2, change=1, renewal=INDEXED) for name in ("mill", "drill")}
    works = a_shop(
        operations,
        cutters=cutters,
        people={"setters": {"count": 1}},
        exceptions={"mill": {"parts": 2}, "drill": {"parts": 1}},
        length=14.0,
    )
    begun = list(run_shop(works).order_in(State.CHANGING))
    assert begun[:3] == [(10.0, "Op 20"), (11.0, "Op 10 No. 1"), (12.0, "Op 10 No. 2")]


def test_people_are_given_out_only_when_all_that_is_due_has_happened() -> None:
    """Both lines ask at minute 5. The first has yet to ship a part and take another, the second ends a look at its
    edge; the first stands before it in the order of lines and is served first."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 5, "sets": ["mill"], "setters": "setters"}}},
        "b": {"operations": {"Op B": {"minutes": 4, "sets": ["drill"], "setters": "setters"}}},
    }
    cutters = {
        "mill": a_tool(change=3, renewal=INDEXED),
        "drill": a_tool(change=3, renewal=INDEXED, life=100),
    }
    works = a_shop(
        lines=lines,
        cutters=cutters,
        people={"setters": {"count": 1}},
        exceptions={"mill": {"parts": 1}, "drill": {"check": {"every": 1, "past": 0.001, "minutes": 1}}},
        length=12.0,
    )
    begun = list(run_shop(works).order_in(State.CHANGING))
    assert begun == [(5.0, "Op A"), (8.0, "Op B")]


def test_a_set_that_comes_back_at_the_instant_serves_who_asks_at_the_instant() -> None:
    """At minute 10 the set of A is sharp again and B asks for one; A has waited since 5 and gets it, B waits on."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 5, "sets": ["tool"]}}},
        "b": {"operations": {"Op B": {"minutes": 10, "sets": ["tool"]}}},
    }
    cutters = {"tool": a_tool(sets=2, renewal=reground(5))}
    seen = run_shop(a_shop(lines=lines, cutters=cutters, rule={"parts": 1}, length=16.0))
    assert seen.spans_in("Op A", State.WAITING_FOR_SET)[0] == (5.0, 10.0)
    assert seen.spans_in("Op B", State.WAITING_FOR_SET)[0] == (10.0, 15.0)


def test_several_lines_share_setters_crib_and_grinders() -> None:
    """A hands in at 5 and gets its set back at 8; B at 6, is ground from 8 to 11, and waits for the setter until 12."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 5, "sets": ["tool"], "setters": "setters"}}},
        "b": {"operations": {"Op B": {"minutes": 6, "sets": ["tool"], "setters": "setters"}}},
    }
    cutters = {"tool": a_tool(sets=2, change=4, renewal=reground(3))}
    people = {"setters": {"count": 1}}
    seen = run_shop(a_shop(lines=lines, cutters=cutters, people=people, rule={"parts": 1}, length=17.0))
    assert seen.spans["Op A"][1:3] == [
        (State.WAITING_FOR_SET.words, 5.0, 8.0),
        (State.CHANGING.words, 8.0, 12.0),
    ]
    assert seen.spans["Op B"][1:4] == [
        (State.WAITING_FOR_SET.words, 6.0, 11.0),
        (State.WAITING_FOR_SETTER.words, 11.0, 12.0),
        (State.CHANGING.words, 12.0, 16.0),
    ]


def test_lines_with_operations_of_one_name_keep_their_parts_apart() -> None:
    lines = {name: {"operations": {"Op 10": {"minutes": minutes}}} for name, minutes in (("block", 3), ("head", 4))}
    seen = run_shop(a_shop(lines=lines, length=12.5))
    assert seen.when("left", "Op 10", "block") == [3.0, 6.0, 9.0, 12.0]
    assert seen.when("left", "Op 10", "head") == [4.0, 8.0, 12.0]
    assert seen.tally.shipped.tolist() == [4, 3]


def arriving(between: Any, minutes: Any, **casting: Any) -> dict[str, Any]:
    return {"casting": {"arrivals": {"between": between, **casting}}, "operations": {"Op 10": {"minutes": minutes}}}


def test_a_casting_that_finds_no_room_is_turned_away() -> None:
    """Castings come every 3 minutes and take 5: every second one finds the machine busy and no place to stand."""
    seen = run_shop(a_shop(lines={"line": arriving(3, 5, when_full="turn away")}, length=20.0))
    assert sorted(seen.when("loaded", "Op 10")) == [3.0, 9.0, 15.0]
    assert seen.tally.turned_away.tolist() == [3]
    assert seen.tally.castings.tolist() == [3]


def test_a_casting_that_comes_as_the_machine_comes_free_is_not_turned_away() -> None:
    seen = run_shop(a_shop(lines={"line": arriving(5, 5, when_full="turn away")}, length=31.0))
    assert seen.when("loaded", "Op 10") == [5.0, 10.0, 15.0, 20.0, 25.0, 30.0]
    assert seen.tally.turned_away.tolist() == [0]
    assert seen.tally.most_stock.tolist() == [0]


def test_nor_is_one_that_comes_as_a_machine_further_on_lets_the_first_one_go() -> None:
    """Op 10 is held up from 4 on; at 7 Op 20 ships, takes its part, and so the casting that comes at 7 goes in."""
    line = arriving({"in_order": [0, 2, 5, 1000]}, 2, when_full="turn away")
    line["operations"]["Op 20"] = {"minutes": 5}
    seen = run_shop(a_shop(lines={"line": line}, length=20.0))
    assert seen.spans_in("Op 10", State.HELD_UP)[0] == (4.0, 7.0)
    assert seen.when("loaded", "Op 10") == [0.0, 2.0, 7.0]
    assert seen.tally.turned_away.tolist() == [0]


def test_a_casting_goes_in_only_with_a_free_pallet() -> None:
    """Two pallets in a line of 2 and 3 minutes: the third casting waits for the first to leave."""
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 3, "buffer": "unlimited"}}
    seen = run_shop(a_shop(operations, line={"pallets": 2}, length=20.0))
    assert seen.when("loaded", "Op 10")[:4] == [0.0, 2.0, 5.0, 8.0]
    assert seen.when("left", "Op 20")[:3] == [5.0, 8.0, 11.0]


def test_a_spoilt_part_gives_its_pallet_back() -> None:
    operations = {"Op 10": {"minutes": 2, "scrap_chance": 1.0}}
    seen = run_shop(a_shop(operations, line={"pallets": 1}, length=7.0))
    assert seen.when("scrapped", "Op 10") == [2.0, 4.0, 6.0]
