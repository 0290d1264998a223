"""What to change first: the answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.advice.figures import AdviceFigures, Proposal
from linesim.study.advice.words import advice_sentences
from linesim.study.answer import Answer, origin_of

__all__ = ["Advice"]


@dataclass(frozen=True, eq=False, repr=False)
class Advice(AdviceFigures, Answer):
    """What to change first, in order of money."""

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What to do, in order of money."""
        return tuple(advice_sentences(self))

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, tried=self.tried, replications=self.replications,
            confidence=self.confidence, is_final=self.is_final,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The actions, all that was judged, and before and after of each."""
        return {
            "actions": _table(self.actions),
            "judged": _table(self.proposals),
            "figures": _joined(self.proposals, "figures"),
            "items": _joined(self.proposals, "items"),
        }

    @property
    def further(self) -> dict[str, Any]:
        """Currency, what must be said first, and all actions together."""
        both = self.together
        joint = None if both is None else {"gain": both.gain.mean, "half_width": both.gain.half_width}
        return {"currency": self.works.currency, "first": list(self.first), "together": joint}


def _table(proposals: Sequence[Proposal]) -> pd.DataFrame:
    rows = [
        (each.label, each.gain.mean, each.gain.mean - each.gain.half_width,
         each.gain.mean + each.gain.half_width, each.gain.n, each.is_significant,
         " ".join(each.first), each.still_right)
        for each in proposals
    ]  # fmt: skip
    heads = ["action", "money_a_month", "low", "high", "n", "is_significant", "said_first", "still_right"]
    return pd.DataFrame(rows, columns=heads)


def _joined(proposals: Sequence[Proposal], name: str) -> pd.DataFrame:
    tables: list[pd.DataFrame] = [getattr(each, name).assign(action=each.label) for each in proposals]
    if not tables:
        return pd.DataFrame({"action": []})
    return pd.concat(tables, ignore_index=True)
