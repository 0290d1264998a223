"""Output against quality loss over many policies: which are dominated, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.study.comparing.comparison import Comparison
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.statistics.pareto import Knee, Verdicts, knee_of, not_beaten, verdicts_of

__all__ = ["LOSS", "OUTPUT", "FrontierFigures"]

OUTPUT, LOSS = "good_per_hour", "quality_loss_per_good_part"
_SHOWN = (OUTPUT, LOSS, "contribution_per_hour", "cost_per_good_part")


@dataclass(frozen=True, eq=False, repr=False)
class FrontierFigures:
    """Policies by output and quality loss.

    Attributes
    ----------
    found : Comparison
        The runs of all of them.
    """

    comparison: Comparison

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Policies that shipped parts in every replication and are no one's twin, in the order of their names."""
        shipped = [name for name in self.comparison.names if not math.isnan(self.comparison.mean(name, LOSS)[0])]
        return tuple(name for name in shipped if name not in self.twins)

    @cached_property
    def twins(self) -> dict[str, str]:
        """Policies that did exactly the same as an earlier one in every replication, by name, and that one."""
        rows = self.comparison.replications[self.comparison.replications["line"] == WHOLE_WORKS]
        first: dict[bytes, str] = {}
        answer = {}
        for name in self.comparison.names:
            key = rows.loc[rows["policy"] == name, list(_SHOWN)].to_numpy(dtype=np.float64).tobytes()
            if first.setdefault(key, name) != name:
                answer[name] = first[key]
        return answer

    @cached_property
    def verdicts(self) -> Verdicts:
        """Where each of `names` stands, as far as the runs carry it."""
        return verdicts_of(self._values(OUTPUT), self._values(LOSS), self.comparison.confidence)

    @cached_property
    def line(self) -> tuple[str, ...]:
        """Policies that no other one beats in the mean, by rising output."""
        stored = not_beaten(self._values(OUTPUT).mean(axis=1), self._values(LOSS).mean(axis=1))
        return tuple(self.names[at] for at in stored)

    @cached_property
    def knee(self) -> Knee:
        """The knee among `names`, and how often it is the same in resampled replications."""
        return knee_of(self._values(OUTPUT), self._values(LOSS), self.comparison.seed)

    @property
    def knee_name(self) -> str | None:
        """Name of the knee, if there is one."""
        return None if self.knee.point < 0 else self.names[self.knee.point]

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per policy, by rising output.

        Columns policy, words; mean and half width of good parts per hour, quality loss per good part, contribution per
        hour and cost per good part (each interval by itself); twins (names of those that did exactly the same); place
        ("on it", "open", "dominated"; all that is said of all of them holds at once), beaten_by, is_in_line (not beaten
        in the mean), is_knee, confidence, n.
        """
        rows = [self._row(at, name) for at, name in enumerate(self.names)]
        table = pd.DataFrame(rows).sort_values(OUTPUT, kind="stable").reset_index(drop=True)
        return table.assign(confidence=self.comparison.confidence, n=self.comparison.n_replications)

    def _values(self, measure: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        """One figure, shape (policies, replications)."""
        rows = self.comparison.replications[self.comparison.replications["line"] == WHOLE_WORKS]
        wide = rows.pivot(index="policy", columns="replication", values=measure)
        return wide.loc[list(self.names)].to_numpy(dtype=np.float64)

    def _row(self, at: int, name: str) -> dict[str, Any]:
        """One policy."""
        row: dict[str, Any] = {"policy": name, "words": self.comparison.words[name]}
        for measure in _SHOWN:
            row[measure], row[f"{measure}_half_width"] = self.comparison.mean(name, measure)
        by = self.verdicts.beaten_by[at]
        return row | {
            "twins": ", ".join(twin for twin, own in self.twins.items() if own == name),
            "place": self.verdicts.verdict[at],
            "beaten_by": "" if by < 0 else self.names[by],
            "is_in_line": name in self.line,
            "is_knee": name == self.knee_name,
        }
