"""The crib: where sharp sets are drawn, and where dull ones wait for the tool grinders."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Generator, Sequence
from typing import Protocol, runtime_checkable

import simpy
from simpy.events import Event

from linesim.chance import Purpose
from linesim.cutting.regrinding import regrind_past_limit_mm, regrind_takes_mm
from linesim.floor.foreman import Claim, Foreman, Turn, queue
from linesim.floor.job import Job
from linesim.floor.people import People
from linesim.floor.timing import Timing
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, RenewalWay
from linesim.plan.whereabouts import Whereabouts

__all__ = ["Crib", "CribWatcher", "CutterSet", "Shelf"]

_BEHIND_MACHINES = 2**30
"""Sets that came to be preset at one instant stand behind the machines that called for somebody then."""


@runtime_checkable
class CribWatcher(Protocol):
    """Listens to where cutter sets are that are not on a machine."""

    def set_moves(self, now_min: float, kind: int, number: int, where: Whereabouts, machine: int) -> None:
        """A set, by its kind and its number among those, has come somewhere; drawn: for this machine, else ``NONE``."""


class CutterSet:
    """One set in circulation: how often it can be renewed yet."""

    __slots__ = ("is_reground", "kind", "number", "stock_mm", "uses_left")

    def __init__(self, kind: int, number: int, stock_mm: float, uses: int) -> None:
        self.kind = kind
        self.number = number
        """Number among the sets of its kind, in the order in which they were bought."""
        self.stock_mm = stock_mm
        self.uses_left = uses
        """Edges or dressings still to come when this one is dull."""
        self.is_reground = False


class Shelf:
    """The sharp sets of one kind, and the machines that wait for one."""

    def __init__(self, env: simpy.Environment, foreman: Foreman, kind: int, tell: Callable[..., None]) -> None:
        self.env = env
        self.tell = tell
        """Tells those who listen to the crib of a set, where it is, and the mount for which it is drawn."""
        self.foreman = foreman
        self.kind = kind
        self.number = foreman.take_on(self, Turn.SETS)
        self.sharp: list[tuple[float, int, CutterSet]] = []
        self.waiting: list[Claim] = []
        self.regrinds = 0
        self.bought = 0
        self.presettings = 0
        self.preset_min = 0.0
        self.preset_waited_min = 0.0
        self.waited_min = 0.0
        self.claims = 0
        self.sharp_min = 0.0
        self.lowest = 0
        self.coming = 0
        """Sets that are on order, will be ground, or are to be preset."""
        self._since = 0.0

    def claim(self, rank: tuple[int, ...], mount: int) -> Claim:
        """Ask for a sharp set for a mount; the claim's value is the set."""
        claim = Claim(self.env, rank, mount)
        queue(self.waiting, claim)
        self.foreman.call(self.number)
        return claim

    def put(self, cutter_set: CutterSet) -> None:
        """A sharp set comes onto the shelf."""
        self._account()
        insort(self.sharp, (self.env.now, cutter_set.number, cutter_set))
        self.tell(cutter_set, Whereabouts.ON_SHELF)
        self.foreman.call(self.number)

    def give_out(self) -> bool:
        """Hand sharp sets to the longest waiting, the one longest on the shelf first."""
        given = False
        while self.sharp and self.waiting:
            self._account()
            claim = self.waiting.pop(0)
            self.waited_min += self.env.now - claim.since_min
            self.claims += 1
            cutter_set = self.sharp.pop(0)[2]
            self.tell(cutter_set, Whereabouts.DRAWN, claim.stake)
            claim.succeed(cutter_set)
            given = True
        self.lowest = min(self.lowest, len(self.sharp))
        return given

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.env.now
        self.regrinds = self.bought = self.claims = self.presettings = 0
        self.waited_min = self.sharp_min = self.preset_min = self.preset_waited_min = 0.0
        self.lowest = len(self.sharp)

    def stop_counting(self) -> None:
        """Count up to now."""
        self._account()

    def _account(self) -> None:
        now = self.env.now
        if now > self._since:
            self.sharp_min += len(self.sharp) * (now - self._since)
            self._since = now


