"""Setting works and policies against each other by runs that share their chance."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.measures import deciding_measure
from linesim.study.comparing.rounds import Rounds, check_asked, make_rounds
from linesim.study.comparing.spans import Spans, SpanWanted, given_spans, spans_steps
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.crew.spread import Progress
from linesim.study.interim import Interim, last_of
from linesim.study.statistics.intervals import each_of, mean_interval
from linesim.study.statistics.selection import BestKnown, Race, Selection
from linesim.study.statistics.sequential import HalfWidth, looks_of
from linesim.works import Works

__all__ = ["Until", "compare", "compare_alternatives", "compare_alternatives_steps", "compare_steps"]

Until = HalfWidth | BestKnown | None
"""When to stop: at a half width, when the best is known, or after a number of replications given beforehand."""

_TOGETHER = 8
"""Runs given out together while the best is looked for, so that no worker of a few waits for the next look."""


def compare(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    workers: int | None = None,
    progress: Progress | None = None,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    until: Until = None,
    crew: Crew | None = None,
    warm_up: SpanWanted = None,
    length: SpanWanted = None,
) -> Comparison:
    """Run every policy in every replication, and set them against each other.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policies : sequence of str, optional
        Names of the policies to compare; all of the scenario unless given. The first is what the others
        replace.
    replications : int, optional
        Runs of each policy, 1 or more; the scenario's unless given. Without a second one there are no
        intervals. Not used with ``until``, which has numbers of its own.
    seed : int, optional
        Key of all chance, 0 to 2**63 - 1; the scenario's unless given.
    confidence : float
        Of the intervals, between 0 and 1.
    workers : int, optional
        Processes to use, if no crew is given. Unless given, as many as the work is worth. The outcome is the same
        whatever their number.
    progress : callable, optional
        Told (runs done, runs in all).
    rules : sequence of str or pathlib.Path
        Python files with rules of one's own, loaded here and in the workers. A rule made known in any other
        way is known in this process only, so a comparison that needs it runs in this process.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same. Policies with a rule of one's own in Python run on SimPy, and the
        findings say so.
    until : HalfWidth or BestKnown, optional
        Go on until a half width is reached or the best is known.
    crew : Crew, optional
        Who carries the runs out.
    warm_up, length : float or "auto", optional
        Minutes cut off before anything is counted, and minutes counted; the scenario's unless given. "auto": chosen
        by pilot runs; see `spans_steps`.

    Returns
    -------
    Comparison

    Raises
    ------
    ScenarioError
        A policy or a rule is not known, or a cut cannot be made as described.
    StudyError
        What is asked for cannot be.
    RunError
        A run cannot be carried on.
    """
    if workers is not None and workers < 1:
        raise StudyError(f"{workers} workers were asked for; at least 1 was expected")
    hands = Crew(workers) if crew is None else crew
    steps = compare_steps(works, policies, replications, seed, confidence, rules, engine, until, hands, warm_up, length)
    return last_of(_told(steps, progress))


def compare_steps(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    until: Until = None,
    crew: Crew | None = None,
    warm_up: SpanWanted = None,
    length: SpanWanted = None,
) -> Iterator[Interim[Comparison]]:
    """`compare`, telling after each run how far it is and what the complete replications say.

    Parameters
    ----------
    works, policies, replications, seed, confidence, rules, engine, until, crew, warm_up, length
        As for `compare`.

    Yields
    ------
    Interim of Comparison
        The answer is refined after each complete replication of all policies.
    """
    alternatives = policies_of(works, policies)
    return compare_alternatives_steps(
        alternatives, replications, seed, confidence, rules, engine, until, crew, warm_up, length, "policy"
    )


def compare_alternatives(
    alternatives: Sequence[Alternative],
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    until: Until = None,
    crew: Crew | None = None,
    warm_up: SpanWanted = None,
    length: SpanWanted = None,
    noun: str = "variant",
) -> Comparison:
    """Set works under policies against each other, pair by pair on shared chance.

    Parameters
    ----------
    alternatives : sequence of Alternative
        At least one, by names unlike each other. The first is what the others replace; its works gives currency,
        number of replications and seed where nothing else does. All count over the same length of time.
    replications, seed, confidence, rules, engine, until, crew, warm_up, length
        As for `compare`.
    noun : str
        What one of them is called in sentences.

    Returns
    -------
    Comparison
        Its column ``policy`` holds the names of the alternatives.

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for `compare`.
    """
    return last_of(
        compare_alternatives_steps(
            alternatives, replications, seed, confidence, rules, engine, until, crew, warm_up, length, noun
        )
    )


def compare_alternatives_steps(
    alternatives: Sequence[Alternative],
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    until: Until = None,
    crew: Crew | None = None,
    warm_up: SpanWanted = None,
    length: SpanWanted = None,
    noun: str = "variant",
) -> Iterator[Interim[Comparison]]:
    """`compare_alternatives`, telling after each run how far it is and what the complete replications say.

    Parameters
    ----------
    alternatives, replications, seed, confidence, rules, engine, until, crew, warm_up, length, noun
        As for `compare_alternatives`. What cannot be is said at once, before anything is run.

    Yields
    ------
    Interim of Comparison
    """
    if not alternatives:
        raise StudyError("there is nothing to compare; at least one alternative is needed")
    base = alternatives[0].works
    count = base.run.replications if replications is None else replications
    check_asked(count, confidence)
    rounds = make_rounds(alternatives, base.run.seed if seed is None else seed, crew, rules, engine)
    study = _Study(rounds, given_spans(alternatives), confidence, noun)
    sign = 1.0 if deciding_measure(base).is_more_better else -1.0
    if isinstance(until, HalfWidth):
        steps = study.until_narrow(until, looks_of(until))
    elif isinstance(until, BestKnown):
        steps = study.until_best(Race(rounds.names, confidence, until, sign))
    else:
        steps = study.so_many(count)
    return steps if warm_up is None and length is None else study.with_spans(warm_up, length, steps)


@dataclass(eq=False)
class _Study:
    """One comparison on its way."""

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
        answer = self._answer(looks=looks, selection=self._standing(race)) if known else None
        if not known:
            yield self._interim(total, None)
        with closing(self.rounds.more(first, end, names)) as runs:  # type: ignore[type-var]
            for _ in runs:
                complete = self.rounds.complete(names)
                if complete > known:
                    known = complete
                    answer = self._answer(looks=looks, selection=self._standing(race))
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
            rounds.kept(counts),
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

    def _standing(self, race: Race | None) -> Selection | None:
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


def _told(steps: Iterator[Interim[Comparison]], progress: Progress | None) -> Iterator[Interim[Comparison]]:
    """The same steps, told to somebody on the way; nothing is told twice."""
    before = -1
    for step in steps:
        if progress is not None and step.done != before:
            progress(step.done, step.total)
            before = step.done
        yield step
