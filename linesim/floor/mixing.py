"""Part types on the floor: which type a casting is, which part is taken next, and changing over from type to type."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from typing import Any, Protocol

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.attending import attended
from linesim.floor.foreman import Claim
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.station import Source, Station, Target
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause, State
from linesim.plan.type_tables import ALL_TYPES, TURN_ALL, TURN_WAITING
from linesim.plan.type_tables import Sequence as Order

__all__ = [
    "Fork", "Mix", "chosen", "cuts_for", "forked", "gauges_for", "gives_up", "is_for", "may_refuse", "note_waiting",
    "stroke_minutes", "strokes_for", "way_of",
]  # fmt: skip

Steps = Generator[Event, Any, Any]


def is_for(types: int, of_type: int) -> bool:
    """Whether something is for a part type."""
    return bool(types >> of_type & 1)


def strokes_for(site: Site, spec: Any, part: Part) -> list[int]:
    """Strokes of an operation that are made on a part of this type."""
    strokes = range(spec.first_stroke, spec.end_stroke)
    return [stroke for stroke in strokes if is_for(site.rows.strokes[stroke].types, part.type)]


def gauges_for(site: Site, spec: Any, part: Part) -> list[int]:
    """Gauges of an operation that read parts of this type."""
    gauges = range(spec.first_gauge, spec.end_gauge)
    return [gauge for gauge in gauges if is_for(site.rows.gauges[gauge].types, part.type)]


def cuts_for(site: Site, stroke: Any, part: Part) -> list[int]:
    """Cuts of a stroke that are made on a part of this type."""
    cuts = range(stroke.first_cut, stroke.end_cut)
    return [cut for cut in cuts if not stroke.has_only or is_for(site.rows.cuts[cut].types, part.type)]


def stroke_minutes(site: Site, stroke: Any, cuts: Sequence[int], minutes: Mapping[int, float]) -> float:
    """Minutes of the longest cut of a stroke among those that are made; ``minutes`` of those that are made now."""
    if stroke.stops_at_size:
        return max(minutes.values())
    return float(max(site.rows.cuts[cut].cut_min for cut in cuts) if stroke.has_only else stroke.cut_min)


class _FirstPieces(Protocol):
    """Whoever gauges the first pieces of a machine."""

    def changed_over(self, to: int) -> None:
        """The machine has been changed over to another part type."""


class Machine(Station, Protocol):
    """A machine, as far as its changing over needs to know it."""

    source: Source
    state: State

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap."""

    @property
    def first_pieces(self) -> _FirstPieces:
        """To be told of it."""


class Mix:
    """How a machine that makes several types chooses among waiting parts, and changes over.

    Attributes
    ----------
    set_to : int
        Type that it is set to; ``NONE`` before its first part.
    """

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.site = machine.site
        self.row = machine.site.rows.mixes[machine.operation]
        lines, line = self.site.plan.lines, machine.spec.line
        self._types = int(lines.end_type[line] - lines.first_type[line])
        self.set_to = 0 if self.row.sequence == Order.IN_TURN else NONE
        self.is_new_turn = True
        self.left = 0
        self.ordinal = 0

    @property
    def chooses(self) -> bool:
        """Whether it takes any but the oldest part."""
        return bool(self.row.sequence != Order.OLDEST)

    @property
    def waits(self) -> bool:
        """Whether it waits until a part comes that it may take; if it takes types in turn it goes on to the next."""
        return bool(self.row.sequence != Order.IN_TURN)

    # --- which part ----------------------------------------------------------------------------------------------

    def next_part(self) -> Steps:
        """Ask for a part until there is one; a turn that is over ends in a changeover."""
        while (part := (yield self._ask())) is None:
            yield from self._change_over(self._next_type())
            self.is_new_turn = True
            self.machine.enter(State.WAITING_FOR_PART)
        return part

    def turns_down(self, part: Part) -> bool:
        """Whether a part is scrap as its fellow is, before anything is done to it."""
        if part.is_lost and self.row.sequence == Order.MATCHED:
            self.machine.scrap(part, Cause.OTHER)
            return True
        return False

    def is_lost_while(self, part: Part, steps: Sequence[Steps]) -> Steps:
        """Carry out what comes before a part; whether it was turned down meanwhile, as its fellow became scrap."""
        for step in steps:
            yield from step
            if self.turns_down(part):
                return True
        return False

    def _ask(self) -> Claim:
        machine = self.machine
        claim = Claim(machine.env, machine.rank, self)
        return machine.source.take(machine.rank, claim.ahead_of_all() if machine.spec.prefers else claim)

    def choose(self, parts: Sequence[Part]) -> int | None:
        """Which of the parts that wait, the oldest first, is taken; None for none of them."""
        if self.row.sequence == Order.IN_TURN:
            return self._in_turn(parts)
        if self.row.sequence == Order.MATCHED:
            return self.site.meeting.choose(self.machine.operation, parts)
        if not parts:
            return None
        if self.set_to == NONE:
            return 0
        if self.row.sequence == Order.SAME_TYPE:
            return next((at for at, part in enumerate(parts) if part.type == self.set_to), 0)
        return min(range(len(parts)), key=lambda at: self._mean_min(parts[at].type))

    def _in_turn(self, parts: Sequence[Part]) -> int | None:
        if self.is_new_turn:
            self.is_new_turn = False
            self.left = self.row.turn
            if self.left == TURN_WAITING:
                self.left = sum(part.type == self.set_to for part in parts)
        at = next((at for at, part in enumerate(parts) if part.type == self.set_to), None)
        if at is None or self.left == 0:
            return None
        if self.left != TURN_ALL:
            self.left -= 1
        return at

    def _next_type(self) -> int:
        """The type behind the one that it is set to, among those that come here."""
        after = (self.set_to + 1) % self._types
        while not is_for(self.row.types, after):
            after = (after + 1) % self._types
        return after

    def _mean_min(self, to: int) -> float:
        return 0.0 if self.row.first_changeover == NONE else float(self._changeover(to).mean_min)

    def _changeover(self, to: int) -> Any:
        return self.site.rows.changeover_times[self.row.first_changeover + self.set_to * self._types + to]

    # --- changing over -------------------------------------------------------------------------------------------

    def see_to(self, part: Part) -> Steps:
        """Change over if the part is of another type than the last one; before the first part nothing needs it."""
        if part.type != self.set_to:
            yield from self._change_over(part.type)

    def _change_over(self, to: int) -> Steps:
        machine = self.machine
        if to != self.set_to and NONE not in (self.set_to, self.row.first_changeover):
            self.site.tally.changeovers[machine.index] += 1
            time = self._changeover(to).time
            minutes = self.site.timing.minutes(time, Purpose.CHANGEOVER, machine.index, self.ordinal)
            self.ordinal += 1
            yield from attended(machine, self.row.people, State.WAITING_FOR_SETTER, State.CHANGING_OVER, minutes)
            machine.first_pieces.changed_over(to)
        self.set_to = to


