"""A close look at one policy or a few: money by operation and cause, characteristics, gauges, time; with intervals."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.result import Result
from linesim.study.comparing.close_look import MONEY_KEYS, CloseLook
from linesim.study.interim import Interim, last_of
from linesim.study.one.runs import check_key, run_plan
from linesim.works import Works

__all__ = ["CloseLook", "look", "look_steps"]

_FIRST = 2
_GROWTH = 2.0


def look(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int = 16,
    seed: int | None = None,
    confidence: float = 0.95,
) -> CloseLook:
    """Look closely at some policies; see `look_steps`."""
    return last_of(look_steps(works, policies, replications, seed, confidence))


def look_steps(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int = 16,
    seed: int | None = None,
    confidence: float = 0.95,
) -> Iterator[Interim[CloseLook]]:
    """Look closely at some policies, replication by replication, with an answer now and then on the way.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policies : sequence of str, optional
        Names; today's unless given.
    replications : int
        Of each, 2 or more.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of the intervals, between 0 and 1.

    Yields
    ------
    Interim of CloseLook

    Raises
    ------
    ScenarioError
        A policy is not known, or a cut cannot be made as described.
    StudyError
        What is asked for cannot be.

    Notes
    -----
    Everything is done in this process: what is looked at here (each row of the ledger, each characteristic) is more
    than a `Crew` brings home of a run.
    """
    names = tuple(policies or (works.todays_policy,))
    key = works.run.seed if seed is None else seed
    if replications < _FIRST:
        raise StudyError(f"{replications} replications were asked for; at least {_FIRST} are needed for an interval")
    check_key(key, replications - 1)
    began_s, next_told, total = time.monotonic(), float(_FIRST), replications * len(names)
    plans = {name: make_plan(works, name) for name in names}
    match: dict[str, list[pd.DataFrame]] = {name: [] for name in _TABLES}
    for replication in range(replications):
        for number, name in enumerate(names, start=1):
            result = _run(works, plans[name], key, replication)
            for table, rows in _tables(result, name, replication).items():
                match[table].append(rows)
            done = replication * len(names) + number
            if done < total:
                yield Interim(done, total, time.monotonic() - began_s, None, "running the line")
        is_last = replication + 1 == replications
        if is_last or replication + 1 >= next_told:
            next_told = (replication + 1) * _GROWTH
            tables = {name: pd.concat(rows, ignore_index=True) for name, rows in match.items()}
            answer = CloseLook(works, names, key, replication + 1, confidence, **tables)
            done = (replication + 1) * len(names)
            yield Interim(done, total, time.monotonic() - began_s, answer, "running the line", is_last)


_TABLES = ("lines", "money", "drawing", "gauges", "times", "causes", "blame", "faults", "first_pieces", "later")


def _run(works: Works, plan: Plan, seed: int, replication: int) -> Result:
    """One run on the quickest engine that can do it."""
    choice = choose_engine(plan, "fast")
    tally = run_plan(plan, seed, replication, engine=choice.engine)
    return Result(works, plan, tally, seed, replication, choice.engine, engine_note=choice.why)


def _tables(result: Result, policy: str, replication: int) -> dict[str, pd.DataFrame]:
    """What is kept of a run."""
    tables = {
        "lines": result.lines,
        "money": _money(result),
        "drawing": result.characteristics,
        "gauges": result.gauges,
        "times": _times(result),
        "causes": result.causes,
        "blame": result.blame,
        "faults": result.faults,
        "first_pieces": result.first_pieces,
        "later": result.later,
    }
    return {name: table.assign(policy=policy, replication=replication) for name, table in tables.items()}


def _money(result: Result) -> pd.DataFrame:
    """The ledger per good part; not a number for a line that ships nothing."""
    shipped: dict[str, float] = dict(zip(result.works.lines, result.tally.shipped.astype(float).tolist(), strict=True))
    ledger = result.ledger
    parts = ledger["line"].map(shipped).to_numpy(dtype=np.float64, copy=True)
    parts[parts <= 0.0] = math.nan
    money = ledger["minor_units"].to_numpy(dtype=np.float64) / 100.0 / parts
    counted = ledger["quantity"].to_numpy(dtype=np.float64) / parts
    return ledger[["line", *MONEY_KEYS, "unit", "price"]].assign(per_part=counted, per_good_part=money)


def _times(result: Result) -> pd.DataFrame:
    """Share of time of each machine in each state, one row for each."""
    columns = {f"{state.name.lower()}_share": state.words for state in State}
    table = result.machines[["line", "operation", "machine", *columns]].rename(columns=columns)
    return table.melt(["line", "operation", "machine"], var_name="state", value_name="share")
