"""What many runs from one state say: when each set will be due, what is wanted, what runs short, what comes out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from linesim.fast import steps
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import State
from linesim.study.coming.clock import Clock
from linesim.study.coming.followed import Followed
from linesim.words import keep

__all__ = [
    "LEAST_CHANCE",
    "MAGAZINE",
    "Band",
    "Foretold",
    "band_of",
    "due_table",
    "output_table",
    "sets_table",
    "standstill_table",
    "whole_band_of",
]

LEAST_CHANCE = 0.1
"""A second change of a set, or a later one, is named if it comes in so many of the runs."""

MAGAZINE: str = keep("coming.magazine")
"""Stands in place of a cutter where a machine calls a setter to renew what its magazine has used up."""

_LATE_MIN = 15.0


class Foretold(NamedTuple):
    """What a forecast is worked out from.

    Attributes
    ----------
    plan : Plan
        What was run, from the state stated.
    clock : Clock
        When its shifts are.
    shifts : int
        How many; the first one may have begun already.
    level : float
        Of the bands.
    runs : list of Followed
        All from the same state.
    """

    plan: Plan
    clock: Clock
    shifts: int
    level: float
    runs: Sequence[Followed]

    @property
    def end_min(self) -> float:
        """The end of what is foretold."""
        return self.shifts * self.plan.shift_min - self.clock.within_min

    def place(self, machine: int) -> dict[str, Any]:
        """Line, operation and machine by name."""
        operation = int(self.plan.machines.operation[machine])
        names = self.plan.names
        line = names.lines[int(self.plan.operations.line[operation])]
        return {"line": line, "operation": names.operations[operation], "machine": names.machines[machine]}

    def called(self, machine: int) -> str:
        """A machine by name, with its line where there are several."""
        place = self.place(machine)
        if len(self.plan.names.lines) == 1:
            return str(place["machine"])
        return keep("coming.machine_of", machine=place["machine"], line=place["line"])


class Band(NamedTuple):
    """Middle of many outcomes, and the band that holds the next one with the chance wanted."""

    low: float
    middle: float
    high: float


def band_of(values: Sequence[float] | Floats, level: float) -> Band:
    """The band in which one more outcome of the same kind lies with a chance.

    Parameters
    ----------
    values : sequence of float
        Outcomes of independent runs; infinite for what did not happen.
    level : float
        The chance, between 0 and 1.

    Notes
    -----
    From the k-th smallest to the k-th largest of n outcomes lie (n + 1 - 2 k) / (n + 1) of all further ones, whatever
    their distribution (S. S. Wilks, "Determination of sample sizes for setting tolerance limits", Ann. Math. Stat. 12
    (1941), 91-96; from memory). k is the largest whole number with which that is no less than the chance.

    >>> band_of(range(1, 40), 0.95)
    Band(low=1.0, middle=20.0, high=39.0)
    """
    ordered = np.sort(np.asarray(values, dtype=np.float64))
    n = len(ordered)
    k = max(1, math.floor((1.0 - level) / 2.0 * (n + 1) + 1e-9))
    return Band(float(ordered[k - 1]), float(ordered[(n - 1) // 2]), float(ordered[n - k]))


def whole_band_of(values: Sequence[int], level: float) -> Band:
    """A band of whole numbers in which one more outcome of the same kind lies with a chance, as nearly as these allow.

    A band with so much outside on each side, as `band_of` gives, holds more than was asked wherever single numbers are
    likely: a shift's output stands on steps.

    Parameters
    ----------
    values : sequence of int
        Outcomes of independent runs.
    level : float
        The chance, between 0 and 1.

    Notes
    -----
    Of all bands of one width the one that holds the most outcomes is meant; of all widths the one whose share of
    outcomes comes nearest to the chance, which may thus be missed by half of what the likeliest number at an end holds.

    >>> whole_band_of([1] * 2 + [2] * 37 + [3] * 60 + [4], 0.95)
    Band(low=2.0, middle=3.0, high=3.0)
    """
    ordered = np.sort(np.asarray(values, dtype=np.int64))
    n, middle = len(ordered), float(ordered[(len(ordered) - 1) // 2])
    lows = np.unique(ordered)
    nearest = (math.inf, 0, middle, middle)
    for width in range(int(ordered[-1] - ordered[0]) + 1):
        inside = np.searchsorted(ordered, lows + width, side="right") - np.searchsorted(ordered, lows)
        low = int(lows[np.argmax(inside)])
        nearest = min(nearest, (abs(int(inside.max()) / n - level), width, float(low), float(low + width)))
    return Band(nearest[2], middle, nearest[3])


def due_table(of: Foretold) -> pd.DataFrame:
    """When each mounted set will be due, in time.

    Returns
    -------
    DataFrame
        line, operation, machine, cutter; nth (1 for the edge that is in now); chance (share of the runs in which it
        comes due); from_min, due_min, to_min with their clock times (infinite: after the end); parts (on its counter
        then, the middle of the runs), broken (share of the runs in which it breaks), by_hand (share in which somebody
        is called for it).
    """
    n, by_mount = len(of.runs), _moments(of)
    rows = []
    for (mount, nth), seen in by_mount.items():
        chance = len(seen) / n
        if nth > 1 and chance < LEAST_CHANCE:
            continue
        band = band_of([minute for minute, *_ in seen] + [math.inf] * (n - len(seen)), of.level)
        parts = float(np.median([count for _, count, *_ in seen])) if seen else math.nan
        machine = int(of.plan.mounts.machine[mount]) if mount >= 0 else ~mount
        cutter = of.plan.names.kinds[int(of.plan.mounts.kind[mount])] if mount >= 0 else MAGAZINE
        row = of.place(machine) | {"cutter": cutter, "nth": nth, "chance": chance}
        row |= {"from_min": band.low, "due_min": band.middle, "to_min": band.high}
        row |= {"from": of.clock.words(band.low), "due": of.clock.words(band.middle), "to": of.clock.words(band.high)}
        broken = sum(why == steps.BROKEN for _, _, why, _ in seen) / n
        hand = sum(by_hand for *_, by_hand in seen) / max(1, len(seen))
        rows.append(row | {"parts": parts, "broken": broken, "by_hand": hand, "mount": mount, "of_machine": machine})
    table = pd.DataFrame(rows)
    return table.sort_values(["due_min", "from_min", "mount", "nth"], kind="stable").reset_index(drop=True)


_Seen = tuple[float, int, int, bool]


def _moments(of: Foretold) -> dict[tuple[int, int], list[_Seen]]:
    """By mount and number of the change: when it came due in each run, and how."""
    by_mount: dict[tuple[int, int], list[_Seen]] = {(mount, 1): [] for mount in range(len(of.plan.mounts.kind))}
    for run in of.runs:
        so_far: dict[int, int] = {}
        stops = set(zip(of.plan.mounts.machine[run.mounts].tolist(), run.minutes.tolist(), strict=True))
        for job in run.jobs:
            if job.state == State.CHANGING and (job.machine, job.called_min) not in stops:
                so_far[~job.machine] = so_far.get(~job.machine, 0) + 1
                seen = (job.called_min, 0, int(steps.DUE), True)
                by_mount.setdefault((~job.machine, so_far[~job.machine]), []).append(seen)
        columns = (run.mounts, run.minutes, run.counts, run.whys, run.by_hand)
        for mount, minute, count, why, by_hand in zip(*(column.tolist() for column in columns), strict=True):
            so_far[mount] = so_far.get(mount, 0) + 1
            by_mount.setdefault((mount, so_far[mount]), []).append((minute, count, why, by_hand))
    return by_mount


def sets_table(of: Foretold) -> pd.DataFrame:
    """Sharp sets of each kind: how many there are, how many will be wanted, whether they run short.

    Returns
    -------
    DataFrame
        cutter; sharp and at_grinder (now), wanted (mean), at_hand (with the upper end of the band no run but a few
        wants more), short (share of the runs in which a machine waits for one).
    """
    begins, names = of.plan.begins, of.plan.names.kinds
    assert begins is not None
    rows = []
    for kind, name in enumerate(names):
        wanted = [int(run.wanted[kind]) for run in of.runs]
        rows.append(
            {"cutter": name, "sharp": int(begins.sharp[kind]), "at_grinder": int(begins.at_grinder[kind]),
             "wanted": float(np.mean(wanted)), "at_hand": int(band_of(wanted, of.level).high),
             "short": float(np.mean([run.short[kind] for run in of.runs]))}
        )  # fmt: skip
    columns = ["cutter", "sharp", "at_grinder", "wanted", "at_hand", "short"]
    return pd.DataFrame(rows, columns=columns)


def output_table(of: Foretold) -> pd.DataFrame:
    """Good parts of each line by the end of each shift, with their band; parts scrapped by then.

    Returns
    -------
    DataFrame
        line; shipped (mean), low, high, scrapped (mean).
    """
    rows = []
    for line, name in enumerate(of.plan.names.lines):
        shipped = [int(run.shipped[line]) for run in of.runs]
        band = whole_band_of(shipped, of.level)
        scrapped = float(np.mean([run.scrapped[line] for run in of.runs]))
        row = {"line": name, "shipped": float(np.mean(shipped)), "low": int(band.low), "high": int(band.high)}
        rows.append(row | {"scrapped": scrapped})
    return pd.DataFrame(rows)


_STANDS = {
    "no_part_min": (State.WAITING_FOR_PART, State.WAITING_FOR_FELLOW),
    "held_up_min": (State.HELD_UP,),
    "no_set_min": (State.WAITING_FOR_SET,),
    "no_setter_min": (State.WAITING_FOR_SETTER,),
    "changing_min": (State.CHANGING, State.CHANGING_OVER),
    "down_min": (State.WAITING_FOR_FITTER, State.UNDER_REPAIR, State.OVERHAUL),
    "no_operator_min": (State.WAITING_FOR_OPERATOR,),
}


def standstill_table(of: Foretold) -> pd.DataFrame:
    """For what each operation stands, in minutes of each of its machines, mean of the runs.

    Returns
    -------
    DataFrame
        line, operation; no_part_min, held_up_min, no_set_min, no_setter_min, changing_min, down_min, no_operator_min;
        often_no_part (share of the runs in which its machines wait more than a quarter of an hour each for parts).
    """
    return pd.DataFrame(_standing_rows(of))


def _standing_rows(of: Foretold) -> Iterator[dict[str, Any]]:
    minutes = np.array([run.state_min for run in of.runs])
    for operation in range(len(of.plan.operations.line)):
        first, end = int(of.plan.operations.first_machine[operation]), int(of.plan.operations.end_machine[operation])
        own = minutes[:, first:end, :].mean(axis=1)
        place = of.place(first)
        row = {"line": place["line"], "operation": place["operation"]}
        sums = {name: own[:, [int(state) for state in states]].sum(axis=1) for name, states in _STANDS.items()}
        yield row | {name: float(values.mean()) for name, values in sums.items()} | {
            "often_no_part": float((sums["no_part_min"] > _LATE_MIN).mean())
        }  # fmt: skip
