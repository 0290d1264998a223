"""Who is wanted when: the jobs of setters and fitters hour by hour, and where two machines want one man at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd

from linesim.plan.plan import Plan
from linesim.plan.times import row_minutes
from linesim.study.coming.figures import Foretold, band_of
from linesim.study.coming.followed import Job
from linesim.works import Works

__all__ = ["busiest", "clash_table", "grouping_table", "hours_table"]

_HOUR_MIN = 60.0
_WAITED_MIN = 0.5
_OFTEN = 0.2
"""A clash is named if it comes in so many of the runs."""
_NEAR_SHARE = 0.15
"""Two changes at a machine are worth one stop if the later one gives up no more of its interval than this."""


def hours_table(of: Foretold, works: Works) -> pd.DataFrame:
    """Each pool of people hour by hour.

    Returns
    -------
    DataFrame
        people, from_min, from, to (hours of the shift, from its start); attending (there are in that shift), busy_min
        (mean minutes of work in the hour), busiest_min (upper end of its band), at_once (most machines that want one
        of them at the same time: upper end of its band), waited_min (mean minutes that machines wait for them), clash
        (share of the runs in which a machine waits).
    """
    rows = []
    for pool, name in enumerate(of.plan.names.pools):
        by_run = [[job for job in run.jobs if job.pool == pool] for run in of.runs]
        if not any(by_run):
            continue
        for start, end in _hours(of):
            rows.append({"people": name} | _hour(of, by_run, start, end) | {
                "attending": _attending(works, of, name, start)})  # fmt: skip
    columns = ["people", "from_min", "from", "to", "attending", "busy_min", "busiest_min", "at_once", "waited_min",
               "clash"]  # fmt: skip
    return pd.DataFrame(rows, columns=columns)


def _hours(of: Foretold) -> Iterator[tuple[float, float]]:
    """The hours of the shifts from their start, of the first one as much as is left."""
    start, end = 0.0, _HOUR_MIN - of.clock.within_min % _HOUR_MIN
    while start < of.end_min - 1e-9:
        yield start, min(end, of.end_min)
        start, end = end, end + _HOUR_MIN


def _attending(works: Works, of: Foretold, name: str, minute: float) -> int:
    return works.people[name].attending(*of.clock.shift_at(minute))


def _hour(of: Foretold, by_run: Sequence[Sequence[Job]], start: float, end: float) -> dict[str, Any]:
    busy = [sum(_overlap(job.begun_min, job.end_min, start, end) for job in jobs) for jobs in by_run]
    waited = np.array([sum(_overlap(job.called_min, job.begun_min, start, end) for job in jobs) for jobs in by_run])
    most = [_most_at_once(jobs, start, end) for jobs in by_run]
    return {
        "from_min": start, "from": of.clock.words(start), "to": of.clock.words(end - 1e-6),
        "busy_min": float(np.mean(busy)), "busiest_min": band_of(busy, of.level).high,
        "at_once": int(band_of(most, of.level).high), "waited_min": float(waited.mean()),
        "clash": float((waited > _WAITED_MIN).mean()),
    }  # fmt: skip


def _overlap(since: float, until: float, start: float, end: float) -> float:
    return max(0.0, min(until, end) - max(since, start))


def _most_at_once(jobs: Sequence[Job], start: float, end: float) -> int:
    """Most machines that want or have somebody at the same time."""
    turns = []
    for job in jobs:
        if job.called_min < end and job.end_min > start:
            turns += [(max(job.called_min, start), 1), (min(job.end_min, end), -1)]
    most = now = 0
    for _, step in sorted(turns):
        now += step
        most = max(most, now)
    return most


def clash_table(of: Foretold) -> pd.DataFrame:
    """Where one machine waits while people are at another one, the most frequent first.

    Returns
    -------
    DataFrame
        people, waiting and meanwhile (machines), chance (share of the runs), waited_min (mean, where it comes),
        about_min and about (the usual moment).
    """
    seen: dict[tuple[int, int, int], list[tuple[int, float, float]]] = {}
    for number, run in enumerate(of.runs):
        for job in run.jobs:
            if job.begun_min - job.called_min > _WAITED_MIN:
                for other in run.jobs:
                    is_there = other.begun_min <= job.called_min < other.end_min
                    if other.pool == job.pool and other.machine != job.machine and is_there:
                        waited = (number, job.called_min, job.begun_min - job.called_min)
                        seen.setdefault((job.pool, job.machine, other.machine), []).append(waited)
    rows = []
    names = of.plan.names
    for (pool, machine, at), cases in seen.items():
        chance = len({number for number, *_ in cases}) / len(of.runs)
        about = float(np.median([minute for _, minute, _ in cases]))
        row: dict[str, Any] = {"people": names.pools[pool], "waiting": of.called(machine), "meanwhile": of.called(at)}
        row |= {"chance": chance, "waited_min": float(np.mean([waited for *_, waited in cases]))}
        if chance >= _OFTEN:
            rows.append(row | {"about_min": about, "about": of.clock.words(about)})
    columns = ["people", "waiting", "meanwhile", "chance", "waited_min", "about_min", "about"]
    table = pd.DataFrame(rows, columns=columns)
    return table.sort_values("chance", ascending=False, kind="stable").reset_index(drop=True)


def grouping_table(of: Foretold, due: pd.DataFrame, cards: Mapping[tuple[str, str], int | None]) -> pd.DataFrame:
    """Changes at one machine that come so close together that one stop might do for both.

    Parameters
    ----------
    of : Foretold
        The runs.
    due : DataFrame
        As from `linesim.study.coming.figures.due_table`.
    cards : dict
        By operation and cutter: parts on the counter at which a set is changed; None where no counter tells.

    Returns
    -------
    DataFrame
        machine; first and second (cutters), at and then (clock), apart_min, given_up (parts of the second's interval),
        given_up_share, saved_min (minutes of getting at the spindle).
    """
    rows = []
    likely = due[(due["chance"] >= 0.5) & (due["by_hand"] >= 0.5)]
    for machine in dict.fromkeys(likely["of_machine"].tolist()):
        stops = likely[likely["of_machine"] == machine].sort_values("due_min").to_dict(orient="records")
        for first, second in pairwise(stops):
            apart = float(second["due_min"]) - float(first["due_min"])
            count = cards.get((str(second["operation"]), str(second["cutter"])))
            given_up = apart * _parts_a_minute(of, machine)
            saved_min = _access_min(of.plan, int(of.plan.machines.operation[machine]))
            if count is None or min(apart, saved_min) < 1.0 or given_up > _NEAR_SHARE * count:
                continue
            rows.append(
                {"machine": of.called(machine), "first": first["cutter"], "at": first["due"],
                 "second": second["cutter"], "then": second["due"], "apart_min": apart, "given_up": given_up,
                 "given_up_share": given_up / count, "saved_min": saved_min}
            )  # fmt: skip
    columns = ["machine", "first", "at", "second", "then", "apart_min", "given_up", "given_up_share", "saved_min"]
    return pd.DataFrame(rows, columns=columns)


def _parts_a_minute(of: Foretold, machine: int) -> float:
    return float(np.mean([run.worked[machine] for run in of.runs])) / of.end_min


def _access_min(plan: Plan, operation: int) -> float:
    return row_minutes(plan.times, int(plan.operations.access_time[operation]))


def busiest(hours: pd.DataFrame) -> dict[str, dict[str, Any]]:
    """By pool: its busiest hour."""
    top: dict[str, dict[str, Any]] = {}
    for row in hours.to_dict(orient="records"):
        if str(row["people"]) not in top or row["busy_min"] > top[str(row["people"])]["busy_min"]:
            top[str(row["people"])] = {str(name): value for name, value in row.items()}
    return top
