"""The question of the frontier: which policies are not dominated in output and quality at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.compare import AlternativeStudy
from linesim.study.comparing.comparison import Comparison
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.questions.frontier_figures import FrontierFigures
from linesim.study.questions.frontier_words import sentences_of

__all__ = ["Frontier", "FrontierStudy"]


@dataclass(frozen=True, eq=False, repr=False)
class Frontier(FrontierFigures, Answer):
    """Policies by output and quality loss, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return self.comparison.provenance

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"policies": self.table}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return tuple(sentences_of(self))

    @property
    def further(self) -> dict[str, Any]:
        """Currency and knee."""
        share = None if self.knee_name is None else self.knee.share
        return {
            "currency": self.comparison.works.currency,
            "knee": {"policy": self.knee_name, "share_of_resamples": share},
        }


@dataclass(frozen=True, eq=False)
class FrontierStudy(Study[Frontier]):
    """Policies run to see which are not dominated in both output and quality.

    Attributes
    ----------
    alternatives : sequence of Alternative
        Such as `grid_of` lays them out.
    options : StudyOptions
        How it is carried out; the confidence is that of all places together, and of each interval by itself.
    """

    kind = "frontier"
    alternatives: Sequence[Alternative]
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Frontier]]:
        """Carry it out; the answer grows with each complete replication."""
        before: Comparison | None = None
        answer: Frontier | None = None
        for step in AlternativeStudy(self.alternatives, self.options, "policy").steps():
            if step.answer is not None and step.answer is not before:
                before, answer = step.answer, Frontier(step.answer)
            yield Interim(step.done, step.total, step.elapsed_s, answer, step.words, step.is_final)
