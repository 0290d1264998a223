"""The life history of a feature: operation by operation, where its error came from.

The variance of an error that is a sum of parts is the sum of the covariances of each part with the whole: that is the
account. A source can take variance out, and then stands with a minus: a gauge that resets a cut is there for that.
Source: elementary; the covariance is additive in each argument.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.quality.limits import aim_mm as aim_of
from linesim.quality.limits import drawing_scale, per_side
from linesim.routing.account import Account
from linesim.routing.following import Step
from linesim.routing.sources import Source
from linesim.study.statistics.intervals import mean_interval
from linesim.works import Works

__all__ = ["HistoryFigures"]


@dataclass(frozen=True, eq=False, repr=False)
class HistoryFigures:
    """Where the error of a feature came from, over several runs.

    Attributes
    ----------
    works : Works
        What was run.
    policy, line, feature : str
        Under which policy; whose history it is.
    seed : int
        Key of all chance.
    confidence : float
        Of the intervals over the runs.
    accounts : tuple of Account
        One per replication, from 0.
    """

    works: Works
    policy: str
    line: str
    feature: str
    seed: int
    confidence: float
    accounts: tuple[Account, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps that any of the runs has seen, in the order of the routing."""
        return self.accounts[0].steps

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per step and source: mean (µm) and part of the variance (µm²), with half widths over the runs."""
        rows = []
        for at, step in enumerate(self.steps):
            for source in Source:
                means = [account.mean[at, source] for account in self.accounts]
                parts = [account.variance[at, source] for account in self.accounts]
                if not any(means) and not any(parts):
                    continue
                rows.append({"operation": step.operation, "step": step.what, "source": source.words}
                            | self._interval("mean_um", means) | self._interval("variance_um2", parts))  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def totals(self) -> pd.DataFrame:
        """One row per step: mean error and variance with half widths, and the standard deviation."""
        rows = []
        for at, step in enumerate(self.steps):
            means = [float(account.mean[at].sum()) for account in self.accounts]
            variances = [float(account.variance[at].sum()) for account in self.accounts]
            row = self._interval("mean_um", means) | self._interval("variance_um2", variances)
            rows.append({"operation": step.operation, "step": step.what} | row | {"sd_um": _root(row["variance_um2"])})
        return pd.DataFrame(rows)

    @cached_property
    def arising(self) -> pd.DataFrame:
        """One row per operation and source in which the final error arose: part of its variance, share, half width."""
        arrays = [account.arising for account in self.accounts]
        whole = float(np.mean([array.sum() for array in arrays]))
        rows = []
        for at, origin in enumerate(self.accounts[0].origins):
            for source in Source:
                values = [float(array[at, source]) for array in arrays]
                if any(values):
                    row = self._interval("variance_um2", values)
                    share = row["variance_um2"] / whole if whole else math.nan
                    rows.append({"operation": origin, "source": source.words} | row | {"share": share})
        return pd.DataFrame(rows)

    @cached_property
    def surface(self) -> pd.DataFrame:
        """One row per operation: Ra, share of places scratched and depth of the scratches, when parts are passed on."""
        rows = []
        for at, name in enumerate(self.accounts[0].origins[1:]):
            values = [account.surface[at] for account in self.accounts]
            row = self._interval("ra_um", [float(value[0]) for value in values])
            row |= self._interval("scratched", [float(value[1]) for value in values])
            row |= self._interval("scratch_um", [float(value[2]) for value in values])
            rows.append({"operation": name} | row)
        return pd.DataFrame(rows)

    @property
    def limits_um(self) -> tuple[float, float]:
        """Limits of the error per side, µm; infinite where the drawing gives none."""
        feature = self.works.lines[self.line].features[self.feature]
        if feature.size is None:
            return -math.inf, math.inf
        return per_side(feature, feature.size.limits, aim_of(feature))

    @property
    def scale(self) -> float:
        """How much the drawing's size grows for each µm of metal left on per side."""
        return drawing_scale(self.works.lines[self.line].features[self.feature])

    def _interval(self, name: str, values: Sequence[float]) -> dict[str, Any]:
        answer = mean_interval(values, self.confidence)
        return {
            name: answer.mean,
            f"{name}_half_width": answer.half_width,
            "n": answer.n,
            "confidence": self.confidence,
        }


def _root(variance: float) -> float:
    return math.sqrt(variance) if variance >= 0.0 else math.nan
