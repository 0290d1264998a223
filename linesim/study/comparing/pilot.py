"""Pilot runs from the empty shop, slice by slice: what shows how long a line takes to settle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from linesim.fast.choice import choose_engine
from linesim.ledger.line_costs import quality_factors
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally
from linesim.study.comparing.alternatives import Alternative, plans_of
from linesim.study.statistics.truncation import Truncation, mser
from linesim.works import Works

__all__ = ["LOSS", "SHIPPED", "Pilot", "pilots_of"]

SHIPPED = "parts shipped"
LOSS = "quality loss per good part"

_SLICES = 480
_PILOTS_FROM = 2**40
"""Replications from here on are pilots, so that no run of a study has a say in where its beginning is cut off."""
_REPLICATIONS = {"fast": 10, "simpy": 3}
_LEAST_IN_SLICE = 1.0
"""Parts shipped in a slice, in the mean; shorter slices would show nothing but the beat of the line."""


@dataclass(frozen=True, eq=False)
class Pilot:
    """What the pilot runs of one alternative have shown.

    Attributes
    ----------
    name : str
        The alternative's.
    length_min : float
        Worked minutes of each pilot run, from the start.
    replications : int
        Pilot runs; the series are means over them (Welch's way to see through the noise).
    series : dict of str to array, shape (slices,)
        By kind: parts shipped per hour, and quality loss per good part where the drawing prices one.
    changes_per_min : array, shape (mounts,)
        Changes of each mounted set per minute, in the mean over the runs.
    """

    name: str
    length_min: float
    replications: int
    series: dict[str, Floats]
    changes_per_min: Floats

    @property
    def slice_min(self) -> float:
        """Minutes of one slice."""
        return self.length_min / len(self.series[SHIPPED])

    def truncations(self) -> dict[str, Truncation]:
        """Where MSER-5 cuts each series off."""
        return {kind: mser(values) for kind, values in self.series.items()}

    def table(self, window: int = 12) -> pd.DataFrame:
        """The series with Welch's moving average.

        Parameters
        ----------
        window : int
            Slices to either side that are averaged, fewer near the beginning.

        Returns
        -------
        pandas.DataFrame
            Columns policy, series, minute (end of the slice, from the start of the run), value, smoothed.
        """
        head = {"policy": self.name, "minute": self.slice_min * (1.0 + np.arange(len(self.series[SHIPPED])))}
        tables = [
            pd.DataFrame(head | {"series": kind, "value": values, "smoothed": _welch(values, window)})
            for kind, values in self.series.items()
        ]
        return pd.concat(tables)[["policy", "series", "minute", "value", "smoothed"]]


def pilots_of(alternatives: Sequence[Alternative], seed: int, length_min: float, engine: str) -> Iterator[Pilot]:
    """Make the pilot runs of one alternative after another, in this process.

    Parameters
    ----------
    alternatives : sequence of Alternative
        What is to be compared.
    seed : int
        Key of all chance; the runs are replications that no study uses.
    length_min : float
        Worked minutes of each run, from the start.
    engine : {"fast", "simpy"}
        Which engine is wanted.

    Yields
    ------
    Pilot
    """
    for each, plan in zip(alternatives, plans_of(alternatives), strict=True):
        used = choose_engine(plan, engine).engine
        count = _REPLICATIONS[used]
        runs = [_sums(plan, each.works, seed, _PILOTS_FROM + at, length_min, used) for at in range(count)]
        sums = np.mean([series for series, _ in runs], axis=0)
        changes = np.mean([changes for _, changes in runs], axis=0)
        yield Pilot(each.name, length_min, count, _series(sums, length_min), changes / length_min)


def _sums(
    plan: Plan, works: Works, seed: int, replication: int, length_min: float, engine: str
) -> tuple[Floats, Floats]:
    """Parts shipped and quality loss of every slice of one run, shape (2, slices), and changes by mount."""
    factors = quality_factors(works)
    floor, tally = _floor(plan, seed, replication, engine)
    known = [(0.0, 0.0)]
    for end in np.linspace(0.0, length_min, _SLICES + 1)[1:]:
        floor.run_until(float(end))
        known.append((float(tally.shipped.sum()), float((tally.capped * factors).sum())))
    return np.diff(np.array(known), axis=0).T, (tally.planned + tally.joined + tally.unplanned).astype(np.float64)


def _floor(plan: Plan, seed: int, replication: int, engine: str) -> tuple[Any, Tally]:
    """A floor of either engine, and the tally into which it counts as it runs."""
    if engine == "simpy":
        from linesim.floor.run import Floor  # noqa: PLC0415 - loaded only where it is used

        floor = Floor(plan, seed, replication)
        return floor, floor.site.tally
    from linesim.fast.run import FastFloor  # noqa: PLC0415 - as above

    fast = FastFloor(plan, seed, replication)
    return fast, fast.working.tally


def _series(sums: Floats, length_min: float) -> dict[str, Floats]:
    """Rates from sums, in slices wide enough to hold a part."""
    shipped, loss = _widened(sums)
    per_hour = shipped / (length_min / 60.0 / len(shipped))
    if not loss.any():
        return {SHIPPED: per_hour}
    return {SHIPPED: per_hour, LOSS: np.divide(loss, shipped, out=np.zeros_like(loss), where=shipped > 0.0)}


def _widened(sums: Floats) -> Floats:
    """The same sums over wider slices, if need be."""
    width = 1
    while width < _SLICES // 20 and sums[0].sum() * width / _SLICES < _LEAST_IN_SLICE:
        width *= 2
    slices = sums.shape[1] // width
    wide: Floats = sums[:, : slices * width].reshape(len(sums), slices, width).sum(axis=2)
    return wide


def _welch(values: Floats, window: int) -> Floats:
    """Moving average over a window to either side, narrower near both ends."""
    reach = [min(window, at, len(values) - 1 - at) for at in range(len(values))]
    return np.array([values[at - near : at + near + 1].mean() for at, near in enumerate(reach)])
