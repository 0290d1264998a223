"""One shift of the floor, minute by minute: states, stock, edges as they dull, parts as they pass, costly moments."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass

import pandas as pd

from linesim.desk import desk_figures
from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.study.interim import Interim, last_of
from linesim.study.one.moments import costly_moments, minute_price
from linesim.study.one.runs import check_key
from linesim.study.one.shift_listener import ShiftListener
from linesim.study.one.watching_floor import seen_floor
from linesim.works import Works

__all__ = ["MOST_SHIFTS", "ShiftRecord", "record_shift", "shift_steps"]

MOST_SHIFTS = 60
"""Shifts after the warm-up of which one may be recorded."""


@dataclass(frozen=True, eq=False)
class ShiftRecord:
    """What happened in one shift; minutes count from its start.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which cutters were changed.
    shift, seed, replication : int
        Which shift after the warm-up (the first is 1) of which run.
    length_min : float
        Length of the shift.
    states : DataFrame
        line, operation, machine, state, start_min, end_min.
    stock : DataFrame
        line, operation, minute, parts: standing before the operation, looked at every minute and written down where
        it had changed.
    edges : DataFrame
        line, operation, machine, cutter, minute, life_share, parts: each edge at the start, once a part is done, when
        it is changed (before and after) and at the end. The life share is the true one, which nobody on the floor sees.
    changes : DataFrame
        line, operation, machine, cutter, minute, why (with "by a sister" where one took over), life_share, parts.
    parts : DataFrame
        line, serial, operation, machine, minute, outcome (done, shipped or scrapped), part_type where a line makes
        several, and the true values of every place as in a run's trace.
    crib : DataFrame
        cutter, minute, and how many sets are then on_shelf, grinding (or waiting for it), presetting (or waiting for
        it) and on_order: at the start, and wherever it has changed.
    draws : DataFrame
        line, operation, machine, cutter, minute, waited_min: sharp sets drawn, and how long the machine had stood for
        want of one.
    breaks : DataFrame
        line, operation, machine, cutter, broke_min (nan: before the shift), found_min (nan: not in this shift), parts
        done there from then until it was found: edges that broke without being seen.
    moments : DataFrame
        What cost most; see `linesim.study.one.moments.costly_moments`.
    price_per_minute : dict
        By line: what a lost minute of its constraint is reckoned to cost.
    """

    works: Works
    policy: str
    shift: int
    seed: int
    replication: int
    length_min: float
    states: pd.DataFrame
    stock: pd.DataFrame
    edges: pd.DataFrame
    changes: pd.DataFrame
    parts: pd.DataFrame
    crib: pd.DataFrame
    draws: pd.DataFrame
    breaks: pd.DataFrame
    moments: pd.DataFrame
    price_per_minute: dict[str, float]


def record_shift(
    works: Works, policy: str | None = None, shift: int = 1, seed: int | None = None, replication: int = 0,
    engine: str = "fast",
) -> ShiftRecord:  # fmt: skip
    """Record one shift; see `shift_steps`."""
    return last_of(shift_steps(works, policy, shift, seed, replication, engine))


def shift_steps(
    works: Works, policy: str | None = None, shift: int = 1, seed: int | None = None, replication: int = 0,
    engine: str = "fast",
) -> Iterator[Interim[ShiftRecord]]:  # fmt: skip
    """Run a works up to a shift, record that shift, and tell after each shift on the way.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    shift : int
        Which shift after the warm-up, 1 to `MOST_SHIFTS`.
    seed, replication : int
        Key of all chance; the scenario's seed unless given. The run is the same as any other with this key.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same record.

    Yields
    ------
    Interim of ShiftRecord

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    StudyError
        There is no such shift, or no such engine.
    """
    if not 1 <= shift <= MOST_SHIFTS:
        raise StudyError(f"shift {shift} cannot be shown; a whole number from 1 to {MOST_SHIFTS} was expected")
    name = works.chosen_policy(policy)
    key = works.run.seed if seed is None else seed
    check_key(key, replication)
    began_s, length = time.monotonic(), works.calendar.shift
    plan = make_plan(works, name)
    listener = ShiftListener(plan)
    floor = seen_floor(plan, key, replication, [listener], engine)
    listener.floor = floor
    starts = _starts(works.run.warm_up, length, shift)
    for done, minute in enumerate(starts):
        floor.run_until(minute)
        yield Interim(done, len(starts) + 1, time.monotonic() - began_s, None, "running up to the shift")
    listener.begin(starts[-1])
    for minute in (*range(math.ceil(length)), length):
        for instant in floor.instants(starts[-1] + minute):
            listener.instant_over(instant)
        listener.see_stock(starts[-1] + minute)
    tables = listener.end(length)
    desk = desk_figures(works, name)
    moments, prices = costly_moments(works, desk, tables["states"], tables["parts"]), minute_price(works, desk)
    record = ShiftRecord(works, name, shift, key, replication, length, **tables, moments=moments,
                         price_per_minute=prices)  # fmt: skip
    yield Interim(len(starts) + 1, len(starts) + 1, time.monotonic() - began_s, record, "recorded", is_final=True)


def _starts(warm_up_min: float, length_min: float, shift: int) -> list[float]:
    """Moments at which to tell how far the run is; the last is the start of the shift."""
    start = warm_up_min + (shift - 1) * length_min
    steps = min(200, math.ceil(start / length_min)) or 1
    return [start * step / steps for step in range(1, steps + 1)]
