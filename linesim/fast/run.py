"""Running a plan with the compiled engine, in slices so that it can be watched and stopped."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from threading import Lock
from typing import Any

import numpy as np
from cachetools import LRUCache, cached

from linesim.errors import RunError
from linesim.fast import steps
from linesim.fast.agenda import WHO
from linesim.fast.counting import count_from_now, sum_up
from linesim.fast.first_use import say_first_use
from linesim.fast.kernels import KERNELS
from linesim.fast.layout_magazines import mount_of_claim
from linesim.fast.pattern import Pattern, Working
from linesim.fast.replay import Replay
from linesim.floor.circles import endless_arrivals, endless_breakdowns, endless_moves, endless_queue
from linesim.floor.site import Watcher
from linesim.floor.standstill import Standing, note_standstill
from linesim.plan.plan import Plan
from linesim.plan.same import Same
from linesim.plan.tables import NONE, UNLIMITED
from linesim.plan.tally import Tally

__all__ = ["FastFloor", "run_fast", "tier_of_plan"]

_TURNS = 500_000
"""Turns of the kernel between two looks at whether somebody wants to stop it."""

_PARTS_AT_FIRST = 256
_TRACE_ROWS = 16_384
_PATTERNS_BYTES = 64 * 2**20
"""Patterns at hand in a process, some 100 to 300 kB each: as many policies as take turns in one study."""


def run_fast(plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher] = ()) -> Tally:
    """Run a plan once with the compiled engine.

    Parameters
    ----------
    plan : Plan
        What to run.
    seed, replication : int
        Key of all chance, each 0 to 2**63 - 1; the same key gives the same run, whatever else is run.
    watchers : sequence of Watcher
        Who listens (a trace); they are told afterwards, slice by slice, and do not change the run.

    Returns
    -------
    Tally
        Equal to that of the SimPy floor in every figure.

    Raises
    ------
    RunError
        Parts go round without time passing.
    """
    floor = FastFloor(plan, seed, replication, watchers)
    floor.run_until(plan.warm_up_min)
    floor.start_counting()
    floor.run_until(plan.warm_up_min + plan.length_min)
    return floor.finish()


def tier_of_plan(plan: Plan) -> str:
    """Name of the tier whose kernels run a plan, see `linesim.fast.tiers`."""
    return _pattern(Same(plan), 0).tier


_patterns: LRUCache[Any, Pattern] = LRUCache(_PATTERNS_BYTES, getsizeof=lambda pattern: pattern.kept_bytes)


@cached(_patterns, lock=Lock())
def _pattern(same: Same[Plan], trace_rows: int) -> Pattern:
    """The pattern of a plan, of which each of its runs takes a copy; to lay it out takes as long as a run."""
    return Pattern(same.thing, _PARTS_AT_FIRST, trace_rows)


class FastFloor:
    """A compiled floor that can be run in steps, as the SimPy floor can.

    Parameters
    ----------
    plan, seed, replication, watchers
        As for `run_fast`.
    """

    def __init__(self, plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher] = ()) -> None:
        self.plan = plan
        self.watchers = list(watchers)
        rows = _TRACE_ROWS if self.watchers else 0
        self.working = Working(_pattern(Same(plan), rows), seed, replication)
        self._kernel = KERNELS[self.working.pattern.tier]
        say_first_use(self.working.pattern.tier)
        self._counted_from = 0.0
        self._begin()

    @cached_property
    def _replay(self) -> Replay:
        """Made when something is told for the first time: most runs tell nobody."""
        return Replay(self.plan, self.working, self.watchers)

    def _begin(self) -> None:
        """Let the kernel put everything as it stands when the run begins; nothing of that counts."""
        begins, working = self.plan.begins, self.working
        waiting = 0 if begins is None else int(begins.waiting.sum())
        if waiting + int(working.world.n_needed) > int(working.world.n_free):
            working.grow_parts(2 * int(working.world.n_parts) + waiting)
        self._kernel.begin(working.address, working.mould.n_mounted)
        if begins is not None:
            working.forget_tally()

    @property
    def now_min(self) -> float:
        """The moment up to which the floor has run, minutes from the start."""
        return self.working.now_min

    def run_until(self, minute: float) -> None:
        """Let the floor run until a moment; what is due at that moment has not happened yet.

        Raises
        ------
        RunError
            Parts go round without time passing.
        """
        if minute > self.now_min:
            while not self._goes_on(minute, _TURNS):
                pass
            self._tell()

    def follow_until(self, minute: float) -> None:
        """Run until a moment as `run_until` does, telling turn by turn: who listens finds all as it stands just then.

        Raises
        ------
        RunError
            Parts go round without time passing.
        """
        if minute > self.now_min:
            world = self.working.world
            while not self._goes_on(minute, 1):
                if world.n_trace:
                    self._tell()
            self._tell()

    def _goes_on(self, minute: float, turns: int) -> bool:
        """Let the kernel take some turns; whether the moment has come."""
        working = self.working
        status = self._kernel.run_on(working.address, minute, turns)
        if status == steps.FULL:
            working.grow_parts(2 * int(working.world.n_parts))
        elif status == steps.TRACE_FULL:
            self._tell()
        elif status not in (steps.DONE, steps.GO_ON):
            raise self._endless(status)
        return bool(status == steps.DONE)

    def _endless(self, status: int) -> RunError:
        """Why the run would never end."""
        w, names = self.working.world, self.plan.names
        if status == steps.ARRIVALS:
            return endless_arrivals(float(w.now), names.lines[int(w.culprit)])
        if status == steps.BREAKDOWNS:
            return endless_breakdowns(float(w.now), names.machines[int(w.culprit)])
        if status == steps.CROWDED:
            return endless_queue(float(w.now), names.lines[int(w.culprit)])
        return endless_moves(float(w.now))

    def _tell(self) -> None:
        """Tell those who listen what has happened, and clear the trace."""
        if self.watchers:
            self._replay.tell()
            self.working.world.n_trace = 0

    def start_counting(self) -> None:
        """Cut off the warm-up: forget what was counted before now."""
        self._counted_from = self.now_min
        if self._counted_from > 0.0:
            self.working.forget_tally()
        count_from_now(self.working.address)

    def finish(self) -> Tally:
        """Count up to now, and hand over the tally."""
        stands = sum_up(self.working.address)
        tally = self.working.tally_so_far()
        tally.counted_min = self.now_min - self._counted_from
        if stands == steps.STUCK:
            # With nothing due any more, a line that holds parts or has castings to come can never move again.
            tally.is_stuck = True
            tally.stuck_at_min = float(self.working.arrays["machines"]["last_entry"].max())
        if stands != steps.MOVES:
            note_standstill(self.plan, tally, self._standing())
        return tally

    def _standing(self) -> Standing:
        """How the floor stands."""
        arrays, w, plan = self.working.arrays, self.working.world, self.plan
        lines, sets = arrays["lines"], arrays["sets"][: int(w.n_sets)]
        machines = arrays["machines"][: len(plan.machines.operation)]
        missing: dict[int, set[int]] = {}
        for kind in range(len(plan.kinds.sets)):
            claim = int(arrays["pools"]["first_claim"][int(w.first_shelf) + kind])
            while claim != NONE:
                missing.setdefault(int(plan.mounts.machine[mount_of_claim(w, arrays, claim)]), set()).add(kind)
                claim = int(arrays["claims"]["next"][claim])
        agenda, is_due = arrays["agenda"][int(w.first_slot) : int(w.next_slot)], np.zeros(len(sets), dtype=bool)
        who = (agenda["ticket"][np.isfinite(agenda["minute"])] & WHO) - int(w.n_machines)
        is_due[who[(who >= 0) & (who < len(sets))]] = True
        waits = (sets["step"] == steps.AT_GRINDER) & (plan.grinders > 0)
        waits |= np.isin(sets["step"], (steps.AT_PRESETTER, steps.PRESETTING_AGAIN))
        everybody = arrays["machines"]
        is_out = (everybody["runs"] > 0) & (everybody["step"] >= steps.CARRY_TAKE)
        has_enough = machines["in_batch"] >= np.maximum(plan.batches.least[plan.machines.operation], 1)
        is_started = has_enough & (machines["is_filling"] > 0)
        return Standing(
            states=machines["state"].tolist(),
            since_min=machines["last_entry"].tolist(),
            missing=missing,
            coming=set(sets["kind"][is_due | waits].tolist()),
            inside=lines["inside"].tolist(),
            starts=set(np.flatnonzero(is_started).tolist()),
            under_way=set(everybody["operation"][is_out].tolist()),
            to_come=np.maximum(np.minimum(lines["limit"], UNLIMITED) - lines["serial"], 0).tolist(),
        )
