"""The tool room's plan: the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.toolroom.figures import ToolRoomFigures
from linesim.study.toolroom.words import sentences_of
from linesim.words import plainly

__all__ = ["ToolRoomPlan"]


@dataclass(frozen=True, eq=False, repr=False)
class ToolRoomPlan(ToolRoomFigures, Answer):
    """What the coming weeks ask of the tool room, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, weeks=self.n_weeks, seed=self.seed, replications=self.n_replications,
            confidence=self.confidence,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The weeks, kind by kind, the sets in circulation and the orders."""
        return {"weeks": self.weeks, "kinds": self.kinds, "sets": self.sets, "orders": self.orders}

    @property
    def summed(self) -> Mapping[str, Sequence[str]]:
        """Numbers of sets, hours and money."""
        counts = ("changes", "regrinds", "used_up")
        return {"weeks": (*counts, "grinder_h", "cost"), "kinds": counts, "orders": ("sets", "cost")}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The plan in words, what is wrong first."""
        return plainly(sentences_of, self)

    @property
    def further(self) -> dict[str, Any]:
        """Currency, and hours of the tool grinders in a week."""
        return {"currency": self.works.currency, "hours_staffed": self.hours_staffed}
