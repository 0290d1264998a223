"""More room, people, sets, sisters or grinders never slow a line down, where theory says so.

Room: in a line of single machines with blocking after service every departure is a maximum of sums of times (E. J.
Muth, Management Science 25 (1979), 854-863), and a larger buffer takes terms out of the maximum; so no part leaves
later, whatever its times are. Setters, sets and grinders: with like machines and fixed times nobody overtakes anybody,
and the n-th change begins when the n-th worn machine and the earliest of the setters (sets, grinders) are there, again
a maximum of sums with fewer terms for more of them (F. Baccelli, G. Cohen, G. J. Olsder and J.-P. Quadrat,
*Synchronization and Linearity*, Wiley 1992). With unlike machines or drawn changes that need not hold, and is not
claimed.
"""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.floors import Seen, a_shop, a_tool, run_shop
from tests.strategies import durations, steady, timed

PARTS = 12


def tandem(minutes: list[Any], room: list[int], tools: list[int | None], change_min: int) -> Seen:
    """Single machines in a row; some change a tool every so many parts."""
    operations: dict[str, Any] = {}
    rules: dict[str, Any] = {}
    cutters: dict[str, Any] = {}
    for at, time in enumerate(minutes):
        name = f"Op {10 * (at + 1)}"
        operations[name] = {"minutes": time, "buffer": room[at]}
        if tools[at] is not None:
            operations[name]["sets"] = [f"tool {at}"]
            cutters[f"tool {at}"] = a_tool(change=change_min)
            rules[f"tool {at}"] = {"parts": tools[at]}
    return run_shop(a_shop(timed(operations), cutters=cutters, exceptions=rules, castings=PARTS, length=5_000.0))


@st.composite
def tandems(draw: st.DrawFn) -> tuple[list[Any], list[int], list[int], list[int | None], int]:
    """Times, room and more room of each machine, and tools."""
    count = draw(st.integers(2, 4))
    minutes = [draw(durations(0, 9)) for _ in range(count)]
    room = [draw(st.integers(0, 3)) for _ in range(count)]
    more = [places + draw(st.integers(0, 2)) for places in room]
    tools = [draw(st.sampled_from([None, 1, 3])) for _ in range(count)]
    return minutes, room, more, tools, draw(st.integers(0, 6))


@steady
@given(tandems())
def test_no_part_leaves_later_for_more_room_between_machines(
    drawn: tuple[list[Any], list[int], list[int], list[int | None], int],
) -> None:
    minutes, room, more, tools, change_min = drawn
    narrow, wide = tandem(minutes, room, tools, change_min), tandem(minutes, more, tools, change_min)
    for at in range(len(minutes)):
        name = f"Op {10 * (at + 1)}"
        pairs = list(zip(wide.when("left", name), narrow.when("left", name), strict=True))
        assert len(pairs) == PARTS
        assert all(early <= late for early, late in pairs)


def attended(machines: int, sets: int, grinders: int, setters: int, minutes: dict[str, int]) -> list[float]:
    """When the parts of like machines are done that wear a set each; fixed minutes of cut, change and regrind."""
    operation = {"minutes": minutes["cut"], "machines": machines, "sets": ["tool"], "setters": "setters"}
    stone = {"reground": {"stock": 1e6, "minutes": minutes["regrind"]}}
    works = a_shop(
        {"Op 10": operation},
        cutters={"tool": a_tool(sets=sets, change=minutes["change"], renewal=stone)},
        people={"setters": {"count": setters}},
        crib={"grinders": grinders},
        rule={"parts": 1},
        length=150.0,
    )
    return sorted(run_shop(works).when("left", "Op 10"))


def is_no_later(more: list[float], fewer: list[float]) -> bool:
    """Whether the n-th part is done no later, for every n."""
    return len(more) >= len(fewer) and all(early <= late for early, late in zip(more, fewer, strict=False))


MINUTES = st.fixed_dictionaries({"cut": st.integers(1, 12), "change": st.integers(0, 6), "regrind": st.integers(0, 20)})


@settings(steady, max_examples=25)  # each takes four runs
@given(st.integers(1, 4), st.integers(0, 3), st.integers(1, 3), st.integers(1, 3), MINUTES)
def test_more_setters_sets_or_grinders_never_slow_like_machines_down(
    machines: int, spare: int, grinders: int, setters: int, minutes: dict[str, int]
) -> None:
    sets = machines + spare
    plain = attended(machines, sets, grinders, setters, minutes)
    assert is_no_later(attended(machines, sets, grinders, setters + 1, minutes), plain)
    assert is_no_later(attended(machines, sets + 1, grinders, setters, minutes), plain)
    assert is_no_later(attended(machines, sets, grinders + 1, setters, minutes), plain)


def manned(machines: int, operators: int, fitters: int, minutes: dict[str, int]) -> list[float]:
    """When the parts of like machines are done that operators load and fitters repair; all times are fixed."""
    repaired = {"between": 3 * minutes["cut"], "repair": minutes["change"], "fitters": "fitters"}
    operation = {
        "minutes": minutes["cut"], "machines": machines, "load": minutes["regrind"], "fitters": "fitters",
        "breakdowns": {key: of for key, of in repaired.items() if key != "fitters"},
        "attended": {"by": "operators", "jobs": ["load"]},
    }  # fmt: skip
    people = {"operators": {"count": operators}, "fitters": {"count": fitters}}
    return sorted(run_shop(a_shop({"Op 10": operation}, people=people, length=150.0)).when("left", "Op 10"))


@settings(steady, max_examples=25)  # each takes three runs
@given(st.integers(1, 4), st.integers(1, 3), st.integers(1, 3), MINUTES)
def test_more_operators_or_fitters_never_slow_like_machines_down(
    machines: int, operators: int, fitters: int, minutes: dict[str, int]
) -> None:
    plain = manned(machines, operators, fitters, minutes)
    assert is_no_later(manned(machines, operators + 1, fitters, minutes), plain)
    assert is_no_later(manned(machines, operators, fitters + 1, minutes), plain)


@settings(steady, max_examples=25)  # each takes two runs
@given(st.integers(1, 5), st.integers(1, 5), st.integers(1, 4), st.integers(0, 9))
def test_more_sisters_never_slow_a_machine_down_where_a_stop_costs_its_own_minutes(
    sisters: int, life: int, cut_min: int, access_min: int
) -> None:
    """The n-th part waits for one stop in every ``sisters`` lives; with more of them it is behind fewer stops.

    Where each set has minutes of its own this need not hold: more of them are renewed in one stop.
    """

    def done(count: int) -> list[float]:
        operation = {"minutes": cut_min, "sets": ["tool"], "access": access_min, "setters": "setters",
                     "magazine": {"sisters": {"tool": count}, "exchange": 0}}  # fmt: skip
        works = a_shop({"Op 10": operation}, cutters={"tool": a_tool(sets=20)}, rule={"parts": life},
                       people={"setters": {}}, length=150.0)  # fmt: skip
        return run_shop(works).when("left", "Op 10")

    assert is_no_later(done(sisters + 1), done(sisters))
