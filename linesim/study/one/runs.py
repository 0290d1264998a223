"""A plan run on either engine, step by step where somebody watches or may stop it."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from linesim.errors import StudyError
from linesim.fast.choice import ENGINES, engine_named
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.study.one.progress import Progress
from linesim.study.one.stopping import Wish

if TYPE_CHECKING:
    from linesim.floor.site import Watcher

__all__ = ["ENGINES", "check_key", "run_plan"]

_STEPS = 100
_STEP_S = 0.2
_FIRST_STEP_MIN = 60.0
_IN_WARM_UP = "Stopped in the warm-up, before anything was counted; nothing was kept."


def run_plan(
    plan: Plan,
    seed: int,
    replication: int,
    watchers: Sequence[Watcher] = (),
    progress: Progress | None = None,
    engine: str = "simpy",
    wish: Wish | None = None,
) -> Tally:
    """Run a plan, step by step if somebody is to be told how far it is.

    Parameters
    ----------
    plan : Plan
        What to run.
    seed, replication : int
        Key of all chance.
    watchers : sequence of Watcher
        Who listens.
    progress : callable, optional
        Told (steps done, steps in all).
    engine : {"simpy", "fast"}
        Which engine runs it; see `linesim.fast.choice.choose_engine`.
    wish : Wish, optional
        Looked at several times a second; where it is there, the run ends and what was counted so far is handed over.

    Returns
    -------
    Tally
        The same in one step or in many.

    Raises
    ------
    StudyError
        A rule of one's own failed, or there is no such engine.
    KeyboardInterrupt
        The wish to stop came before anything was counted.
    """
    floor = _floor(plan, seed, replication, watchers, engine)
    if not _advance(floor, 0.0, plan.warm_up_min, progress, 0, wish):
        raise KeyboardInterrupt(_IN_WARM_UP)
    floor.start_counting()
    _advance(floor, plan.warm_up_min, plan.warm_up_min + plan.length_min, progress, _STEPS, wish)
    return floor.finish()


def check_key(seed: int, replication: int) -> None:
    """See to it that a seed and a replication can be used.

    Raises
    ------
    StudyError
        One of them is negative or too large.
    """
    for name, value in (("seed", seed), ("replication", replication)):
        if not 0 <= value < 2**63:
            raise StudyError(f"a {name} of {value} cannot be; a whole number from 0 to 2**63 - 1 was expected")


class _Runs(Protocol):
    """A floor of either engine."""

    def run_until(self, minute: float) -> None:
        """Let the floor run until a moment."""

    def start_counting(self) -> None:
        """Cut off the warm-up."""

    def finish(self) -> Tally:
        """Count up to now, and hand over the tally."""


def _floor(plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher], engine: str) -> _Runs:
    """A floor of the engine that is wanted."""
    if engine_named(engine) == "simpy":
        from linesim.floor.run import Floor  # noqa: PLC0415 - loaded only where it is used

        return Floor(plan, seed, replication, watchers)
    from linesim.fast.run import FastFloor  # noqa: PLC0415 - as above

    return FastFloor(plan, seed, replication, watchers)


def _advance(
    floor: _Runs, start_min: float, end_min: float, progress: Progress | None, steps_before: int, wish: Wish | None
) -> bool:
    """Let the floor run on, in steps that take a tenth of a second, and tell how far it is; False if it was stopped."""
    if progress is None and wish is None:
        floor.run_until(end_min)
        return True
    now_min, step_min, text = start_min, min(_FIRST_STEP_MIN, (end_min - start_min) / _STEPS), 0
    while now_min < end_min:
        if wish is not None and wish.is_there:
            return False
        began = time.monotonic()
        now_min = min(now_min + step_min, end_min)
        floor.run_until(now_min)
        if time.monotonic() - began < _STEP_S / 2.0:
            step_min *= 2.0
        elif time.monotonic() - began > _STEP_S:
            step_min /= 2.0
        done = int(_STEPS * (now_min - start_min) / (end_min - start_min))
        if progress is not None and done > text:
            progress(steps_before + done, 2 * _STEPS)
            text = done
    if progress is not None and text < _STEPS:
        progress(steps_before + _STEPS, 2 * _STEPS)
    return True
