"""The measuring room: its benches, and who looks after parts held or swept back; records among the machines."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.away import complete_away, scrap_away, tell_left
from linesim.fast.common import add, call, count, minutes_of, queue_claim, queue_giver, tell_part, wait
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    gauge_at,
    machine_at,
    note_at,
    operation_at,
    part_at,
    pool_at,
    room_at,
    visit_at,
)
from linesim.fast.gauging import put_right, read_part
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.mixing import is_for
from linesim.fast.onward import target_of
from linesim.fast.room_side import is_turned_back
from linesim.fast.standing import forget_part
from linesim.fast.state import Machine, Visit, World
from linesim.plan.tables import NONE


@compiled
def _take(w: World, m: Machine) -> int:
    """Ask for a part."""
    queue_claim(w, pool_at(w.pools, m.source), m.index)
    call(w, m.source)
    m.step = steps.ROOM_GOT
    return steps.BLOCKED


@inlined
def _visit(w: World, m: Machine) -> Visit:
    """What the operation did to the part at hand."""
    return visit_at(w.visits, m.part * w.most_operations + m.position)


@compiled
def _got(w: World, m: Machine) -> int:
    """A part has been given; a bench waits until it has been carried there."""
    part = part_at(w.parts, m.part)
    m.serial, m.home = part.serial, _visit(w, m).machine
    if m.is_sorter:
        return _look_after(w, m)
    carry_min = minutes_of(w, room_at(w.rooms, m.operation).carry_time, codes.PURPOSE_CARRYING, m.operation, m.serial)
    m.sampled = part.sampled
    return wait(w, m, part.since_min + carry_min - w.now, steps.ROOM_THERE)


@compiled
def _look_after(w: World, m: Machine) -> int:
    """A part in quarantine waits until something is known of it; it is sorted if it is suspected."""
    part, home = part_at(w.parts, m.part), machine_at(w.machines, m.home)
    room = room_at(w.rooms, m.operation)
    if room.meanwhile == codes.MEANWHILE_QUARANTINE:
        if _visit(w, m).turn > home.known_to:
            home.waits, m.step = 1, steps.ROOM_GOT
            return steps.BLOCKED
        add(w.held_min, m.home, w.now - part.since_min)
    if (part.recalled >> room.number) & 1 == 0:
        return _pass_on(w, m, home)
    part.recalled &= ~(1 << room.number)
    return steps.ROOM_THERE


@compiled
def _there(w: World, m: Machine) -> int:
    """Somebody to read it is claimed, where people are."""
    return call_people(w, m, room_at(w.rooms, m.operation).by, NONE, steps.ROOM_BEGIN)


@compiled
def _begin(w: World, m: Machine) -> int:
    """The gauges of the room read it one after another."""
    m.left_min = 0.0
    m.is_spoiled, m.pending = 0, NONE
    m.cursor = operation_at(w.operations, m.operation).first_gauge
    return _next_reading(w, m)


@compiled
def _next_reading(w: World, m: Machine) -> int:
    """The next gauge that wants the part takes its minutes; behind the last one comes the answer."""
    operation = operation_at(w.operations, m.operation)
    while m.cursor < operation.end_gauge:
        row = gauge_at(w.gauges, m.cursor)
        if row.in_room and _wants(w, m, row.types, m.cursor - operation.first_gauge):
            spot = w.n_gauges * (1 + part_at(w.parts, m.part).tries) + m.cursor
            minutes = minutes_of(w, row.time, codes.PURPOSE_GAUGE, spot, m.serial)
            m.left_min += minutes
            return work(w, m, minutes, steps.ROOM_READ)
        m.cursor += 1
    return _answer(w, m)


@inlined
def _wants(w: World, m: Machine, types: int, number: int) -> bool:
    """Whether a gauge of the room reads the part at hand: any of its type in sorting, else if it has asked for it."""
    if m.is_sorter:
        return is_for(types, part_at(w.parts, m.part).type)
    return ((m.sampled >> number) & 1) != 0


@compiled
def _read(w: World, m: Machine) -> int:
    """One gauge reads the part; nobody is told what is read in sorting."""
    row = gauge_at(w.gauges, m.cursor)
    cause = read_part(w, m, row)
    if m.is_sorter:
        w.n_notes -= 1
    if cause != NONE:
        m.is_spoiled = 1
        if m.is_sorter or room_at(w.rooms, m.operation).marks == 0:
            if row.reject == codes.REJECT_SALVAGE:
                count(w.salvaged, m.cursor * w.n_causes + cause)
                part_at(w.parts, m.part).is_first_pass = part_at(w.parts, m.part).first_try = 0
                if _visit(w, m).counted:
                    machine_at(w.machines, m.home).first_pass -= _visit(w, m).counted - 1
                    _visit(w, m).counted = 1
                put_right(w, m, row.feature)
            if row.reject == codes.REJECT_SCRAP:
                m.pending = cause
                return _answer(w, m)
    m.cursor += 1
    return _next_reading(w, m)


@compiled
def _answer(w: World, m: Machine) -> int:
    """All is read; the machine is told of a part that was sent, and the part goes on or is scrap."""
    room, part, home = room_at(w.rooms, m.operation), part_at(w.parts, m.part), machine_at(w.machines, m.home)
    add(w.room_work_min, m.home, m.left_min)
    let_go(w, m)
    if m.is_sorter:
        count(w.sorted, m.home)
        if m.is_spoiled:
            count(w.sorted_bad, m.home)
        if w.is_traced:
            tell_part(w, steps.PART_SORTED, m.home, m.part, m.serial)
    else:
        count(w.room_read, m.home)
        if m.is_spoiled:
            count(w.room_bad, m.home)
        add(w.room_min, m.home, w.now - part.since_min)
        _tell(w, m)
        part.recalled &= ~(1 << room.number)
        if room.marks:
            forget_part(w, m.part)
            return steps.ROOM_TAKE
    if m.pending == NONE:
        return _pass_on(w, m, home)
    if _visit(w, m).counted:
        home.passed -= 1
        home.first_pass -= _visit(w, m).counted - 1
    scrap_away(w, m, home, m.pending)
    return steps.ROOM_TAKE


@inlined
def _tell(w: World, m: Machine) -> None:
    """Leave the answer, to be heard when the instant has settled."""
    note = note_at(w.notes, w.n_notes)
    w.n_notes += 1
    note.rank, note.gauge = m.rank, NONE
    note.maker_mount = note.corrected_mount = note.blamed_mount = note.fault_machine = NONE
    note.room_machine, note.room_turn, note.room_bad = m.home, _visit(w, m).turn, m.is_spoiled


@compiled
def _pass_on(w: World, m: Machine, home: Machine) -> int:
    """The part goes on behind its machine; one that was swept back goes where it was taken from."""
    m.step = steps.ROOM_LEFT
    if m.is_sorter and part_at(w.parts, m.part).back != NONE:
        m.target, m.step = part_at(w.parts, m.part).back, steps.ROOM_TAKE
    else:
        m.target = target_of(w, m) if home.forks else home.target
        _visit(w, m).counted = 1 + part_at(w.parts, m.part).first_try
        complete_away(w, m, home)
    queue_giver(w, pool_at(w.pools, m.target), m.index)
    call(w, m.target)
    return steps.BLOCKED


@compiled
def _left(w: World, m: Machine) -> int:
    """The part is gone."""
    tell_left(w, m)
    return steps.ROOM_TAKE


@compiled
def measure(w: World, m: Machine, step: int) -> int:
    """Steps of the measuring room, and of a machine that is given a part which may be swept back."""
    if step == steps.ROOM_OFFERED:
        return steps.TAKE if is_turned_back(w, m) else steps.GOT_PART
    if step == steps.ROOM_TAKE:
        return _take(w, m)
    if step == steps.ROOM_GOT:
        return _got(w, m)
    if step == steps.ROOM_THERE:
        return _there(w, m)
    if step == steps.ROOM_BEGIN:
        return _begin(w, m)
    return _read(w, m) if step == steps.ROOM_READ else _left(w, m)
