"""A comparison on its way: so many replications, or until intervals are narrow, or until the best is known."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.measures import deciding_measure
from linesim.study.comparing.rounds import Rounds
from linesim.study.comparing.spans import Spans, spans_steps
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.interim import Interim
from linesim.study.options import SpanWanted
from linesim.study.statistics.intervals import each_of, mean_interval
from linesim.study.statistics.selection import Race, Selection
from linesim.study.statistics.sequential import HalfWidth

__all__ = ["Course", "plural_of"]

_TOGETHER = 8
"""Runs given out together while the best is looked for, so that no worker of a few waits for the next look."""


@dataclass(eq=False)
class Course:
    """One comparison on its way.

    Attributes
    ----------
    rounds : Rounds
        What has been run.
    spans : Spans
        Warm-up and counted time.
    confidence : float
        Of the intervals.
    noun : str
        What one alternative is called.
    """

    rounds: Rounds
    spans: Spans
    confidence: float
    noun: str
    began_s: float = field(default_factory=time.perf_counter)

    def with_spans(
        self, warm_up: SpanWanted, length: SpanWanted, steps: Iterator[Interim[Comparison]]
    ) -> Iterator[Interim[Comparison]]:
        """Settle warm-up and length first, then go on as planned."""
        rounds = self.rounds
        for step in spans_steps(rounds.alternatives, rounds.seed, warm_up, length, rounds.engine):
            if step.answer is None:
                yield Interim(step.done, step.total, step.elapsed_s, None, step.words)
            else:
                self.spans = step.answer
        self.rounds = replace(rounds, alternatives=self.spans.alternatives)
        yield from steps

    def so_many(self, count: int) -> Iterator[Interim[Comparison]]:
        """A number of replications given beforehand."""
        total = count * len(self.rounds.names)
        yield from self._run(0, count, total)
        yield self._interim(total, self._answer(), is_final=True)

    def until_narrow(self, rule: HalfWidth, looks: tuple[int, ...]) -> Iterator[Interim[Comparison]]:
        """Look after look, until all intervals of what decides are narrow enough."""
        done = 0
        for look in looks:
            yield from self._run(done, look, look * len(self.rounds.names), len(looks))
            done = look
            if self._is_narrow(rule, look, len(looks)):
                break
        yield self._interim(done * len(self.rounds.names), self._answer(looks=len(looks), rule=rule), is_final=True)

    def until_best(self, race: Race) -> Iterator[Interim[Comparison]]:
        """Replication after replication, dropping what is behind."""
        done, end = 0, race.rule.first
        while True:
            left = tuple(race.left)
            total = len(self.rounds.outcomes) + (end - done) * len(left)
            yield from self._run(done, end, total, names=left, race=race)
            for count in range(max(done + 1, race.rule.first), end + 1):
                if not race.is_over:
                    race.look({name: self._values(name, count) for name in race.left}, count)
            done = end
            if race.is_over:
                break
            end = min(race.rule.most, done + math.ceil(_TOGETHER / len(race.left)))
        total = len(self.rounds.outcomes)
        yield self._interim(total, self._answer(selection=race.selection()), is_final=True)

    def _run(
        self,
        first: int,
        end: int,
        total: int,
        looks: int = 1,
        names: tuple[str, ...] | None = None,
        race: Race | None = None,
    ) -> Iterator[Interim[Comparison]]:
        """Run replications, and tell after each run."""
        known = self.rounds.complete()
        answer = self._answer(looks=looks, selection=self._selection(race)) if known else None
        if not known:
            yield self._interim(total, None)
        with closing(self.rounds.more(first, end, names)) as runs:  # type: ignore[type-var]
            for _ in runs:
                complete = self.rounds.complete(names)
                if complete > known:
                    known = complete
                    answer = self._answer(looks=looks, selection=self._selection(race))
                yield self._interim(total, answer)

    def _interim(self, total: int, answer: Comparison | None, is_final: bool = False) -> Interim[Comparison]:
        """What to tell now."""
        done = len(self.rounds.outcomes)
        words = f"comparing {len(self.rounds.names)} {plural_of(self.noun)}"
        return Interim(done, max(total, done), time.perf_counter() - self.began_s, answer, words, is_final)

    def _answer(
        self, looks: int = 1, selection: Selection | None = None, rule: HalfWidth | None = None
    ) -> Comparison | None:
        """What the complete replications say."""
        rounds = self.rounds
        if not rounds.complete():
            return None
        counts = self._counts(selection)
        return Comparison(
            rounds.alternatives[0].works,
            rounds.names,
            rounds.seed,
            max(counts.values()),
            self.confidence,
            rounds.outcomes_of(counts),
            rounds.engines,
            alternatives=rounds.alternatives,
            noun=self.noun,
            looks=looks,
            half_width=rule,
            selection=selection,
            spans=self.spans,
        )

    def _counts(self, selection: Selection | None) -> dict[str, int]:
        """How many replications of each count: what was run after it was dropped does not."""
        if selection is None:
            return dict.fromkeys(self.rounds.names, self.rounds.complete())
        ended = {dropped.name: dropped.after for dropped in selection.dropped}
        left = self.rounds.complete(selection.left)
        return {name: ended.get(name, left) for name in self.rounds.names}

    def _selection(self, race: Race | None) -> Selection | None:
        """How the race stands once it has begun."""
        return race.selection() if race is not None and race.looked else None

    def _values(self, name: str, count: int) -> np.ndarray[Any, np.dtype[np.float64]]:
        """What decides, replication after replication."""
        by = deciding_measure(self.rounds.alternatives[0].works).name
        rows = (self.rounds.outcomes[name, at].figures for at in range(count))
        return np.array([next(row[by] for row in figures if row["line"] == WHOLE_WORKS) for figures in rows])

    def _is_narrow(self, rule: HalfWidth, count: int, looks: int) -> bool:
        """Whether all intervals of what decides are narrow enough."""
        own = each_of(self.confidence, looks)
        return rule.is_reached(mean_interval(self._values(name, count), own) for name in self.rounds.names)


def plural_of(noun: str) -> str:
    """More than one of it.

    >>> plural_of("policy"), plural_of("variant")
    ('policies', 'variants')
    """
    return f"{noun[:-1]}ies" if noun.endswith("y") else f"{noun}s"
