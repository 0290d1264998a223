"""What a trial has come to: the answer."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer
from linesim.study.trial.after_words import after_sentences
from linesim.study.trial.afterwards import ReadBack
from linesim.words import plainly

__all__ = ["TrialAnswered"]


@dataclass(frozen=True, eq=False, repr=False)
class TrialAnswered(ReadBack, Answer):
    """What a trial has come to, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        since = {} if self.since is None else {"since": f"{self.since}"}
        return {**self.trial.provenance, "records": list(self.records.files), **since}

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Quantity by quantity, foretold and seen; rows set aside."""
        rows = [
            (each.of.name, each.of.words, each.of.unit, each.expected, each.low, each.high, each.seen, each.count,
             each.where) for each in self.judged
        ]  # fmt: skip
        heads = ["name", "quantity", "unit", "expected", "low", "high", "seen", "rows", "where"]
        aside = [(each.file, each.row, each.reason) for each in self.records.asides]
        return {
            "answered": pd.DataFrame(rows, columns=heads),
            "aside": pd.DataFrame(aside, columns=["file", "row", "reason"]),
        }

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The verdict, then quantity by quantity."""
        return plainly(after_sentences, self)

    @property
    def further(self) -> dict[str, Any]:
        """The verdict in a word, and the weeks."""
        return {"verdict": self.verdict, "weeks_done": self.weeks_done, "was_stopped": self.was_stopped}
