"""The measuring room: parts are carried there and read, and when the answer is bad others are looked back for."""

from __future__ import annotations

import copy
from collections import deque
from collections.abc import Generator
from typing import Any, Protocol

from simpy.events import Event

from linesim.floor.buffer import Buffer
from linesim.floor.dispatch import Dispatch
from linesim.floor.gauging import Maker
from linesim.floor.mixing import way_of
from linesim.floor.part import Part
from linesim.floor.station import Source, Station, Target
from linesim.plan.room_tables import Meanwhile
from linesim.plan.tally import Cause, State

__all__ = ["BEHIND", "RoomSide"]

Steps = Generator[Event, Any, Any]

BEHIND = 2**18
"""Added to the number of a bench or machine: the room is served after all machines, behind them their sorters."""


class Sender(Station, Maker, Protocol):
    """A machine, as far as the measuring room needs to know it."""

    position: int
    measuring: RoomSide
    source: Source
    target: Target
    is_first_try: bool
    peers: dict[int, Any]

    def count_passed(self, part: Part, is_first_try: bool) -> None:
        """The part is done here and goes on its way."""

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap."""

    def tell(self, part: Part, what: str) -> None:
        """Tell all that listen that a part has moved."""


class RoomSide:
    """What one machine has to do with the measuring room, and what is known of its parts.

    Attributes
    ----------
    taken : int
        Parts that the machine has taken in hand; each part has its turn among them.
    good_to, bad_to, known_to : int
        Turn of the last part that was read good, of the last one that is suspected, and up to which an answer holds.
    """

    def __init__(self, machine: Sender) -> None:
        self.machine, self.site = machine, machine.site
        self.row = machine.site.rows.rooms[machine.operation]
        self.is_here = self.row.benches > 0
        self.taken = self.good_to = self.bad_to = self.known_to = 0
        self.looks_back = self.row.meanwhile in (Meanwhile.QUARANTINE, Meanwhile.SWEEP_BACK)
        self.since_good: deque[Part] = deque()
        self.due: list[int] = []
        """Gauges in the room that want to read the part at hand."""
        self.tray: Buffer | None = None
        """Parts on their way to the room."""
        self.held: Buffer | None = None
        """Parts in quarantine, or swept back."""
        self.waits: Event | None = None
        """Whoever waits for an answer: the machine, or the one that looks after its quarantine."""

    # the machine's part in it

    def turns_back(self, part: Part) -> bool:
        """A part is taken in hand; whether it is one that is swept back and goes to be sorted."""
        if part.recalled:
            self._send_back(part, self.machine.source)
            return True
        if self.is_here:
            self.taken += 1
            part.in_room.turns[self.machine.position] = (self.machine.index, self.taken)
            part.in_room.counted.pop(self.machine.position, None)
            self.due = []
            if self.looks_back:
                self.since_good.append(part)
        return False

    def asks_for(self, gauge: int) -> bool:
        """A gauge in the room wants the part at hand; always True, as it goes on here."""
        self.due.append(gauge)
        return True

    def keeps(self, part: Part) -> Steps:
        """The part at hand is done: whether it is sent to the room or held in place of going on."""
        if not self.is_here:
            return False
        part.in_room.first_try = self.machine.is_first_try
        if self.due and (yield from self._send(part)):
            return True
        if self.row.meanwhile == Meanwhile.QUARANTINE:
            assert self.held is not None
            part.in_room.since_min, part.in_room.back = self.site.env.now, None
            self.held.lay(part)
            return True
        part.in_room.counted[self.machine.position] = self.machine.is_first_try
        return False

    def _send(self, part: Part) -> Steps:
        """Send the part, or a mark of it; whether the part itself is away."""
        assert self.tray is not None
        sample = _marked(part) if self.row.marks else part
        sample.in_room.gauges, sample.in_room.since_min = self.due, self.site.env.now
        self.due = []
        self.tray.lay(sample)
        if self.row.meanwhile == Meanwhile.STANDS:
            self.machine.enter(State.WAITING_FOR_RESULT)
            self.waits = self.site.env.event()
            yield self.waits
        return not self.row.marks

    def stops_at_the_door(self, part: Part) -> bool:
        """Whether the part at hand would be shipped next but is swept back."""
        if not part.recalled or not isinstance(door := way_of(self.machine.target, part), Dispatch):
            return False
        self._send_back(part, door)
        return True

    def _send_back(self, part: Part, back: Any) -> None:
        """Send a part to be sorted by the first of the operations that want it."""
        first = int(self.site.plan.lines.first_operation[part.line])
        for position, machine in enumerate(part.machines):
            row = self.site.rows.rooms[first + position]
            if row.benches > 0 and part.recalled >> row.number & 1:
                part.in_room.back, part.in_room.since_min = back, self.site.env.now
                self.machine.peers[machine].measuring.held.lay(part)
                return
        raise AssertionError("a part is swept back for an operation that it has been to")

    # answers

    def hear(self, turn: int, is_bad: bool) -> None:
        """The part of this turn has been read. What is said of parts that are suspected already is nothing new."""
        if turn > self.bad_to and is_bad:
            self.bad_to = self.taken
            for part in self.since_good:
                machine, its_turn = part.in_room.turns[self.machine.position]
                if machine == self.machine.index and its_turn > self.good_to and (self.row.marks or its_turn != turn):
                    part.recalled |= 1 << self.row.number
            self.since_good.clear()
        elif turn > self.bad_to:
            self.good_to = max(self.good_to, turn)
            while self.since_good and self._turn(self.since_good[0]) <= self.good_to:
                self.since_good.popleft()
        self.known_to = max(self.known_to, turn, self.bad_to)
        if self.waits is not None:
            self.waits.succeed()
            self.waits = None

    def _turn(self, part: Part) -> int:
        return part.in_room.turns[self.machine.position][1]


def _marked(part: Part) -> Part:
    """The part as it is now, to be read while the part itself goes on."""
    mark = copy.copy(part)
    for name in ("error_um", "roughness_um", "scratch_um", "position_um", "tilt_um", "form_um"):
        setattr(mark, name, list(getattr(part, name)))
    mark.is_clean, mark.is_machined = list(part.is_clean), list(part.is_machined)
    mark.machines, mark.done_min, mark.spent_min = list(part.machines), list(part.done_min), list(part.spent_min)
    mark.faults, mark.terms = list(part.faults), [copy.copy(terms) for terms in part.terms]
    mark.in_room = copy.copy(part.in_room)
    mark.in_room.turns = dict(part.in_room.turns)
    return mark
