"""Ways between operations: parts on their way to an operation, by hand or on a conveyor, and carriers."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import Any

import simpy
from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import carrying_index, carrying_spot
from linesim.floor.buffer import Buffer
from linesim.floor.foreman import hand
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE

__all__ = ["CARRIER", "Carrier", "PartWay"]

CARRIER = 2**18
"""Added to the number of a carrier: it is served after machines and benches for repairs."""


class _Clock:
    """Calls when a moment has come; the moments of one clock never come earlier than they were set."""

    def __init__(self, env: simpy.Environment, call: Callable[[], None]) -> None:
        self.env = env
        self.call = call
        self.runs = False
        self.due_min = 0.0

    def wind(self, due_min: float) -> None:
        """Call at a moment."""
        self.due_min = due_min
        if not self.runs:
            self.runs = True
            self.env.process(self._run())

    def _run(self) -> Generator[Event, Any, None]:
        while self.env.now < self.due_min:
            yield self.env.timeout(self.due_min - self.env.now)
        self.runs = False
        self.call()


class PartWay(Buffer):
    """A way to an operation on which parts keep their order, and the room at its end.

    Its own time stands still while a conveyor that does not accumulate stands; ``lag_min`` is how far it is behind.

    Parameters
    ----------
    site : Site
        The floor.
    operation : int
        To which it leads.
    """

    def __init__(self, site: Site, operation: int) -> None:
        self.row = site.rows.moves[operation]
        super().__init__(site.env, site.foreman, self.row.room)
        self.site = site
        self.operation = operation
        self.last_min = self.next_min = self.lag_min = self.free_min = 0.0
        """When the last part reaches the end and the next may set out, in the way's time; how far that is behind; and
        when the end is free for the next part."""
        self.stands_since: float | None = None
        self.head = _Clock(site.env, lambda: site.foreman.call(self.number))
        self.entry = _Clock(site.env, lambda: site.foreman.call(self.number))

    @property
    def is_due(self) -> bool:
        """Whether something happens on it by itself."""
        return self.head.runs or self.entry.runs

    def give_out(self) -> bool:
        """Hand over parts that are there and let others set out, until neither goes on."""
        self._account()
        given = False
        while True:
            if self.takers and self.parts and self.env.now >= self._there_min():
                self._hand_over()
            elif self.givers and self._has_room() and self._moved_min() >= self.next_min + self.lag_min:
                giver = self.givers.pop(0)
                assert isinstance(giver.stake, Part)
                self._sets_out(giver.stake)
                giver.succeed()
            else:
                break
            given = True
        self._wind()
        return given

    def _there_min(self) -> float:
        """When the first part is at the end."""
        return max(self.parts[0][0] + self.lag_min, self.free_min)

    def _moved_min(self) -> float:
        """Up to when the way has moved."""
        return self.env.now if self.stands_since is None else self.stands_since

    def _has_room(self) -> bool:
        room = self.capacity
        if self.row.way == Way.MINUTES:
            room += sum(taker.wants for taker in self.takers)
        return len(self.parts) < room

    def _hand_over(self) -> None:
        # It has stood since it would have been there if nothing had stood before it.
        since_min, part = self.parts.popleft()
        self._leaves(since_min + self.lag_min)
        if self.stands_since is not None:
            self.lag_min += self.env.now - self.stands_since
            self.stands_since = None
        if self.row.accumulates:
            self.free_min = self.env.now + self.row.gap_min
        hand(self.takers, part)

    def _sets_out(self, part: Part) -> None:
        now_min = self._moved_min() - self.lag_min
        spot, index = carrying_spot(self.operation, 0, part.rounds), carrying_index(part.serial, part.rounds)
        minutes = self.site.timing.minutes(self.row.time, Purpose.CARRY, spot, index)
        # None overtakes another.
        self.last_min = max(now_min + minutes, self.last_min)
        self.next_min = now_min + self.row.gap_min
        self.site.tally.moving_min[self.operation] += self.last_min - now_min
        self.parts.append((self.last_min, part))

    def _wind(self) -> None:
        """See to it that what happens next by itself is noticed."""
        now_min = self.env.now
        if self.parts:
            if now_min < self._there_min():
                self.head.wind(self._there_min())
            elif not self.row.accumulates and self.stands_since is None:
                self.stands_since = now_min
        free_min = self.next_min + self.lag_min
        if self.givers and self.stands_since is None and now_min < free_min and self._has_room():
            self.entry.wind(free_min)


class Carrier:
    """One of the carriers that bring parts to an operation, each one part at a time.

    Parameters
    ----------
    site : Site
        The floor.
    operation : int
        To which they are brought.
    number : int
        Number among the carriers, from 0.
    source, target : Buffer
        Where parts wait for a carrier, and where it brings them.
    """

    def __init__(self, site: Site, operation: int, number: int, source: Buffer, target: Buffer) -> None:
        self.site = site
        self.row = site.rows.moves[operation]
        self.operation = operation
        self.rank = (site.rows.operations[operation].rank, CARRIER + number)
        self.source = source
        self.target = target
        self.is_due = False
        """On its way."""
        self.start_counting()

    def start_counting(self) -> None:
        """Forget the minutes of its ways so far, and those in which it was busy."""
        self.moving_min = self.carrying_min = 0.0

    def stop_counting(self) -> None:
        """Put them into the tally, carrier by carrier: several come back at one instant, in no order of their own."""
        self.site.tally.moving_min[self.operation] += self.moving_min
        self.site.tally.carrying_min[self.operation] += self.carrying_min
        self.start_counting()

    def run(self) -> Generator[Event, Any, None]:
        """Take a part, bring it, and come back, for ever."""
        while True:
            part: Part = yield self.source.take(self.rank)
            since_min = self.site.env.now
            serial, rounds = part.serial, part.rounds
            there_min = self._minutes(self.row.time, 0, serial, rounds)
            yield from self._go(there_min)
            yield self.target.put(part, self.rank)
            back_min = there_min
            if self.row.back_time != NONE:
                back_min = self._minutes(self.row.back_time, 1, serial, rounds)
            yield from self._go(back_min)
            self.moving_min += there_min
            self.carrying_min += self.site.env.now - since_min

    def _minutes(self, time: int, is_back: int, serial: int, rounds: int) -> float:
        spot, index = carrying_spot(self.operation, is_back, rounds), carrying_index(serial, rounds)
        return self.site.timing.minutes(time, Purpose.CARRY, spot, index)

    def _go(self, minutes: float) -> Generator[Event, Any, None]:
        self.is_due = True
        if minutes > 0.0:
            yield self.site.env.timeout(minutes)
        self.is_due = False