def chosen(claim: Claim, count: int, parts: Callable[[], Sequence[Part]]) -> int | None:
    """Which of the waiting parts whoever claims one takes: as its mix says, else the oldest; None for none of them."""
    if isinstance(claim.stake, Mix) and claim.stake.chooses:
        return claim.stake.choose(parts())
    return 0 if count else None


def _mix_of(claims: Iterable[Claim]) -> Mix | None:
    """How the first of those that wait chooses; None if nobody waits, or takes what comes."""
    first = next(iter(claims), None)
    return first.stake if first is not None and isinstance(first.stake, Mix) else None


def may_refuse(claims: Iterable[Claim]) -> bool:
    """Whether the first of those that wait may leave all that is there."""
    mix = _mix_of(claims)
    return mix is not None and mix.row.sequence in (Order.IN_TURN, Order.MATCHED)


def note_waiting(claims: Sequence[Claim], stands: bool) -> None:
    """Machines that join lines wait for a fellow if their own parts stand there, else for a part."""
    mix = _mix_of(claims)
    if mix is None or mix.row.sequence != Order.MATCHED:
        return
    state = State.WAITING_FOR_FELLOW if stands else State.WAITING_FOR_PART
    for claim in claims:
        assert isinstance(claim.stake, Mix)
        if claim.stake.machine.state != state:
            claim.stake.machine.enter(state)


def gives_up(claims: Iterable[Claim]) -> bool:
    """Whether the first of those that wait goes on without a part if there is none for it."""
    mix = _mix_of(claims)
    return mix is not None and not mix.waits


class Fork:
    """Where the parts of some types, or of a branch, go on to one operation, and the others past it."""

    def __init__(self, site: Site, operation: int, to: Target, past: Target) -> None:
        self.site, self.row, self.to, self.past = site, site.rows.mixes[operation], to, past

    def put(self, part: Part, rank: tuple[int, ...]) -> Claim:
        """Ask for room for a part where it goes."""
        return self.way_of(part).put(part, rank)

    def way_of(self, part: Part) -> Target:
        """Where a part goes on to, all operations passed by that it does not come to."""
        comes = is_for(self.row.types, part.type) and self._takes_branch(part)
        return way_of(self.to if comes else self.past, part)

    def _takes_branch(self, part: Part) -> bool:
        row = self.row
        if row.fork == NONE:
            return True
        number = self.site.timing.uniforms(Purpose.BRANCH, row.fork, part.serial)[0]
        return bool(row.share_from <= number < row.share_to)


def way_of(target: Target, part: Part) -> Target:
    """Where a part goes on to from a machine with this target."""
    return target.way_of(part) if isinstance(target, Fork) else target


def forked(site: Site, operation: int, to: Target, past: Target) -> Target:
    """The way to an operation: straight to it, or for some parts past it."""
    row = site.rows.mixes[operation]
    return to if row.types == ALL_TYPES and row.fork == NONE else Fork(site, operation, to, past)