class Crib:
    """All kinds of cutter set, the counter where dull ones are handed in, and the grinders they share."""

    def __init__(self, env: simpy.Environment, foreman: Foreman, plan: Plan, timing: Timing) -> None:
        self.env = env
        self.foreman = foreman
        self.plan = plan
        self.timing = timing
        self.number = foreman.take_on(self, Turn.SETS)
        self.counter: list[Claim] = []
        self.grinders = People(env, foreman, plan.grinders)
        self.presetters: People | None = None
        """Those of the works' people who preset sets; the site names them."""
        self.watchers: Sequence[CribWatcher] = ()
        """Who listens to where sets are."""
        self.shelves = [Shelf(env, foreman, kind, self.tell) for kind in range(len(plan.kinds.sets))]
        self._bought_so_far = [0] * len(self.shelves)
        self._regrinds_begun = [0] * len(self.shelves)
        self._presets_begun = [0] * len(self.shelves)
        self._renewal = [RenewalWay(way) for way in plan.kinds.renewal.tolist()]

    def tell(self, cutter_set: CutterSet, where: Whereabouts, mount: int = NONE) -> None:
        """Tell those who listen where a set has come to; one that is drawn, for which mount."""
        machine = NONE if mount == NONE else int(self.plan.mounts.machine[mount])
        for watcher in self.watchers:
            watcher.set_moves(self.env.now, cutter_set.kind, cutter_set.number, where, machine)

    def new_set(self, kind: int) -> CutterSet:
        """A set as it comes from the maker."""
        number = self._bought_so_far[kind]
        self._bought_so_far[kind] += 1
        kinds = self.plan.kinds
        return CutterSet(kind, number, float(kinds.stock_mm[kind]), int(kinds.uses[kind]) - 1)

    def can_renew_in_place(self, cutter_set: CutterSet, wheel_worn_mm: float) -> bool:
        """Whether the set can be indexed or dressed once more where it is; of a wheel so much has worn."""
        in_place = self._renewal[cutter_set.kind] in (RenewalWay.INDEXED, RenewalWay.DRESSED)
        enough = cutter_set.stock_mm - self._dressing_mm(cutter_set.kind, wheel_worn_mm) >= -1e-9
        return in_place and cutter_set.uses_left > 0 and enough

    def renew_in_place(self, cutter_set: CutterSet, wheel_worn_mm: float) -> None:
        """Index or dress it once more."""
        cutter_set.uses_left -= 1
        cutter_set.stock_mm -= self._dressing_mm(cutter_set.kind, wheel_worn_mm)

    def _dressing_mm(self, kind: int, wheel_worn_mm: float) -> float:
        """Wheel that a dressing takes: what has worn, and what it takes beyond."""
        beyond_mm = float(self.plan.kinds.dress_mm[kind])
        return wheel_worn_mm + beyond_mm if beyond_mm > 0.0 else 0.0

    def hand_in(self, cutter_set: CutterSet, wear_land_mm: float, is_broken: bool, rank: tuple[int, ...]) -> None:
        """Take in a set that has come off: it is ground sharp if it can be, and otherwise a new one is ordered."""
        self.counter.append(Claim(self.env, rank, (cutter_set, wear_land_mm, is_broken)))
        self.foreman.call(self.number)

    def give_out(self) -> bool:
        """Send what lies on the counter to the grinders, or order anew."""
        handed_in, self.counter = sorted(self.counter), []
        for claim in handed_in:
            assert isinstance(claim.stake, tuple)
            cutter_set, wear_land_mm, is_broken = claim.stake
            if not is_broken and self._can_grind(cutter_set, wear_land_mm):
                self.env.process(self._regrind(cutter_set, claim.rank))
            else:
                self.env.process(self._buy(self.new_set(cutter_set.kind)))
        return bool(handed_in)

    def _can_grind(self, cutter_set: CutterSet, wear_land_mm: float) -> bool:
        """Take the metal for one regrind off the set's stock, if there is enough."""
        kind = cutter_set.kind
        if self._renewal[kind] is not RenewalWay.REGROUND:
            return False
        kinds = self.plan.kinds
        takes_mm = regrind_takes_mm(wear_land_mm, float(kinds.per_wear_land[kind]), float(kinds.margin_mm[kind]))
        limit_mm, extra = float(kinds.wear_limit_mm[kind]), float(kinds.past_limit[kind])
        need_mm = regrind_past_limit_mm(takes_mm, wear_land_mm, limit_mm, extra)
        # Tenths of a millimetre do not add up exactly: a hair less than needed is enough.
        if cutter_set.stock_mm - need_mm < -1e-9:
            return False
        cutter_set.stock_mm -= need_mm
        return True

    def _regrind(self, cutter_set: CutterSet, rank: tuple[int, ...]) -> Generator[Event, object, None]:
        kind = cutter_set.kind
        self.shelves[kind].coming += min(self.plan.grinders, 1)
        self.tell(cutter_set, Whereabouts.BEFORE_GRINDER)
        yield self.grinders.claim(rank)
        self.tell(cutter_set, Whereabouts.AT_GRINDER)
        ordinal = self._regrinds_begun[kind]
        self._regrinds_begun[kind] += 1
        time = int(self.plan.kinds.regrind_time[kind])
        yield self.env.timeout(self.timing.minutes(time, Purpose.REGRIND, kind, ordinal))
        self.grinders.release()
        cutter_set.is_reground = True
        self.shelves[kind].regrinds += 1
        yield from self._make_ready(cutter_set)

    def begin_at_grinder(self, cutter_set: CutterSet) -> None:
        """A dull set waits for the grinders as the run begins, before those that come off later."""
        self.env.process(self._regrind(cutter_set, (-1, cutter_set.kind, cutter_set.number)))

    def begin_on_order(self, cutter_set: CutterSet) -> None:
        """A set is on order as the run begins."""
        self.env.process(self._arrive(cutter_set))

    def _buy(self, cutter_set: CutterSet) -> Generator[Event, object, None]:
        self.shelves[cutter_set.kind].bought += 1
        yield from self._arrive(cutter_set)

    def _arrive(self, cutter_set: CutterSet) -> Generator[Event, object, None]:
        kind = cutter_set.kind
        self.shelves[kind].coming += 1
        self.tell(cutter_set, Whereabouts.ON_ORDER)
        time = int(self.plan.kinds.lead_time[kind])
        yield self.env.timeout(self.timing.minutes(time, Purpose.SUPPLY, kind, cutter_set.number))
        yield from self._make_ready(cutter_set)

    def _make_ready(self, cutter_set: CutterSet) -> Generator[Event, object, None]:
        """A set is sharp: it is preset where that is done, in order of arrival, and goes onto the shelf."""
        shelf = self.shelves[cutter_set.kind]
        if self.plan.kinds.preset_time[cutter_set.kind] != NONE:
            yield from self._preset(cutter_set, shelf)
        shelf.coming -= 1
        shelf.put(cutter_set)

    def _preset(self, cutter_set: CutterSet, shelf: Shelf) -> Generator[Event, object, None]:
        kind, since_min = cutter_set.kind, self.env.now
        job = Job(self.env, self.presetters, (_BEHIND_MACHINES, kind, cutter_set.number))
        self.tell(cutter_set, Whereabouts.BEFORE_PRESETTER)
        yield from job.come()
        self.tell(cutter_set, Whereabouts.AT_PRESETTER)
        ordinal = self._presets_begun[kind]
        self._presets_begun[kind] += 1
        minutes = self.timing.minutes(int(self.plan.kinds.preset_time[kind]), Purpose.PRESETTING, kind, ordinal)
        shelf.presettings += 1
        shelf.preset_min += minutes
        shelf.preset_waited_min += self.env.now - since_min
        yield from job.work(minutes)
        job.end()
