"""The answer of a routing study."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.routing.figures import CAPABLE, COMPARED, RoutingFigures, Tried
from linesim.routing.sentences import sentences_of
from linesim.study.answer import Answer, origin_of
from linesim.study.comparing.past import run_key
from linesim.study.crew.bases import base_of

__all__ = ["CAPABLE", "COMPARED", "RoutingAnswer", "Tried"]


@dataclass(frozen=True, eq=False, repr=False)
class RoutingAnswer(RoutingFigures, Answer):
    """Variants set against each other, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        of, run = self.variants, self.variants.base.run
        return origin_of(
            of.base, study=of.name, variants=list(of.names), policy=of.policy, seed=self.seed,
            replications=self.n_replications, confidence=self.confidence, counted_min=run.length,
            warm_up_min=run.warm_up, engine=self.engine,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"variants": self.table, "content": self.content, "capability": self.capability}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words, the verdict first."""
        return tuple(sentences_of(self))

    @property
    def called(self) -> dict[str, str]:
        """Names of the variants."""
        known = ((each.intervals.candidate, each.variant.name) for each in self.tried)
        return {run_key(base_of(of.works).digest, of.policy): name for of, name in known}

    @property
    def further(self) -> dict[str, Any]:
        """Currency, question and verdict."""
        best = {
            "variant": self.leader.variant.name,
            "by": self.measure.name,
            "is_clear": self.is_clear,
            "not_significant": list(self.not_significant),
        }
        return {"currency": self.currency, "question": self.variants.question, "best": best}
