"""A trial foretold: the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.trial.figures import TrialFigures
from linesim.study.trial.words import sentences_of
from linesim.words import plainly

__all__ = ["Trial"]


@dataclass(frozen=True, eq=False, repr=False)
class Trial(TrialFigures, Answer):
    """What is foretold of a trial, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, set=self.set_at.key, interval=self.interval, weeks=self.n_weeks,
            seed=self.seed, replications=len(self.during), confidence=self.confidence,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Before and during, and the weeks."""
        return {"quantities": self.table, "weeks": self.weeks}

    @property
    def summed(self) -> Mapping[str, Sequence[str]]:
        """Nothing adds up over quantities."""
        return {}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The trial in words."""
        return plainly(sentences_of, self)

    @property
    def further(self) -> dict[str, Any]:
        """Currency, and the rule to stop."""
        rule = self.stop
        stop = {"broken": rule.broken, "within": rule.within, "false_alarm": rule.false_alarm, "notices": rule.notices}
        return {"currency": self.works.currency, "stop": stop}
