"""Which machines can never move again, worked out from how the floor stands when a run ends.

A machine that works, or waits for people, goes on some day. One that waits for a part, for room or for a sharp set goes
on if somebody who can move may give it that. What is left over when nobody more is found stands for ever.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import takewhile

import numpy as np

from linesim.plan.branches import is_passed_by
from linesim.plan.mishaps import can_break
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, RenewalWay
from linesim.plan.tally import State, Tally
from linesim.rules import kind_of

__all__ = ["Standing", "note_standstill"]


@dataclass(frozen=True)
class Standing:
    """How the floor stands at the end of a run.

    Attributes
    ----------
    states : sequence of int
        What each machine does, a member of `State`.
    since_min : sequence of float
        Since when, minutes from the start of the run.
    missing : dict of int to set of int
        Kinds of cutter set for which a machine waits.
    coming : set of int
        Kinds of which a set is on order or will be ground.
    inside, to_come : sequence of int
        By line: parts in it, and castings that may still come.
    starts : collection of int
        Machines that start a batch once its first part has waited long enough.
    under_way : collection of int
        Operations on whose way something moves by itself: a part to them, or a carrier back.
    """

    states: Sequence[int]
    since_min: Sequence[float]
    missing: dict[int, set[int]]
    coming: set[int]
    inside: Sequence[int]
    to_come: Sequence[int]
    starts: Collection[int] = ()
    under_way: Collection[int] = ()


def note_standstill(plan: Plan, tally: Tally, standing: Standing) -> None:
    """Write into a tally which machines of lines that still have parts to make can never move again, and why.

    Parameters
    ----------
    plan : Plan
        What was run.
    tally : Tally
        Gets ``stuck_from_min``, ``stuck_state`` and ``stuck_for``.
    standing : Standing
        How the floor stands.
    """
    moving = _Moving(plan, standing)
    tally.stuck_from_min[:], tally.stuck_state[:], tally.stuck_for[:] = math.inf, NONE, NONE
    for machine, state in enumerate(standing.states):
        line = int(plan.operations.line[plan.machines.operation[machine]])
        has_work = standing.inside[line] > 0 or standing.to_come[line] > 0
        if has_work and machine not in moving.machines:
            tally.stuck_from_min[machine] = standing.since_min[machine]
            tally.stuck_state[machine] = state
            lost = [kind for kind in sorted(standing.missing.get(machine, ())) if not moving.may_come(kind)]
            tally.stuck_for[machine] = lost[0] if lost else NONE


class _Moving:
    """The machines that go on some day."""

    def __init__(self, plan: Plan, standing: Standing) -> None:
        self.plan = plan
        self.standing = standing
        waits = {State.WAITING_FOR_PART, State.FILLING, State.HELD_UP, State.WAITING_FOR_SET}
        waits.add(State.WAITING_FOR_FELLOW)
        self.machines = {machine for machine, state in enumerate(standing.states) if state not in waits}
        self.machines |= set(standing.starts)
        waiting = set(range(len(standing.states))) - self.machines
        while able := {machine for machine in waiting if self._goes_on(machine)}:
            self.machines |= able
            waiting -= able

    def _goes_on(self, machine: int) -> bool:
        """Whether somebody who moves may give the machine what it waits for."""
        state, operation = self.standing.states[machine], int(self.plan.machines.operation[machine])
        if state == State.WAITING_FOR_SET:
            return all(self.may_come(kind) for kind in self.standing.missing.get(machine, ()))
        line = int(self.plan.operations.line[operation])
        first, end = int(self.plan.lines.first_operation[line]), int(self.plan.lines.end_operation[line])
        if state == State.HELD_UP:
            # Behind the last operation there is always room, unless its parts are joined to others.
            reach = self._past(range(operation + 1, end))
            is_moved = any(each in self.standing.under_way for each in range(operation + 1, operation + 2 + reach))
            if operation + 1 + reach >= end:
                return self._is_taken(line)
            return is_moved or self._any_of(operation + 1, operation + 2 + reach)
        if state == State.WAITING_FOR_FELLOW and self._may_be_joined(operation):
            return True
        if operation > first:
            if operation in self.standing.under_way:
                return True
            reach = self._past(range(operation - 1, first, -1))
            return self._any_of(operation - 1 - reach, operation) or self._is_repaired_for(operation, line)
        taken_off = np.flatnonzero(self.plan.mixes.takes_off == line).tolist()
        if any(self._any_of(each, each + 1) for each in taken_off):
            return True
        if self.plan.lines.arrival_time[line] != NONE and self.standing.to_come[line] > 0:
            return True
        # What it waits for is a pallet that somebody in the line gives back.
        return self._any_of(first, end)

    def _is_taken(self, line: int) -> bool:
        """Whether finished parts of a line go on: out of the works, or to where a machine moves that joins them."""
        joined_at = self.plan.joins.operation[self.plan.joins.line == line].tolist()
        return not joined_at or any(self._any_of(each, each + 1) for each in joined_at)

    def _may_be_joined(self, operation: int) -> bool:
        """Whether a part of any line that is joined here may still come."""
        joins, lines = self.plan.joins, self.plan.lines
        joined = joins.line[joins.operation == operation].tolist()
        return any(self._any_of(int(lines.first_operation[line]), int(lines.end_operation[line])) for line in joined)

    def _past(self, operations: range) -> int:
        """How many of the operations in a row some parts pass by."""
        passed = is_passed_by(self.plan.mixes)
        some = (bool(passed[operation]) for operation in operations)
        return sum(1 for _ in takewhile(bool, some))

    def _is_repaired_for(self, operation: int, line: int) -> bool:
        """Whether a part may come to an operation from a bench, or from the measuring room."""
        tests, rooms = self.plan.tests, self.plan.rooms
        comes_back = (tests.back_to == operation) & (tests.benches > 0)
        is_measured = (rooms.benches > 0) & (self.plan.operations.line == line)
        return self.standing.inside[line] > 0 and bool(comes_back.any() or is_measured.any())

    def _any_of(self, first_operation: int, end_operation: int) -> bool:
        """Whether any machine of these operations moves."""
        operations = self.plan.operations
        first, end = operations.first_machine[first_operation], operations.end_machine[end_operation - 1]
        return any(machine in self.machines for machine in range(int(first), int(end)))

    def may_come(self, kind: int) -> bool:
        """Whether a sharp set of this kind may come: one is on its way, or may be handed in and made sharp."""
        mounts = self.plan.mounts
        used = np.flatnonzero(mounts.kind == kind).tolist()
        return kind in self.standing.coming or any(
            int(mounts.machine[mount]) in self.machines and self._is_handed_in(mount) for mount in used
        )

    def _is_handed_in(self, mount: int) -> bool:
        """Whether the set in a mount may ever come off and be replaced by a sharp one."""
        plan, kind = self.plan, int(self.plan.mounts.kind[mount])
        kinds = plan.kinds
        breaks = bool(can_break(plan)[kind])
        is_ground = kinds.renewal[kind] == RenewalWay.REGROUND and kinds.stock_mm[kind] >= kinds.margin_mm[kind]
        if is_ground and plan.grinders == 0:
            return breaks
        operation = plan.machines.operation[plan.mounts.machine[mount]]
        runs_out = kind_of(plan.rules.way[plan.mounts.rule[mount]]).waits_for_reject
        return breaks or not runs_out or bool((plan.gauges.maker_operation == operation).any())
