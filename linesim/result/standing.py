"""What stands, for good or for much of the time, and who waits for whom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import reduce

import numpy as np
import numpy.typing as npt

from linesim.plan.branches import is_passed_by
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, RenewalWay
from linesim.plan.tally import State, Tally
from linesim.result.floor_tables import by_operation
from linesim.words import Series, keep

__all__ = ["chain_sentences", "machine_name", "standstill_sentences"]

_CHAIN_WORTH_SAYING = 0.10
"""Share of the time of an operation's machines from which on it is said for whom they wait (common practice)."""

_MOST_TOLD = 6
"""Operations of one chain that are told by name."""

_BEHIND = {
    State.WAITING_FOR_PART: "part", State.FILLING: "filling", State.HELD_UP: "held", State.WAITING_FOR_FELLOW: "fellow",
}  # fmt: skip
"""States in which a machine waits for other machines, and the end of the key of its words."""

_CALLED = {
    State.WAITING_FOR_SETTER, State.WAITING_FOR_FITTER, State.WAITING_FOR_OPERATOR, State.WAITING_FOR_SET,
    State.FIRST_PIECE, State.WAITING_FOR_RESULT,
}  # fmt: skip
"""States in which it waits for people, or for what people bring."""


def standstill_sentences(plan: Plan, tally: Tally) -> Iterator[str]:
    """The floor, or lines and machines of it, that can never move again, with who waits for whom.

    Parameters
    ----------
    plan, tally : Plan, Tally
        What was run, and what it left behind.

    Yields
    ------
    str
    """
    if tally.is_stuck:
        yield from _floor_stands(plan, tally)
        return
    stuck = np.isfinite(tally.stuck_from_min)
    line_of = plan.operations.line[plan.machines.operation]
    for line, name in enumerate(plan.names.lines):
        here = np.flatnonzero((line_of == line) & stuck).tolist()
        waits = _waits(plan, tally, {machine: State(int(tally.stuck_state[machine])) for machine in here})
        if len(here) == np.count_nonzero(line_of == line):
            since_min = float(tally.stuck_from_min[here].max())
            yield keep("findings.stuck_line", line=name, minute=since_min, waits=waits)
        elif len(here):
            yield keep("findings.stuck_machines", line=name, waits=waits)
    yield from _without_grinder(plan, set(tally.stuck_for[stuck].tolist()) - {NONE})


def chain_sentences(plan: Plan, tally: Tally) -> Iterator[str]:
    """Operations that stand much for people or cutters, with those that stand much behind them.

    Parameters
    ----------
    plan, tally : Plan, Tally
        What was run, and what it left behind.

    Yields
    ------
    str
        One for each such operation behind which others stand; none where something stands for good, which says more.
    """
    if tally.is_stuck or np.isfinite(tally.stuck_from_min).any():
        return
    machines = plan.operations.end_machine - plan.operations.first_machine
    shares = by_operation(plan, tally.state_min) / (machines * tally.counted_min)[:, None]
    waits = sorted(_CALLED | _BEHIND.keys())
    longest = {at: State(waits[int(row[waits].argmax())]) for at, row in enumerate(shares)}
    standing = {at: state for at, state in longest.items() if shares[at, state] >= _CHAIN_WORTH_SAYING}
    for root, state in standing.items():
        if state not in _CALLED:
            continue
        chain = [root]
        for at in chain:
            chain += [each for each in standing if each not in chain and at in _behind_whom(plan, each, standing[each])]
        if len(chain) > 1:
            text = [_stands(plan, shares, at, standing[at]) for at in chain[:_MOST_TOLD]]
            more = [keep("findings.more_behind", count=len(chain) - _MOST_TOLD)] if len(chain) > _MOST_TOLD else []
            yield keep("findings.chain", waits=Series([*text, *more]))


def machine_name(plan: Plan, machine: int) -> str:
    """Operation of a machine, and its own name where there are several."""
    operation = int(plan.machines.operation[machine])
    name = plan.names.operations[operation]
    alone = plan.operations.end_machine[operation] - plan.operations.first_machine[operation] == 1
    if alone:
        return keep("justify.quoted", name=name)
    return keep("findings.machine_of", operation=name, machine=plan.names.machines[machine])


def _floor_stands(plan: Plan, tally: Tally) -> Iterator[str]:
    """The floor has come to a stand, and what its machines wait for, as far as their minutes tell."""
    ends = _last_states(plan, tally)
    counts = Counter(state for state in ends.values() if state is not None)
    waits = Series(
        keep("findings.machines", count=count, state=keep(f"states.{state.words}")) for state, count in counts.items()
    )
    yield keep("findings.stuck", minute=tally.stuck_at_min, waits=waits or keep("findings.no_reason"))
    known = {
        machine: state for machine, state in ends.items() if state is not None and state in _BEHIND.keys() | _CALLED
    }
    if any(_behind_whom(plan, int(plan.machines.operation[at]), state) for at, state in known.items()):
        yield keep("findings.chain", waits=_waits(plan, tally, known))
    waiting = [machine for machine, state in ends.items() if state is State.WAITING_FOR_SET]
    kinds = set(plan.mounts.kind[np.isin(plan.mounts.machine, waiting)].tolist())
    yield from _without_grinder(plan, {kind for kind in kinds if tally.fewest_sharp[kind] == 0})


