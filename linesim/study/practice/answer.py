"""How often each claim is so in a works, as tables and sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.practice.claim import COMES_OUT, Claim, Pair
from linesim.works import Works

__all__ = ["Practice", "Practices", "Record"]

Key = tuple[str, str]


@dataclass
class Record:
    """What the draws say of one claim.

    Attributes
    ----------
    claim : Claim
        Which.
    why_not : str
        Why it does not apply; empty where it does.
    pairs : list of list of Pair
        The comparisons of each draw.
    """

    claim: Claim
    why_not: str = ""
    pairs: list[list[Pair]] = field(default_factory=list)

    @property
    def verdicts(self) -> list[bool]:
        """Of each draw that has something to show: whether all of its comparisons hold."""
        known = ([pair.holds for pair in pairs if pair.holds is not None] for pairs in self.pairs)
        return [all(each) for each in known if each]

    @property
    def comes_out(self) -> bool:
        """Whether it holds in so many draws that it may be said to be so here."""
        verdicts = self.verdicts
        return bool(verdicts) and sum(verdicts) >= COMES_OUT * len(verdicts)

    def details(self) -> list[dict[str, Any]]:
        """One row for each comparison: means of both figures over the draws, and in how many it holds."""
        rows: dict[Key, list[Pair]] = {}
        for pair in (pair for pairs in self.pairs for pair in pairs):
            rows.setdefault((pair.of, pair.what), []).append(pair)
        answer = [self._detail(of, what, pairs) for (of, what), pairs in rows.items()]
        return [row for row in answer if row["draws"]]

    def _detail(self, of: str, what: str, pairs: list[Pair]) -> dict[str, Any]:
        known = [pair for pair in pairs if pair.holds is not None]
        sides = ([pair.less for pair in known], [pair.more for pair in known])
        less, more = (float(np.mean(values)) if values else math.nan for values in sides)
        holds = sum(bool(pair.holds) for pair in known)
        return {
            "claim": self.claim.letter, "of": of, "what": what, "unit": pairs[0].unit, "less": less, "more": more,
            "holds": holds, "draws": len(known),
        }  # fmt: skip

    def row(self) -> dict[str, Any]:
        """The claim in one row."""
        verdicts = self.verdicts
        return {
            "claim": self.claim.letter, "words": self.claim.words, "applies": bool(verdicts), "holds": sum(verdicts),
            "draws": len(verdicts), "comes_out": self.comes_out, "why": self.why, "rests_on": self.claim.rests_on,
        }  # fmt: skip

    @property
    def why(self) -> str:
        """Why it does not apply, or the comparison that holds least often; and where it need not be so."""
        if not self.verdicts:
            return self.why_not or "no run shows the figures that are compared"
        least = min(self.details(), key=lambda row: row["holds"] / row["draws"])
        unit = f" {least['unit']}" if least["unit"] else ""
        shown = f"{least['of']}, {least['what']}: {least['less']:.4g} and {least['more']:.4g}{unit} in the mean"
        tail = "" if self.comes_out else f", so in {least['holds']} of {least['draws']} draws. {self.claim.otherwise}"
        return f"{shown}{tail}"


@dataclass(frozen=True, eq=False, repr=False)
class Practice(Answer):
    """What every practitioner knows, held against one works.

    Attributes
    ----------
    works : Works
        Asked about.
    policy : str
        Today's practice.
    seed, draws : int
        Key of all chance, and draws done.
    records : tuple of Record
        One for each claim.
    """

    works: Works
    policy: str
    seed: int
    draws: int
    records: tuple[Record, ...]

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        run = self.works.run
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, draws=self.draws, counted_min=run.length,
            warm_up_min=run.warm_up,
        )  # fmt: skip

    @cached_property
    def claims(self) -> pd.DataFrame:
        """One row for each claim: claim, words, applies, holds, draws, comes_out, why, rests_on."""
        return pd.DataFrame([record.row() for record in self.records])

    @cached_property
    def details(self) -> pd.DataFrame:
        """One row for each comparison: claim, of, what, unit, less, more (means over the draws), holds, draws."""
        columns = ["claim", "of", "what", "unit", "less", "more", "holds", "draws"]
        return pd.DataFrame([row for record in self.records for row in record.details()], columns=columns)

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"claims": self.claims, "details": self.details}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return tuple(self._sentences())

    def _sentences(self) -> Iterator[str]:
        applying = [record for record in self.records if record.verdicts]
        so = [record for record in applying if record.comes_out]
        share = f"at least {100.0 * COMES_OUT:g} % of {self.draws} draws"
        known = f"Of {len(self.records)} things that every practitioner knows, {len(applying)} apply"
        yield f"{known}; {len(so)} are so in {share}."
        for record in (each for each in applying if not each.comes_out):
            verdicts = record.verdicts
            yield f"({record.claim.letter}) is so in {sum(verdicts)} of {len(verdicts)} draws. {record.why}"


@dataclass(frozen=True, eq=False, repr=False)
class Practices(Answer):
    """What every practitioner knows, held against several works.

    Attributes
    ----------
    answers : tuple of Practice
        One for each works; at least one.
    """

    answers: tuple[Practice, ...]

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again: that of each works, by its name."""
        if len(self.answers) == 1:
            return self.answers[0].provenance
        return {answer.works.name: answer.provenance for answer in self.answers}

    @cached_property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables of all of them, each row with the name of its works first."""
        return {name: self._together(name) for name in ("claims", "details")}

    def _together(self, name: str) -> pd.DataFrame:
        tables = []
        for answer in self.answers:
            table = answer.tables[name].copy()
            table.insert(0, "works", answer.works.name)
            tables.append(table)
        return pd.concat(tables, ignore_index=True)

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answers in words, one after another."""
        return tuple(sentence for answer in self.answers for sentence in answer.sentences)
