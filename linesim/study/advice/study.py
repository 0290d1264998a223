"""Looking for what to change first: a first look at every change, then fresh runs of what looks best."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import pandas as pd

from linesim.plan.build import make_plan
from linesim.result.details import Details
from linesim.study.advice.advice import Advice
from linesim.study.advice.figures import Proposal
from linesim.study.advice.move import TRIAL, Move, moved
from linesim.study.advice.moves import moves_of
from linesim.study.advice.paired import MONEY, Paired, holds_drawing
from linesim.study.advice.remarks import drawing_words, past_limit_words, said_of
from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.rounds import Rounds, make_rounds
from linesim.study.comparing.words import number_said
from linesim.study.crew.outcome import Outcome
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.questions.effort import MOST_STEPS, part_steps
from linesim.study.search.common.budget import FRESH
from linesim.study.statistics.intervals import each_of
from linesim.words import Joined, keep
from linesim.works import Works

__all__ = ["AdviceStudy", "affordable", "runs_of"]

TODAY = "today's practice"
FEW = 6
"""Runs of a first look at each change."""

MOST_MOVES = 300
"""Changes that are looked at, at the most."""

FINALISTS = 8
"""So many changes are judged in fresh runs, the best of each lever; the number is fixed before anything is run."""

_USUAL_COUNT = 24
_APART = 10_000
"""Between the first of the runs that judge single changes and the first of those that judge all together."""

_SAY_EVERY_S = 0.6


LEAST_MOVES = 12
"""However long a run takes, so many are looked at; whoever finds that too much is told so."""


def runs_of(most: int, count: int) -> int:
    """Runs of a study of so many changes, at the most.

    >>> runs_of(10, 24)
    330
    """
    return FEW * (most + 1) + count * (FINALISTS + 3)


def affordable(works: Works, count: int, beside: int = 0) -> int:
    """How many changes a page can look at, so that it need not refuse a long run.

    Parameters
    ----------
    works : Works
        The checked scenario.
    count : int
        Fresh replications of each change that is judged.
    beside : int
        Runs that are made beside those.

    Returns
    -------
    int
        From `LEAST_MOVES` to `MOST_MOVES`.
    """
    one = part_steps(works)
    if not 0.0 < one < math.inf:
        return LEAST_MOVES
    moves = (MOST_STEPS / one - runs_of(0, count) - beside) / FEW
    return int(min(max(moves, LEAST_MOVES), MOST_MOVES))


@dataclass(frozen=True, eq=False)
class AdviceStudy(Study[Advice]):
    """What to change first.

    Attributes
    ----------
    works : Works
        The checked scenario; today's practice is what every change is set against.
    most : int
        So many changes are looked at, at the most; those at the constraints come first, whole policies last.
    options : StudyOptions
        How it is carried out; each change that comes so far is judged in 24 fresh replications unless the options say
        otherwise, 2 or more.
    """

    kind = "advise"
    works: Works
    most: int = MOST_MOVES
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Advice]]:
        """Carry it out; what is known so far is told about every half second.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study.
        """
        count = self.options.count_for(_USUAL_COUNT, least=2)
        self.options.seed_for(self.works, FRESH + _APART + count)
        return _Course(self.works, moves_of(self.works)[: self.most], self.options, count).steps()


class _Course:
    """One study on its way.

    Changes are picked in replications from 0 on; what they bring is judged in fresh ones, so that none is praised for
    the luck by which it was picked. The intervals of all that are judged hold at once (Bonferroni), and all of them
    together are run once more in replications that nothing has been picked by.
    """

    def __init__(self, works: Works, moves: Sequence[Move], options: StudyOptions, count: int) -> None:
        self.works, self.count, self.confidence = works, count, options.confidence
        self.began_s = self.told_s = time.monotonic()
        self.moves = moves
        self.rounds = _rounds(works, moves, options)
        self.total = runs_of(len(self.moves), count)
        self.heads = Details(works, make_plan(works, works.todays_policy)).heads
        past = [said_of(text, "today") for text in past_limit_words(works, works.todays_policy)]
        self.answer = Advice(
            works, works.todays_policy, tuple(past), (), None, self.rounds.seed, 0, 0, options.confidence, False
        )
        self.words = ""

    def steps(self) -> Iterator[Interim[Advice]]:
        """From the first look to the last word."""
        yield from self._first_look()
        finalists = self._finalists()
        self.total = FEW * (len(self.moves) + 1) + self.count * (len(finalists) + 1)
        yield from self._judged(finalists)
        yield from self._together()
        self.answer = replace(self.answer, is_final=True)
        done = len(self.rounds.outcomes)
        yield Interim(done, done, time.monotonic() - self.began_s, self.answer, self.words, True)

    def _first_look(self) -> Iterator[Interim[Advice]]:
        """Few runs of every change, lever by lever."""
        few = range(FEW)
        yield from self._run("today's practice", few, [TODAY])
        least = holds_drawing(self.heads, self._outcomes(TODAY, few))
        as_it_is = [said_of(text, "today") for text in drawing_words(least)]
        self.answer = replace(self.answer, first=(*as_it_is, *self.answer.first))
        looks: list[Proposal] = []
        for _, moves in groupby(self.moves, key=lambda move: move.lever):
            own = list(moves)
            yield from self._run(f"a first look: {own[0].words}", few, [move.words for move in own])
            looks += [self._proposal((move,), move.words, few, self.confidence) for move in own]
            self._take(looks, len(looks), FEW)

    def _finalists(self) -> list[Move]:
        """The best of each lever that looks better than today, the best first."""
        best: dict[tuple[str, str], Move] = {}
        for proposal in self.answer.proposals:
            if proposal.gain.mean > 0.0:
                best.setdefault(proposal.moves[0].lever, proposal.moves[0])
        return list(best.values())[:FINALISTS]

    def _judged(self, finalists: Sequence[Move]) -> Iterator[Interim[Advice]]:
        """Fresh runs of the finalists."""
        looks, tried = self.answer.proposals, self.answer.tried
        own = each_of(self.confidence, len(finalists))
        names = [TODAY, *(move.words for move in finalists)] if finalists else []
        judged: list[Proposal] = []
        self._take([], tried, 0)
        self.answer = replace(self.answer, proposals=looks)
        for at in range(FRESH, FRESH + self.count):
            yield from self._run("judging the best in fresh runs", range(at, at + 1), names)
            done = range(FRESH, at + 1)
            is_last = len(done) == self.count
            if is_last or (len(done) >= FEW and self._is_time):
                judged = [self._proposal((move,), move.words, done, own, True) for move in finalists]
                self._take(judged, tried, len(done))
        self._take(judged, tried, self.count)

    def _together(self) -> Iterator[Interim[Advice]]:
        """All proposals that go together, made at once."""
        ranked = enumerate(self.answer.actions, start=1)
        joint = {number: each.moves[0] for number, each in ranked if each.moves[0].entry != "policy"}
        moves, numbers = tuple(joint.values()), [str(number) for number in joint]
        if len(moves) < 2:
            return
        is_all = len(moves) == len(self.answer.actions)
        label = (
            keep("advice.all_together", number=number_said(len(moves)))
            if is_all
            else keep("advice.some_together", numbers=Joined(numbers))
        )
        both = Alternative(str(label), moved(self.works, moves), TRIAL)
        self.rounds = replace(self.rounds, alternatives=(*self.rounds.alternatives, both))
        self.total += 2 * self.count
        fresh = range(FRESH + _APART, FRESH + _APART + self.count)
        yield from self._run("all together, in fresh runs", fresh, [TODAY, label])
        self.answer = replace(self.answer, together=self._proposal(moves, label, fresh, self.confidence, True))

    def _run(self, words: str, replications: range, names: Sequence[str]) -> Iterator[Interim[Advice]]:
        """Run what is missing, and tell how far it is."""
        self.words = words
        for _ in self.rounds.more(replications.start, replications.stop, names):
            done, elapsed_s = len(self.rounds.outcomes), time.monotonic() - self.began_s
            answer = self.answer if self.answer.proposals else None
            yield Interim(done, max(self.total, done), elapsed_s, answer, words)

    @property
    def _is_time(self) -> bool:
        """Whether there should be another word by now."""
        now_s = time.monotonic()
        if now_s - self.told_s < _SAY_EVERY_S:
            return False
        self.told_s = now_s
        return True

    def _take(self, proposals: Sequence[Proposal], tried: int, count: int) -> None:
        """The answer as these proposals make it, in order of money."""
        known = [each for each in proposals if each.gain.mean == each.gain.mean]
        ranked = tuple(sorted(known, key=lambda each: -each.gain.mean))
        self.answer = replace(self.answer, proposals=ranked, tried=tried, replications=count)

    def _outcomes(self, name: str, replications: range) -> list[Outcome]:
        return [self.rounds.outcomes[name, at] for at in replications]

    def _proposal(
        self, moves: tuple[Move, ...], label: str, replications: range, confidence: float, is_fresh: bool = False
    ) -> Proposal:
        """What some runs say of a change."""
        before, after = self._outcomes(TODAY, replications), self._outcomes(label, replications)
        paired = Paired(self.works, before, after, confidence)
        gain = paired.difference(MONEY)
        if not is_fresh:
            return Proposal(moves, label, gain, pd.DataFrame(), pd.DataFrame(), (), self.works.currency, False)
        first = [*drawing_words(holds_drawing(self.heads, after), holds_drawing(self.heads, before))]
        for move in moves:
            if move.entry == "policy":
                first += past_limit_words(self.works, move.key)
        out = paired.difference("out")
        if out.is_apart and out.mean > 0.0:
            first.append(keep("remarks.more_out", percent=out.mean))
        return Proposal(moves, label, gain, paired.table, paired.items, tuple(first), self.works.currency, True)


def _rounds(works: Works, moves: Sequence[Move], options: StudyOptions) -> Rounds:
    """Today's practice and every change as alternatives; the plans of changes are made as they are run."""
    rounds = make_rounds(policies_of(works), options)
    today = works.policies[works.todays_policy]
    of_policy = {str(move.words): move.on_policy(today) for move in moves if move.entry != "every"}
    shared = works.model_copy(update={"policies": {TODAY: today, **of_policy}, "today": None})
    alternatives = [Alternative(TODAY, shared, TODAY)]
    for move in moves:
        if move.entry == "every":
            alternatives.append(Alternative(str(move.words), moved(works, (move,)), TRIAL))
        else:
            alternatives.append(Alternative(str(move.words), shared, str(move.words)))
    return replace(rounds, alternatives=tuple(alternatives))
