"""How often each claim is so in a works, as tables and sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.study.answer import Answer, origin_of
from linesim.study.options import USUAL
from linesim.study.practice.claim import CAPABILITY, COMES_OUT, Claim, Pair
from linesim.study.practice.compared import NOT_SO, OPEN, SO, Compared, compared
from linesim.study.practice.here import one_after_another
from linesim.study.statistics.intervals import each_of
from linesim.words import keep
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
    works : Works, optional
        Asked about; without one nothing is said of its own minutes and money.
    """

    claim: Claim
    why_not: str = ""
    pairs: list[list[Pair]] = field(default_factory=list)
    works: Works | None = None

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

    @property
    def compared(self) -> list[Compared]:
        """Each comparison over all draws; those that have nothing to show in any are left out."""
        rows: dict[Key, list[Pair]] = {}
        for pair in (pair for pairs in self.pairs for pair in pairs):
            rows.setdefault((pair.of, pair.what), []).append(pair)
        confidence = each_of(USUAL.confidence, len(rows))
        answer = [compared(of, what, pairs, confidence) for (of, what), pairs in rows.items()]
        return [each for each in answer if each.draws]

    @property
    def in_the_mean(self) -> str:
        """What the means over the draws say, of all comparisons together: so, open or not so."""
        says = {each.in_the_mean for each in self.compared}
        return NOT_SO if NOT_SO in says else OPEN if OPEN in says or not says else SO

    def details(self) -> list[dict[str, Any]]:
        """One row for each comparison: means over the draws, their difference, and in how many draws it holds."""
        return [{"claim": self.claim.letter, **asdict(each)} for each in self.compared]

    def row(self) -> dict[str, Any]:
        """The claim in one row."""
        verdicts = self.verdicts
        return {
            "claim": self.claim.letter, "words": self.claim.words, "applies": bool(verdicts), "holds": sum(verdicts),
            "draws": len(verdicts), "comes_out": self.comes_out, "in_the_mean": self.in_the_mean, "why": self.why,
            "rests_on": self.claim.rests_on,
        }  # fmt: skip

    @property
    def why(self) -> str:
        """Why it does not apply, or the comparison that holds least often; and where it need not be so."""
        if not self.verdicts:
            return self.why_not or keep("practice.nothing_shown")
        least = min(self.compared, key=lambda each: (_ORDER[each.in_the_mean], each.holds / each.draws))
        figures = {"of": least.of, "what": least.what, "less": least.less, "more": least.more, "unit": least.unit}
        way = "shown_cpk" if least.unit == CAPABILITY else "shown" if least.unit else "shown_bare"
        shown = keep(f"practice.{way}", **figures)
        if self.comes_out:
            return shown
        if not math.isnan(least.half_width):
            half = least.half_width
            shown = keep("practice.with_difference", shown=shown, difference=least.difference, half=half)
        here = "" if self.works is None else self.claim.here(self.works, least.of, least.more)
        tail = "" if self.in_the_mean == SO else here or self.claim.otherwise
        counts = {"shown": shown, "holds": least.holds, "draws": least.draws}
        if least.is_within_slack:
            outcome = keep("practice.why_within", slack=100.0 * least.slack, **counts)
        else:
            outcome = keep(f"practice.why_{_KEYS[least.in_the_mean]}", **counts)
        return one_after_another(outcome, tail)


_ORDER = {NOT_SO: 0, OPEN: 1, SO: 2}

_KEYS = {SO: "so", OPEN: "open", NOT_SO: "not_so"}
"""By what a mean says, as the words of it end."""


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
        """One row for each claim: claim, words, applies, holds, draws, comes_out, in_the_mean, why, rests_on."""
        return pd.DataFrame([record.row() for record in self.records])

    @cached_property
    def details(self) -> pd.DataFrame:
        """One row for each comparison: claim and what `Compared` has of it."""
        columns = ["claim", *Compared.__dataclass_fields__]
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
        meant = [record for record in applying if not record.comes_out and record.in_the_mean == SO]
        counts = {"count": len(self.records), "applying": len(applying), "so": len(so), "draws": self.draws}
        way = "all_more" if meant else "all"
        yield keep(f"practice.{way}", share=100.0 * COMES_OUT, more=len(meant), **counts)
        for record in (each for each in applying if not each.comes_out):
            verdicts = record.verdicts
            counts = {"holds": sum(verdicts), "draws": len(verdicts)}
            way = _KEYS[record.in_the_mean]
            yield keep(f"practice.each_{way}", letter=record.claim.letter, why=record.why, **counts)


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
