"""The life history of a feature: operation by operation, where its error came from.

Of its size, its position or tilt, or of its form, see `linesim.routing.measured` and `linesim.routing.account`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.cutting.component import Component
from linesim.routing.account import Account
from linesim.routing.lives import Step
from linesim.routing.measured import Measured, measured_as
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
    of : Component
        What of the feature is followed.
    """

    works: Works
    policy: str
    line: str
    feature: str
    seed: int
    confidence: float
    accounts: tuple[Account, ...]
    of: Component = Component.SIZE

    @property
    def measured(self) -> Measured:
        """Names of the columns, and their words: form is accounted for in squares."""
        return measured_as(self.of)

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps that any of the runs has seen, in the order of the routing."""
        return self.accounts[0].steps

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per step and source: mean and part of the variance, with half widths over the runs."""
        rows = []
        for at, step in enumerate(self.steps):
            for source in Source:
                means = [account.mean[at, source] for account in self.accounts]
                parts = [account.variance[at, source] for account in self.accounts]
                if not any(means) and not any(parts):
                    continue
                head = {"operation": step.operation, "step": step.what, "source": source.words}
                rows.append(head | self._both(means, parts))
        return self._frame(rows)

    @cached_property
    def totals(self) -> pd.DataFrame:
        """One row per step: mean and variance with half widths, and the standard deviation (of form, rms)."""
        rows = []
        for at, step in enumerate(self.steps):
            means = [float(account.mean[at].sum()) for account in self.accounts]
            variances = [float(account.variance[at].sum()) for account in self.accounts]
            row = self._both(means, variances)
            spread = {self.measured.spread: _root(row[self.measured.shared])}
            rows.append({"operation": step.operation, "step": step.what} | row | spread)
        return pd.DataFrame(rows)

    @cached_property
    def arising(self) -> pd.DataFrame:
        """One row per step and source in which the final value arose: its mean, part of the variance, and share.

        The share is of the variance; of form it is of the mean square. Shares sum to 1.
        """
        variances = [account.arising for account in self.accounts]
        means = [account.arising_mean for account in self.accounts]
        rows = []
        for at, origin in enumerate(self.accounts[0].origins):
            for source in Source:
                values = [float(array[at, source]) for array in variances]
                middles = [float(array[at, source]) for array in means]
                if any(values) or any(middles):
                    head = {"operation": origin.operation, "step": origin.what, "source": source.words}
                    rows.append(head | self._both(middles, values))
        table = self._frame(rows)
        whole = float(table[self.measured.shared].sum())
        table["share"] = table[self.measured.shared] / whole if whole else math.nan
        return table

    @cached_property
    def surface(self) -> pd.DataFrame:
        """One row per operation: Ra, share of places scratched and depth of the scratches, when parts are passed on."""
        rows = []
        for at, name in enumerate(self.accounts[0].operations):
            values = [account.surface[at] for account in self.accounts]
            row = self._interval("ra_um", [float(value[0]) for value in values])
            row |= self._interval("scratched", [float(value[1]) for value in values])
            row |= self._interval("scratch_um", [float(value[2]) for value in values])
            rows.append({"operation": name} | row)
        return pd.DataFrame(rows)

    def _frame(self, rows: list[dict[str, Any]]) -> pd.DataFrame:
        """The rows as a table, which has its columns even where nothing ever moves the feature."""
        return pd.DataFrame(rows, columns=["operation", "step", "source", *self._both([0.0], [0.0])])

    def _both(self, means: Sequence[float], variances: Sequence[float]) -> dict[str, Any]:
        """Mean and part of the variance over the runs."""
        return self._interval(self.measured.mean, means) | self._interval(self.measured.variance, variances)

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
