"""Best intervals of all sets together: the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.study.answer import Answer, origin_of
from linesim.study.search.intervals.best_figures import BEST, BestFigures, FlatRange, Try, Verdict, written
from linesim.study.search.intervals.best_words import sentences_of
from linesim.works.writing import plain

__all__ = ["BEST", "BestIntervals", "FlatRange", "Try", "Verdict", "written"]


@dataclass(frozen=True, eq=False, repr=False)
class BestIntervals(BestFigures, Answer):
    """Best intervals of all sets together, as far as the search has come, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        run = self.works.run
        return origin_of(
            self.works, goal=self.goal.name, caps=dict(self.goal.caps), base=self.base, against=self.against,
            by=self.by, over_lives=self.over_lives,
            tolerance=self.tolerance, confidence=self.confidence, seed=self.seed, runs=self.runs,
            counted_min=run.length, warm_up_min=run.warm_up,
        )  # fmt: skip

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words, the verdict first."""
        return tuple(sentences_of(self))

    @property
    def further(self) -> dict[str, Any]:
        """Whether it has settled, and the policy, ready to be written into a scenario."""
        head = {"is_settled": self.is_settled, "group_past": self.setting.group_past}
        return head | {"policy": {BEST: plain(self.policy)}}
