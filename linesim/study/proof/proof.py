"""How well the fit foretells what it has not seen, as an answer: tables, words, and what was drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.proof.judged import Foretold, Verdict, joined, verdict_of
from linesim.study.proof.words import method_words, over_all_words, verdict_words
from linesim.words import keep
from linesim.works import Works

__all__ = ["Proof", "Proven"]


@dataclass(frozen=True)
class Proven:
    """One quantity of one set or works, held back in one way.

    Attributes
    ----------
    of, quantity, unit, way : str
        What was foretold, and how rows were held back.
    foretold : Foretold
        Draws, and what was seen.
    verdict : Verdict
        What that says.
    """

    of: str
    quantity: str
    unit: str
    way: str
    foretold: Foretold
    verdict: Verdict

    @property
    def words(self) -> str:
        """The verdict in words."""
        return verdict_words(self.of, self.quantity, self.way, self.verdict)


@dataclass(frozen=True, eq=False)
class Proof(Answer):
    """What was foretold against what was seen.

    Attributes
    ----------
    works : Works
        The scenario.
    proven : tuple of Proven
        Every quantity, way by way.
    remarks : tuple of str
        What could not be foretold, and why.
    asked : mapping
        Seed and files.
    """

    works: Works
    proven: tuple[Proven, ...]
    remarks: tuple[str, ...] = ()
    asked: Mapping[str, Any] = field(default_factory=dict)

    @property
    def over_all(self) -> dict[str, Verdict]:
        """The calibration over all quantities, by the way in which they were held back."""
        ways = dict.fromkeys(each.way for each in self.proven)
        return {way: verdict_of(joined([each.foretold for each in self.proven if each.way == way])) for way in ways}

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(self.works, **self.asked)

    @property
    def sentences(self) -> tuple[str, ...]:
        """A verdict for each quantity, then the calibration over all, then what could not be foretold."""
        each = tuple(proven.words for proven in self.proven)
        every = tuple(over_all_words(way, verdict) for way, verdict in self.over_all.items())
        nothing = () if self.proven else (keep("proof.nothing"),)
        return (*nothing, *each, *every, *self.remarks)

    @property
    def method(self) -> tuple[str, ...]:
        """How this was worked out."""
        return method_words()

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Verdicts, and every single thing that was foretold."""
        return {"verdicts": _verdicts(self.proven), "foretold": _foretold(self.proven)}


def _verdicts(every: Sequence[Proven]) -> pd.DataFrame:
    """One row for each quantity."""
    names = ["of", "quantity", "held_back", "hits", "count", "expected_low", "expected_high", "verdict", "lean"]
    rows = [
        (each.of, each.quantity, each.way, each.verdict.hits, each.verdict.count, *each.verdict.likely,
         each.verdict.word, each.verdict.lean)
        for each in every
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=names)


def _forms(seen: float) -> float | None:
    """A figure for a table; nothing where it is not bounded."""
    return None if seen == float("inf") else float(seen)


def _foretold(every: Sequence[Proven]) -> pd.DataFrame:
    """One row for each thing foretold."""
    names = ["of", "quantity", "unit", "held_back", "what", "low", "middle", "high", "seen_from", "seen_to", "is_hit"]
    rows = []
    for each in every:
        part = each.foretold
        for at, label in enumerate(part.labels):
            low, middle, high = (float(bound) for bound in part.bands[:, at])
            span = float(part.seen_low[at]), _forms(part.seen_high[at])
            rows.append(
                (each.of, each.quantity, each.unit, each.way, label, low, middle, high, *span, bool(part.hits[at]))
            )
    return pd.DataFrame(rows, columns=names)
