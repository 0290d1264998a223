"""A change just made, before and after: the same castings, edges and breakdowns meet both."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from time import monotonic
from typing import Any

import pandas as pd

from linesim.plan.build import make_plan
from linesim.result.details import Details
from linesim.study.advice.paired import MONEY, Paired, holds_drawing
from linesim.study.advice.remarks import drawing_words, past_limit_words
from linesim.study.advice.words import rounded
from linesim.study.answer import Answer, origin_of
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.rounds import Rounds, make_rounds
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.words import keep
from linesim.works import Works, digest

__all__ = ["Change", "ChangeStudy"]

_BEFORE, _AFTER = "before", "after"
_USUAL_COUNT = 24
_FIRST, _GROWTH = 3, 2


@dataclass(frozen=True, eq=False, repr=False)
class Change(Answer):
    """What a change brings.

    Attributes
    ----------
    works, before : Works
        After and before it.
    policy, policy_before : str
        Under which each was run.
    figures, items : DataFrame
        See `linesim.study.advice.paired.Paired`.
    first : tuple of str
        What must be said before it is praised.
    seed, n : int
        Key of all chance; replications of each.
    confidence : float
        Of each interval by itself.
    """

    works: Works
    before: Works
    policy: str
    policy_before: str
    figures: pd.DataFrame
    items: pd.DataFrame
    first: tuple[str, ...]
    seed: int
    n: int
    confidence: float

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, before=digest(self.before), policy_before=self.policy_before,
            seed=self.seed, replications=self.n, confidence=self.confidence,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Before and after, and the ledger of a month."""
        return {"figures": self.figures, "items": self.items}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What must be said first, then what the change brings."""
        row = next(row for row in self.figures.to_dict(orient="records") if row["name"] == MONEY)
        change, width, money = float(row["change"]), float(row["half_width"]), self.works.currency
        if not row["is_apart"] and (self.figures["change"] == 0.0).all():
            return (*self.first, keep("change.no_difference"))
        low, high = change - width, change + width
        if not row["is_apart"]:
            given = {"low": rounded(low, width), "high": rounded(high, width), "currency": money}
            return (*self.first, keep("change.not_significant", **given))
        near, far = (low, high) if change > 0.0 else (-high, -low)
        given = {"low": rounded(near, width), "high": rounded(far, width), "currency": money}
        key = "change.brings" if change > 0.0 else "change.loses"
        return (*self.first, keep(key, amount=rounded(abs(change), width), **given))


@dataclass(frozen=True, eq=False)
class ChangeStudy(Study[Change]):
    """A works set against what it was before a change.

    Attributes
    ----------
    works, before : Works
        After and before the change.
    policy, policy_before : str
        Policies of each.
    options : StudyOptions
        How it is carried out; 24 replications of each unless the options say otherwise, 2 or more.
    """

    kind = "change"
    works: Works
    before: Works
    policy: str
    policy_before: str
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Change]]:
        """Carry it out, with an answer after three runs of each, six, and so on.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study.
        """
        count, began_s = self.options.count_for(_USUAL_COUNT, least=2), monotonic()
        self.options.seed_for(self.works, count)
        sides = [Alternative(_BEFORE, self.before, self.policy_before), Alternative(_AFTER, self.works, self.policy)]
        rounds = make_rounds(sides, self.options)
        answer, next_said, total = None, _FIRST, 2 * count
        for at in range(count):
            for _ in rounds.more(at, at + 1):
                yield Interim(len(rounds.outcomes), total, monotonic() - began_s, answer, "before and after")
            if at + 1 == next_said or at + 1 == count:
                next_said *= _GROWTH
                answer = self._answer(rounds, range(at + 1))
        yield Interim(total, total, monotonic() - began_s, answer, "before and after", True)

    def _answer(self, rounds: Rounds, runs: Sequence[int]) -> Change:
        """What these runs say."""
        before, after = ([rounds.outcomes[name, at] for at in runs] for name in (_BEFORE, _AFTER))
        paired = Paired(self.before, before, after, self.options.confidence)
        least, was = (
            holds_drawing(Details(works, make_plan(works, policy)).heads, outcomes)
            for works, policy, outcomes in (
                (self.works, self.policy, after),
                (self.before, self.policy_before, before),
            )
        )
        first = (*drawing_words(least, was), *past_limit_words(self.works, self.policy))
        return Change(
            self.works, self.before, self.policy, self.policy_before, paired.table, paired.items, first, rounds.seed,
            len(runs), self.options.confidence,
        )  # fmt: skip
