"""The answer of a forecast: tables, the state at the end, what leaving a set in brings, and all of it in words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.coming.forecast_figures import ForecastFigures
from linesim.study.coming.reading import AT_END
from linesim.study.coming.standing import as_table
from linesim.study.coming.words import sentences_of
from linesim.words import plainly

__all__ = ["Forecast"]


@dataclass(frozen=True, eq=False, repr=False)
class Forecast(ForecastFigures, Answer):
    """What the coming shifts will bring from how the line stands now, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        clock = self.of.clock
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, replications=self.n, confidence=self.of.level,
            shifts=self.of.shifts, begins=clock.beginning, ends=clock.end_words(self.of.shifts), engine="fast",
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {
            "due": self.due.drop(columns=["mount", "of_machine"]), "output": self.output, "sets": self.sets,
            "people": self.hours, "clashes": self.clashes, "grouping": self.grouping, "standstill": self.standstill,
            "state": as_table(self.rows), AT_END: as_table(self.at_end),
        }  # fmt: skip

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return plainly(sentences_of, self)

    @property
    def further(self) -> dict[str, Any]:
        """What leaving a set in brings."""
        if self.left_in is None:
            return {"left_in": None}
        of = self.left_in
        plain = {name: getattr(of, name) for name in ("named", "broken", "broken_planned", "past_limit", "due")}
        differences = {name: getattr(of, name)._asdict() for name in ("money", "shipped", "scrapped", "out")}
        return {"left_in": plain | {"sets": list(of.mounts)} | differences}
