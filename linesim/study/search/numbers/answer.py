"""How many sets, grinders and setters: the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.study.answer import Answer, origin_of
from linesim.study.search.numbers.figures import CirculationFigures, Holding, Item, Step
from linesim.study.search.numbers.words import sentences_of

__all__ = ["Circulation", "Holding", "Item", "Step"]


@dataclass(frozen=True, eq=False, repr=False)
class Circulation(CirculationFigures, Answer):
    """The cheapest combination of sets, grinders and setters so far, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        holding = self.holding
        return origin_of(
            self.works, policy=self.policy, set_share_per_year=holding.set_share,
            grinder_rate=self.works.crib.rate if holding.grinder_rate is None else holding.grinder_rate,
            idle_share=holding.idle_share, confidence=self.confidence, seed=self.seed, runs=self.runs,
        )  # fmt: skip

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return sentences_of(self)

    @property
    def further(self) -> dict[str, Any]:
        """Currency, unit of gains, and the combination with its verdict."""
        verdict = None if self.verdict is None else self.verdict._asdict()
        head = {"currency": self.works.currency, "unit": self.unit, "is_settled": self.is_settled}
        return head | {"changes": dict(self.changes), "verdict": verdict}
