"""What a machine has to do with the measuring room: parts sent there, held or swept back, and what is answered."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import call, enter, make_ready
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import line_at, machine_at, part_at, pool_at, room_at, visit_at, whole_at
from linesim.fast.memory import dtype_of
from linesim.fast.onward import target_of
from linesim.fast.part_state import Part, Place, Shape, Visit
from linesim.fast.standing import account_buffer, new_part, stand_in_order
from linesim.fast.state import Machine, Note, World
from linesim.plan.tables import NONE

HAS_ROOM = 1
SWEPT = 2
"""Bits of ``Machine.room_ways``: its operation has a measuring room; parts of its line may be swept back."""

_PART_WORDS = dtype_of(Part).itemsize // 8
_PLACE_WORDS = dtype_of(Place).itemsize // 8
_SHAPE_WORDS = dtype_of(Shape).itemsize // 8
_VISIT_WORDS = dtype_of(Visit).itemsize // 8


@compiled
def is_turned_back(w: World, m: Machine) -> bool:
    """A part is taken in hand, once each round; whether it is one that is swept back and goes to be sorted."""
    if m.part == NONE:
        return False
    if part_at(w.parts, m.part).recalled:
        send_back(w, m, m.source)
        return True
    if m.room_ways & HAS_ROOM:
        m.taken += 1
        visit = visit_at(w.visits, m.part * w.most_operations + m.position)
        visit.machine, visit.turn, visit.counted = m.index, m.taken, 0
        m.sampled = 0
    return False


@compiled
def send_back(w: World, m: Machine, back: int) -> None:
    """Send a part to be sorted by the first of the operations that want it."""
    part, line = part_at(w.parts, m.part), line_at(w.lines, m.line)
    for operation in range(line.first_operation, line.end_operation):
        room = room_at(w.rooms, operation)
        if room.benches > 0 and (part.recalled >> room.number) & 1:
            part.back = back
            visit = visit_at(w.visits, m.part * w.most_operations + operation - line.first_operation)
            _lay(w, machine_at(w.machines, visit.machine).held, m.part)
            return


@compiled
def is_stopped_at_the_door(w: World, m: Machine) -> bool:
    """Whether the part at hand would be shipped next but is swept back."""
    return part_at(w.parts, m.part).recalled != 0 and pool_at(w.pools, goes_on_to(w, m)).way == steps.DISPATCH


@inlined
def goes_on_to(w: World, m: Machine) -> int:
    """Pool to which the part at hand goes on."""
    return target_of(w, m) if m.forks else m.target


@inlined
def _lay(w: World, pool: int, number: int) -> None:
    """Put a part down where there is always room; parts of one moment lie in the order of their numbers."""
    p = pool_at(w.pools, pool)
    account_buffer(w, p)
    stand_in_order(w, p, number)
    call(w, pool)


@compiled
def keep(w: World, m: Machine) -> int:
    """The part at hand is done: it is sent to the room, or held. Returns the step after; PASS_ON if it goes on."""
    room, part = room_at(w.rooms, m.operation), part_at(w.parts, m.part)
    part.first_try = m.is_first_try
    if m.sampled:
        number = _mark(w, m) if room.marks else m.part
        part_at(w.parts, number).sampled = m.sampled
        m.sampled = 0
        _lay(w, m.tray, number)
        if room.meanwhile == codes.MEANWHILE_STANDS:
            enter(w, m, codes.STATE_WAITING_FOR_RESULT)
            m.waits, m.step = 1, steps.TAKE
            return steps.BLOCKED
        if room.marks == 0:
            return steps.TAKE
    if room.meanwhile == codes.MEANWHILE_QUARANTINE:
        part.back = NONE
        _lay(w, m.held, m.part)
        return steps.TAKE
    visit_at(w.visits, m.part * w.most_operations + m.position).counted = 1 + m.is_first_try
    return steps.PASS_ON


@compiled
def _mark(w: World, m: Machine) -> int:
    """The part as it is now, to be read while the part itself goes on."""
    number = new_part(w)
    _copy(w.parts, number, m.part, _PART_WORDS)
    _copy(w.part_places, number, m.part, w.most_places * _PLACE_WORDS)
    _copy(w.part_shapes, number, m.part, w.most_shapes * _SHAPE_WORDS)
    _copy(w.visits, number, m.part, w.most_operations * _VISIT_WORDS)
    return number


@inlined
def _copy(records: int, to: int, of: int, words: int) -> None:
    for word in range(words):
        whole_at(records, to * words + word).value = whole_at(records, of * words + word).value


# --- answers -------------------------------------------------------------------------------------------------------


@compiled
def hear(w: World, note: Note) -> None:
    """A part has been read. What is said of parts that are suspected already is nothing new."""
    m = machine_at(w.machines, note.room_machine)
    room = room_at(w.rooms, m.operation)
    if note.room_turn > m.bad_to and note.room_bad:
        if room.meanwhile == codes.MEANWHILE_QUARANTINE or room.meanwhile == codes.MEANWHILE_SWEEP_BACK:  # noqa: PLR1714
            _suspect(w, m, note.room_turn, room.number, room.marks)
        m.bad_to = m.taken
    elif note.room_turn > m.bad_to:
        m.good_to = max(m.good_to, note.room_turn)
    m.known_to = max(m.known_to, note.room_turn, m.bad_to)
    if m.waits:
        m.waits = 0
        make_ready(w, m.index if m.keeper == NONE else m.keeper)


@compiled
def _suspect(w: World, m: Machine, turn: int, number: int, marks: int) -> None:
    """Parts that the machine has taken since the last good one are to be sorted, the one that was read left aside."""
    after = max(m.good_to, m.bad_to)
    for at in range(w.n_parts):
        visit = visit_at(w.visits, at * w.most_operations + m.position)
        if visit.machine == m.index and visit.turn > after and (marks or visit.turn != turn):
            part_at(w.parts, at).recalled |= 1 << number
