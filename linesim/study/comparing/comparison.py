"""The answer of a comparison of policies, or of other variants of a works."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.comparing.figures import ComparedFigures, Verdict
from linesim.study.comparing.sentences import sentences_of
from linesim.study.statistics.selection import plain_selection

__all__ = ["Comparison", "Verdict"]


@dataclass(frozen=True, eq=False, repr=False)
class Comparison(ComparedFigures, Answer):
    """Policies set against each other, replication by replication: castings, edges and breakdowns are shared."""

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words, the verdict first."""
        return tuple(sentences_of(self))

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        run, lengths = self.works.run, self.lengths
        return origin_of(
            self.works,
            policies=list(self.names),
            base=self.base,
            seed=self.seed,
            replications=self.n_replications,
            runs=len(self.outcomes),
            looks=self.looks,
            confidence=self.confidence,
            counted_min=run.length,
            counted_why=lengths.length.why,
            warm_up_min=run.warm_up,
            warm_up_why=lengths.warm_up.why,
            engine=" and ".join(sorted(self.engines)),
        )

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        names = ("policies", "differences", "replications", "ledger", "times", "details", "findings")
        tables = {name: getattr(self, name) for name in names}
        return tables if self.types.empty else tables | {"types": self.types}

    @property
    def further(self) -> dict[str, Any]:
        """Currency, verdict, and how picking the best has ended."""
        verdict = self.best
        return {
            "currency": self.works.currency,
            "best": {
                "policy": verdict.policy,
                "by": verdict.measure.name,
                "is_clear": verdict.is_clear,
                "not_significant": list(verdict.not_significant),
            },
            "selection": None if self.selection is None else plain_selection(self.selection),
        }
