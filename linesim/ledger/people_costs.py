"""What setters, fitters and presetters cost, shared out over the operations that they work for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from linesim.ledger.attendance import attendance_min
from linesim.ledger.entries import WORKS, Cost, Head, Item, Location, Shared
from linesim.ledger.sharing import Groups, summed
from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import State, Tally
from linesim.works.model import Works
from linesim.works.staffing import Attended
from linesim.works.upkeep import overhauled_by
from linesim.works.walks import cutters_of

__all__ = ["people"]


class _Use(NamedTuple):
    """Where a pool is at work: the head under which it is booked, the operation, and the state of its machines then."""

    head: Head
    operation: int
    state: State | None
    """None for repairs of parts at the benches of a test, and for presetting."""
    is_in_room: bool = False
    """Whether they read in the measuring room, beside the time for which machines stand for it."""
    preset: int = NONE
    """Kind of the sets that they preset for the operation, or ``NONE``."""


def people(works: Works, plan: Plan) -> Cost:
    """Setters and fitters, by the time they were used or for their whole attendance.

    Paid by time used they fall to operations by their minutes of changing, changeovers, first pieces and repair, of
    machines and of parts; paid by attendance, they stand under the works of each line that calls on them, in proportion
    to the same minutes. Presetting counts by its minutes, shared by the sets that came off at each operation. A set
    that its machine dresses by itself calls for no setter but counts as changing, so an operation with both kinds of
    set takes a little more of its pool's cost than it used; the pool's sum stays.
    """
    heads: list[Head] = []
    counts, uses, head_of_use = [], [], []
    for name in works.people:
        of_pool = list(_uses(name, works, plan))
        own = list(dict.fromkeys(use.head for use in of_pool)) or _for_nobody(name, works)
        uses += of_pool
        head_of_use += [len(heads) + own.index(use.head) for use in of_pool]
        heads += own
        counts.append(len(own))
    amounts = _Amounts(works, plan, uses, np.array(head_of_use, dtype=np.int64), len(heads))
    rates = np.array([pool.rate for pool in works.people.values()], dtype=np.float64)
    return Shared(heads, Groups(counts), rates, amounts)


def _uses(name: str, works: Works, plan: Plan) -> Iterator[_Use]:
    """Where operations have people of a pool at their machines, as setters and as fitters."""
    paid = works.people[name].paid
    for station in stations_of(works, plan):
        location = Location(station.location.line, WORKS) if paid == "attendance" else station.location
        if station.spec.setters == name:
            yield _Use(Head(location, Item.SETTERS, paid, name, "h"), station.number, State.CHANGING)
            if station.spec.turns_bad is not None:
                yield _Use(Head(location, Item.SETTERS, paid, name, "h"), station.number, State.SETTING_RIGHT)
        if station.spec.changeover is not None and station.spec.changeover.by == name:
            yield _Use(Head(location, Item.SETTERS, paid, name, "h"), station.number, State.CHANGING_OVER)
        if station.spec.fitters == name:
            yield _Use(Head(location, Item.FITTERS, paid, name, "h"), station.number, State.UNDER_REPAIR)
        if name in {overhauled_by(station.spec, number) for number in range(station.spec.machines)}:
            yield _Use(Head(location, Item.FITTERS, paid, name, "h"), station.number, State.OVERHAUL)
        for kind in _preset_for(name, works, station):
            yield _Use(Head(location, Item.SETTERS, paid, name, "h"), station.number, None, preset=kind)
        repair = None if station.spec.test is None else station.spec.test.repair
        if repair is not None and repair.people == name:
            yield _Use(Head(location, Item.REPAIRS, paid, name, "h"), station.number, None)
        attended = station.spec.attended
        if attended is not None and attended.by == name:
            head = Head(location, Item.LABOUR, paid, name, "h")
            yield from (_Use(head, station.number, state) for state in _states_of(attended))
        if station.spec.first_piece is not None and station.spec.first_piece.by == name:
            yield _Use(Head(location, Item.SETTERS, paid, name, "h"), station.number, State.FIRST_PIECE)
        if station.spec.measuring_room is not None and station.spec.measuring_room.by == name:
            head = Head(location, Item.GAUGING, paid, name, "h")
            yield _Use(head, station.number, State.WAITING_FOR_RESULT, is_in_room=True)


def _preset_for(name: str, works: Works, station: Station) -> list[int]:
    """Kinds of set that a pool presets for an operation."""
    if works.crib.presetters != name:
        return []
    here = cutters_of(station.spec)
    return [kind for kind, (cutter, of) in enumerate(works.cutters.items()) if of.is_preset and cutter in here]


def _states_of(attended: Attended) -> list[State]:
    """What machines do while somebody attends them."""
    states = {"load": State.LOADING, "unload": State.LOADING, "gauge": State.GAUGING, "look": State.CHECKING}
    return list(dict.fromkeys(states[job] for job in attended.jobs))


def _for_nobody(name: str, works: Works) -> list[Head]:
    """Heads of a pool on which nobody calls: all lines pay for it alike."""
    return [Head(Location(line, WORKS), Item.SETTERS, works.people[name].paid, name, "h") for line in works.lines]


class _Amounts:
    """From a tally to the hours that are paid of each pool, and the minutes by which its rows share them."""

    def __init__(self, works: Works, plan: Plan, uses: list[_Use], head_of_use: Ints, heads: int) -> None:
        pools = works.people.values()
        self._plan = plan
        self._is_attendance = np.array([pool.paid == "attendance" for pool in pools], dtype=bool)
        no_machine = np.zeros(0, dtype=np.int64)
        machines = [
            no_machine if use.state is None else np.flatnonzero(plan.machines.operation == use.operation)
            for use in uses
        ]
        counts = [len(each) for each in machines]
        self._machine = np.concatenate([*machines, no_machine])
        states = [0 if use.state is None else use.state for use in uses]
        self._state = np.repeat(np.array(states, dtype=np.int64), counts)
        self._use = np.repeat(np.arange(len(uses)), counts)
        tests = np.append(plan.operations.test, NONE)
        at_benches = [
            (at, int(tests[use.operation])) for at, use in enumerate(uses) if use.state is None and use.preset == NONE
        ]
        self._bench_use = np.array([at for at, _ in at_benches], dtype=np.int64)
        self._is_in_room = np.array([use.is_in_room for use in uses], dtype=bool)[self._use]
        self._bench_test = np.array([test for _, test in at_benches], dtype=np.int64)
        self._head, self._heads = head_of_use, heads
        of_mounts = plan.machines.operation[plan.mounts.machine]
        self._presets = [
            (at, use.preset, (plan.mounts.kind == use.preset) & (of_mounts == use.operation))
            for at, use in enumerate(uses)
            if use.preset != NONE
        ]

    def __call__(self, tally: Tally) -> tuple[Floats, Floats]:
        hours = tally.busy_min[:-1] / 60.0
        if self._is_attendance.any():
            hours = np.where(self._is_attendance, attendance_min(self._plan, tally)[:-1] / 60.0, hours)
        of_use = summed(self._use, tally.state_min[self._machine, self._state], len(self._head))
        if self._is_in_room.any():
            of_use += summed(self._use, tally.room_work_min[self._machine] * self._is_in_room, len(self._head))
        of_use[self._bench_use] += tally.repair_min[self._bench_test]
        off = tally.planned + tally.joined + tally.unplanned - tally.in_place
        for at, kind, here in self._presets:
            of_kind = off[self._plan.mounts.kind == kind].sum()
            of_use[at] += tally.preset_min[kind] * off[here].sum() / max(of_kind, 1)
        return hours, summed(self._head, of_use, self._heads)
