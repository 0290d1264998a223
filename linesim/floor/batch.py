"""Batch stations: machines that take several parts at once (washer, furnace, leak bench)."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, Protocol

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import loading_spot, unloading_spot
from linesim.floor.foreman import Claim, Turn
from linesim.floor.holding import Held
from linesim.floor.machine import Machine
from linesim.floor.mishaps import befalls
from linesim.floor.part import Part
from linesim.floor.station import minutes_of_work
from linesim.floor.testing import passes_test
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause, State

__all__ = ["BatchStation"]

Steps = Generator[Event, Any, Any]


class _Filler(Protocol):
    """What a batch claim fills."""

    room: int

    def takes(self, part: Part) -> bool:
        """Take a part in; whether it is full now."""


class _BatchClaim(Claim):
    """A claim on as many parts as fill a batch; it comes true when the machine is full or starts with fewer."""

    __slots__ = ()

    @property
    def wants(self) -> int:
        """Parts until it is full."""
        filling: _Filler = self.stake  # type: ignore[assignment]
        return filling.room

    def takes(self, part: object) -> bool:
        """Be given one more part."""
        filling: _Filler = self.stake  # type: ignore[assignment]
        assert isinstance(part, Part)
        if not filling.takes(part):
            return False
        self.succeed()
        return True


class BatchStation(Machine):
    """A machine that takes up to so many parts at once; none may join a batch that runs."""

    def __init__(self, *arguments: Any) -> None:
        super().__init__(*arguments)
        self.batch = self.site.rows.batches[self.operation]
        self.parts: list[Part] = []
        self.due_min = 0.0
        """When the first part of the batch has waited long enough."""
        self.claim: Claim | None = None
        """On more parts, while it fills."""
        self.is_watched = False
        """Whether the clock runs."""
        self.number = self.site.foreman.take_on(self, Turn.BATCHES)

    @property
    def room(self) -> int:
        """Parts until it is full."""
        return int(self.batch.most) - len(self.parts)

    # --- filling ---------------------------------------------------------------------------------------------------

    def takes(self, part: Part) -> bool:
        """Take a part in while it fills; whether it is full now."""
        self.parts.append(part)
        if len(self.parts) == self.batch.most:
            self.claim = None
            return True
        if len(self.parts) == 1:
            self.enter(State.FILLING)
            self.due_min = self.env.now + self.batch.waits_min
            if self.batch.waits_min > 0.0 and not self.is_watched:
                self.is_watched = True
                self.env.process(self._watch())
        if self._may_start():
            self.site.foreman.call(self.number)
        return False

    def _may_start(self) -> bool:
        return self.claim is not None and len(self.parts) >= self.batch.least and self.env.now >= self.due_min

    def _watch(self) -> Steps:
        """Let the first part wait so long."""
        while self.claim is not None and self.parts and self.env.now < self.due_min:
            yield self.env.timeout(self.due_min - self.env.now)
        self.is_watched = False
        if self.parts and self._may_start():
            self.site.foreman.call(self.number)

    def give_out(self) -> bool:
        """Start with the parts that are there, once no more can come at this instant."""
        if self.claim is None or not self._may_start():
            return False
        self.source.takers.remove(self.claim)
        claim, self.claim = self.claim, None
        claim.succeed()
        return True

    # --- the round -------------------------------------------------------------------------------------------------

    def run(self) -> Steps:
        """The machine's round, for ever."""
        while True:
            self.enter(State.WAITING_FOR_PART)
            self.parts = []
            self.claim = claim = _BatchClaim(self.env, self.rank, self)
            yield self.source.take(self.rank, claim.ahead_of_all() if self.spec.prefers else claim)
            yield from self.site.decider.before_part(self, self.parts[0])
            yield from self.spindle.age.overhaul()
            self.parts = [part for part in self.parts if not self.measuring.turns_back(part)]
            if not self.parts:
                continue
            self.site.tally.batches_begun[self.index] += 1
            for part in self.parts:
                self.begin(part)
            yield from self._load()
            yield from self._run_batch()
            yield from self._unload()
            for part in self.parts:
                yield from self._let_go(part)

    def _load(self) -> Steps:
        self.enter(State.LOADING)
        for part in self.parts:
            yield from self.spend(part, self.spec.load_time, Purpose.OTHER, loading_spot(self.operation), part.serial)
        yield from self._handle_all(self.batch.load_time, loading_spot(self.operation))

    def _unload(self) -> Steps:
        if self.batch.unload_time != NONE:
            self.enter(State.LOADING)
        yield from self._handle_all(self.batch.unload_time, unloading_spot(self.operation))

    def _handle_all(self, time: int, spot: int) -> Steps:
        """Load or unload the batch at once."""
        if time == NONE:
            return
        minutes = self.site.timing.minutes(time, Purpose.OTHER, spot, self.parts[0].serial)
        for part in self.parts:
            part.spent_min[part.position] += minutes / len(self.parts)
        if minutes > 0.0:
            yield self.env.timeout(minutes)

    def _run_batch(self) -> Steps:
        """The minutes of a batch, which all its parts bear alike; another draw if the first has been here before."""
        self.enter(State.CUTTING)
        cut_min = minutes_of_work(self, self.parts[0]) * self.pace
        for part in self.parts:
            self.spindle.charge(part, cut_min / len(self.parts))
        yield from self.spindle.turn(cut_min)

    def _let_go(self, part: Part) -> Steps:
        """One part of the batch goes on its way."""
        self.is_first_try = part.rounds == 0
        self.measuring.due = []
        if befalls(self.site, self.operation, part, 0, self.spec.scrap_chance):
            self.scrap(part, Cause.OTHER)
        elif (yield from self.finish(part, Held())) and (yield from passes_test(self, part)):
            yield from self.pass_on(part)

    @property
    def starts_by_clock(self) -> bool:
        """Whether it fills with enough parts, and starts when the first of them has waited long enough."""
        return self.claim is not None and bool(self.parts) and len(self.parts) >= self.batch.least