def _without_grinder(plan: Plan, kinds: set[int]) -> Iterator[str]:
    """Kinds that nobody makes sharp again."""
    for kind in sorted(kinds):
        if plan.kinds.renewal[kind] == RenewalWay.REGROUND and plan.grinders == 0:
            name = plan.names.kinds[kind]
            yield keep("findings.no_grinder", cutter=name)


def _last_states(plan: Plan, tally: Tally) -> dict[int, State | None]:
    """State in which each machine has stood since the floor came to a stand; None where it cannot be told.

    It is the only state that can hold all the minutes since then.
    """
    end_min = plan.warm_up_min + plan.length_min
    stood_min = end_min - max(tally.stuck_at_min, plan.warm_up_min)
    ends: dict[int, State | None] = {}
    for machine, spent in enumerate(tally.state_min):
        long_enough = [state for state in State if spent[state] >= stood_min * (1.0 - 1e-9)]
        ends[machine] = long_enough[0] if len(long_enough) == 1 and stood_min > 0.0 else None
    return ends


def _waits(plan: Plan, tally: Tally, states: dict[int, State]) -> Series:
    """What each of some machines waits for, and from whom; those first that the others wait for."""
    text = []
    for machine in sorted(states, key=lambda each: (tally.stuck_for[each] == NONE, each)):
        kind, name = int(tally.stuck_for[machine]), machine_name(plan, machine)
        whom = _quoted(plan, _behind_whom(plan, int(plan.machines.operation[machine]), states[machine]))
        if kind != NONE:
            others = _with_sets(plan, machine, kind)
            more = {"whom": _quoted(plan, others)} if others else {}
            key = "findings.machine_waits_at" if others else "findings.machine_waits"
            text.append(keep(key, machine=name, cutter=plan.names.kinds[kind], **more))
        elif whom:
            text.append(keep(f"findings.machine_{_BEHIND[states[machine]]}", machine=name, whom=whom))
        else:
            text.append(keep("findings.machine_is", machine=name, state=keep(f"states.{states[machine].words}")))
    return Series(text)


def _stands(plan: Plan, shares: Floats, operation: int, state: State) -> str:
    """For how much of its time an operation stands, and for whom."""
    values = {"operation": plan.names.operations[operation], "share": 100.0 * float(shares[operation, state])}
    if state in _CALLED:
        return keep("findings.stands", state=keep(f"states.{state.words}"), **values)
    whom = _quoted(plan, _behind_whom(plan, operation, state))
    return keep(f"findings.stands_{_BEHIND[state]}", whom=whom, **values)


def _quoted(plan: Plan, operations: Sequence[int]) -> str:
    """Some operations by name; empty for none."""
    names = [keep("justify.quoted", name=plan.names.operations[each]) for each in operations]
    return reduce(lambda before, last: keep("format.and", first=before, last=last), names) if names else ""


def _with_sets(plan: Plan, machine: int, kind: int) -> list[int]:
    """Other operations that have sets of a kind on their machines."""
    mounts = plan.mounts
    here = (mounts.kind == kind) & (mounts.machine != machine)
    return sorted(set(plan.machines.operation[mounts.machine[here]].tolist()) - {int(plan.machines.operation[machine])})


def _behind_whom(plan: Plan, operation: int, state: State) -> list[int]:
    """The operations for whose parts, or whose room, an operation waits; none where it waits for something else."""
    line = int(plan.operations.line[operation])
    first, end = int(plan.lines.first_operation[line]), int(plan.lines.end_operation[line])
    passed = is_passed_by(plan.mixes)
    if state in (State.WAITING_FOR_PART, State.FILLING):
        if operation == first:
            return np.flatnonzero(plan.mixes.takes_off == line).tolist()
        return _as_far_as(range(operation - 1, first - 1, -1), passed)
    if state is State.HELD_UP:
        return _as_far_as(range(operation + 1, end), passed) or _joined_at(plan, line)
    if state is State.WAITING_FOR_FELLOW:
        joined = plan.joins.line[plan.joins.operation == operation]
        return sorted(int(plan.lines.end_operation[each]) - 1 for each in joined)
    return []


def _as_far_as(operations: range, passed: npt.NDArray[np.bool_]) -> list[int]:
    """Operations in a row, up to the first that no part passes by; in the order of the routing."""
    reach: list[int] = []
    for operation in operations:
        reach.append(operation)
        if not passed[operation]:
            break
    return sorted(reach)


def _joined_at(plan: Plan, line: int) -> list[int]:
    """Where the finished parts of a line are joined to others."""
    return sorted(set(plan.joins.operation[plan.joins.line == line].tolist()))
