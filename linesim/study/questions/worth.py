"""The question of a bottleneck minute: the constraint in money."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.plan.build import make_plan
from linesim.study.answer import Answer, origin_of
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.rounds import make_rounds
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.questions.worth_figures import WorthFigures
from linesim.study.questions.worth_plan import BASE, Nudge, clocks_of, nudges_of
from linesim.study.questions.worth_words import sentences_of
from linesim.works import Works

__all__ = ["Worth", "WorthStudy"]

_TIMES = 3
"""So many times the scenario's replications are usual, as the differences are small."""

_WORDS = "pricing a minute"


@dataclass(frozen=True, eq=False, repr=False)
class Worth(WorthFigures, Answer):
    """What one minute is worth at each operation of a works, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        run = self.works.run
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, replications=self.n_replications,
            confidence=self.confidence, counted_min=run.length, warm_up_min=run.warm_up,
            engine=" and ".join(sorted(self.rounds.engines)),
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"worth": self.table}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return tuple(sentences_of(self))

    @property
    def further(self) -> dict[str, Any]:
        """Currency, and operations that are not significantly different from the first."""
        return {"currency": self.works.currency, "not_significant": list(self.not_significant)}


@dataclass(frozen=True, eq=False)
class WorthStudy(Study[Worth]):
    """One minute less stopped, an hour, priced at each operation.

    Every operation in turn is run with its parts taking so much less time in handling that its machines together are
    given back one minute an hour, and with so much more; each run is paired with the run of the works as it is, on the
    same castings, edges and breakdowns. Cutting stays as it is, so that quality and edges change only through what the
    line does with the minute.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Name of one of its policies; today's practice unless given.
    options : StudyOptions
        How it is carried out; three times the scenario's replications unless the options say otherwise, as the
        differences are small. The confidence is that of all intervals of a column together.
    """

    kind = "worth"
    works: Works
    policy: str | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Worth]]:
        """Carry it out; the answer grows with each complete replication."""
        began_s, works, options = time.perf_counter(), self.works, self.options
        chosen = works.chosen_policy(self.policy)
        count = options.count_for(_TIMES * works.run.replications)
        base = Alternative(BASE, works, chosen)
        first = make_rounds([base], options)
        for _ in first.more(0, 1):
            pass
        nudges = self._nudges(chosen, first.outcomes[BASE, 0].times)
        rounds = make_rounds([base, *(nudge.alternative for nudge in nudges)], options)
        rounds.outcomes.update(first.outcomes)
        total, known = count * len(rounds.names), 0
        answer: Worth | None = None
        with closing(rounds.more(0, count)) as runs:  # type: ignore[type-var]
            for _ in runs:
                if rounds.complete() > known:
                    known = rounds.complete()
                    answer = Worth(works, chosen, rounds.seed, known, options.confidence, nudges, rounds)
                yield Interim(len(rounds.outcomes), total, time.perf_counter() - began_s, answer, _WORDS)
        yield Interim(total, total, time.perf_counter() - began_s, answer, _WORDS, is_final=True)

    def _nudges(self, policy: str, times: Any) -> tuple[Nudge, ...]:
        """A minute less and a minute more at each operation, by what it does as it is."""
        clocks = clocks_of(self.works, make_plan(self.works, policy))
        parts_per_hour = {place: clock.parts_per_hour([times]) for place, clock in clocks.items()}
        return tuple(nudges_of(self.works, policy, clocks, parts_per_hour))
