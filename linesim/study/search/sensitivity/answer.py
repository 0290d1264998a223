"""What drives the result: the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.study.answer import Answer, origin_of
from linesim.study.search.sensitivity.figures import DriverFigures, Effect
from linesim.study.search.sensitivity.words import sentences_of

__all__ = ["Drivers", "Effect"]


@dataclass(frozen=True, eq=False, repr=False)
class Drivers(DriverFigures, Answer):
    """What a measure depends on most, among the inputs that a shop knows least, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, measure=self.measure.name, confidence=self.confidence, seed=self.seed,
            replications=self.replications, trajectories=self.trajectories, runs=self.runs,
        )  # fmt: skip

    @property
    def sentences(self) -> tuple[str, ...]:
        """What to measure first, in words."""
        return tuple(sentences_of(self))

    @property
    def further(self) -> dict[str, Any]:
        """Currency, and the measure as it is."""
        return {"currency": self.works.currency, "base": None if self.base is None else self.base._asdict()}
