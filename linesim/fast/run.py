"""Running a plan with the compiled engine, in slices so that it can be watched and stopped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from linesim.errors import RunError
from linesim.fast import steps
from linesim.fast.kernel import begin, run_on, set_up
from linesim.fast.layout import Layout
from linesim.fast.replay import replay
from linesim.floor.circles import endless_arrivals, endless_breakdowns, endless_moves
from linesim.floor.site import Watcher
from linesim.floor.standstill import Standing, note_standstill
from linesim.plan.tables import NONE, UNLIMITED, Plan
from linesim.plan.tally import Tally, empty_tally

__all__ = ["FastFloor", "run_fast"]

_TURNS = 1_000_000
"""Turns of the kernel between two looks at whether somebody wants to stop it."""

_PARTS_AT_FIRST = 256
_BY_MACHINE = ("worked", "passed", "first_pass")
_TRACE_ROWS = 16_384


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


class _Same:
    """A plan known by its identity, so that its layout can be kept from run to run."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    def __hash__(self) -> int:
        return hash(id(self.plan))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.plan is self.plan


@lru_cache(maxsize=16)
def _layout(same: _Same, trace_rows: int) -> Layout:
    """The layout of a plan, from which each of its runs takes a copy."""
    return Layout(same.plan, 0, 0, _PARTS_AT_FIRST, trace_rows)


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
        self.layout = _layout(_Same(plan), rows).fresh(seed, replication)
        self._counted_from = 0.0
        w = self.layout.world
        set_up(w)
        begin(w, len(plan.casts.castings), self.layout.n_mounted, int(w.n_sets))

    @property
    def now_min(self) -> float:
        """The moment up to which the floor has run, minutes from the start."""
        return float(self.layout.world.now)

    def run_until(self, minute: float) -> None:
        """Let the floor run until a moment; what is due at that moment has not happened yet.

        Raises
        ------
        RunError
            Parts go round without time passing.
        """
        w = self.layout.world
        if minute <= w.now:
            return
        w.until = minute
        while (status := run_on(w, _TURNS)) != steps.DONE:
            if status == steps.FULL:
                self.layout.grow_parts(2 * int(w.n_parts))
            elif status == steps.TRACE_FULL:
                self._tell()
            elif status != steps.GO_ON:
                raise self._endless(status)
        self._tell()

    def _endless(self, status: int) -> RunError:
        """Why the run would never end."""
        w, names = self.layout.world, self.plan.names
        if status == steps.ARRIVALS:
            return endless_arrivals(float(w.now), names.lines[int(w.culprit)])
        if status == steps.BREAKDOWNS:
            return endless_breakdowns(float(w.now), names.machines[int(w.culprit)])
        return endless_moves(float(w.now))

    def _tell(self) -> None:
        """Tell those who listen what has happened, and clear the trace."""
        if self.watchers:
            replay(self.plan, self.layout, self.watchers)
        self.layout.world.n_trace = 0

    def start_counting(self) -> None:
        """Cut off the warm-up: forget what was counted before now."""
        layout, now = self.layout, self.now_min
        if now > 0.0:
            layout.use_tally(empty_tally(self.plan))
        self._counted_from = now
        machines = layout.arrays["machines"]
        machines["state_since"] = now
        for name in _BY_MACHINE:
            machines[name] = 0
        pools = layout.arrays["pools"]
        pools["since_min"] = now
        for name in ("level_min", "queue_min", "waited_min", "served", "had_to_wait", "extreme"):
            pools[name] = 0
        pools["extreme"] = pools["stock"]

    def finish(self) -> Tally:
        """Count up to now, and hand over the tally."""
        layout, tally, now = self.layout, self.layout.tally, self.now_min
        tally.counted_min = now - self._counted_from
        machines, pools = layout.arrays["machines"], layout.arrays["pools"]
        tally.state_min[np.arange(len(machines)), machines["state"]] += now - machines["state_since"]
        machines["state_since"] = now
        passed = now - pools["since_min"]
        lines = layout.arrays["lines"]
        tally.in_line_min += lines["inside"] * passed[lines["yard"]]
        tally.in_line_at_end[:] = lines["inside"]
        is_people = pools["way"] == steps.PEOPLE
        pools["level_min"] += np.where(is_people, pools["capacity"] - pools["free"], pools["stock"]) * passed
        pools["queue_min"] += pools["n_claims"] * passed * is_people
        stands = (passed > 0.0) & ((pools["way"] == steps.BUFFER) | (pools["way"] == steps.YARD))
        pools["extreme"][stands] = np.maximum(pools["extreme"], pools["stock"])[stands]
        pools["since_min"] = now
        self._collect(tally)
        self._note_if_stuck(tally)
        return tally

    def _collect(self, tally: Tally) -> None:
        """Copy what yards, buffers, shelves and people have counted."""
        layout = self.layout
        for name in _BY_MACHINE:
            getattr(tally, name)[:] = layout.arrays["machines"][name]
        pools, lines = layout.arrays["pools"], layout.arrays["lines"]
        standing = {int(line.first_operation): int(line.yard) for line in lines} | layout.buffer_pools
        operations, numbers = np.array(list(standing)), np.array(list(standing.values()))
        for total, name in (
            (tally.stock_min, "level_min"),
            (tally.most_stock, "extreme"),
            (tally.taken, "served"),
            (tally.had_to_wait, "had_to_wait"),
            (tally.stood_min, "waited_min"),
        ):
            total[operations] = pools[name][numbers]
        shelves = pools["way"] == steps.SHELF
        tally.set_claims[:], tally.set_waited_min[:] = pools["served"][shelves], pools["waited_min"][shelves]
        tally.sharp_min[:], tally.fewest_sharp[:] = pools["level_min"][shelves], pools["extreme"][shelves]
        # The grinders stand before the people among the pools, and behind them in the tally.
        people = np.roll(np.flatnonzero(pools["way"] == steps.PEOPLE), -1)
        tally.busy_min[:], tally.jobs[:] = pools["level_min"][people], pools["served"][people]
        tally.waited_min[:], tally.queue_min[:] = pools["waited_min"][people], pools["queue_min"][people]

    def _note_if_stuck(self, tally: Tally) -> None:
        """With nothing due any more, a line that still holds parts or has castings to come can never move again."""
        lines, agenda = self.layout.arrays["lines"], self.layout.arrays["agenda"]
        holds = (lines["inside"] > 0) | (lines["serial"] < np.minimum(lines["limit"], UNLIMITED))
        tally.is_stuck = bool(np.isinf(agenda["minute"][1]) and holds.any())
        tally.stuck_at_min = math.inf
        if tally.is_stuck:
            tally.stuck_at_min = float(self.layout.arrays["machines"]["last_entry"].max())
        note_standstill(self.plan, tally, self._standing())

    def _standing(self) -> Standing:
        """How the floor stands."""
        arrays, w, plan = self.layout.arrays, self.layout.world, self.plan
        lines, machines, sets = arrays["lines"], arrays["machines"], arrays["sets"][: int(w.n_sets)]
        missing: dict[int, set[int]] = {}
        for kind in range(len(plan.kinds.sets)):
            claim = int(arrays["pools"]["first_claim"][int(w.first_shelf) + kind])
            while claim != NONE:
                missing.setdefault(int(plan.mounts.machine[claim - int(w.n_machines)]), set()).add(kind)
                claim = int(arrays["claims"]["next"][claim])
        first = int(w.first_of_others)
        is_due = np.isfinite(arrays["agenda"]["minute"][first : first + len(sets)])
        waits = (sets["step"] == steps.AT_GRINDER) & (plan.grinders > 0)
        return Standing(
            states=machines["state"].tolist(),
            since_min=machines["last_entry"].tolist(),
            missing=missing,
            coming=set(sets["kind"][is_due | waits].tolist()),
            inside=lines["inside"].tolist(),
            to_come=np.maximum(np.minimum(lines["limit"], UNLIMITED) - lines["serial"], 0).tolist(),
        )
