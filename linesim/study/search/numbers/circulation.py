"""How many cutter sets, tool grinders and setters a works needs, so that waiting for them costs less than having them.

From the scenario's own numbers, one more and one fewer of everything is tried in common replications; what gains beyond
doubt is taken, together where that is better still, until nothing does. Then pairs are tried (a set and a grinder), as
one may be of no use without the other. The verdict is in fresh replications.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.budget import FRESH
from linesim.study.search.common.contest import Judge
from linesim.study.search.common.deadline import Deadline, TimeUp
from linesim.study.search.common.goal import goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.numbers.answer import Circulation, Holding, Item, Step
from linesim.study.search.numbers.items import items_of, with_counts
from linesim.study.statistics.intervals import Difference, holm, paired_difference
from linesim.words import keep
from linesim.works import Works

__all__ = ["NumberStudy"]

_MOST_PAIRS = 60
_USUAL_COUNT = 12
_USUAL_HOLDING = Holding()

Answer = Interim[Circulation]
Counts = tuple[int, ...]


@dataclass(frozen=True, eq=False)
class NumberStudy(Study[Circulation]):
    """The cheapest combination of sets, grinders and setters, with an answer all along.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Under which it is run; today's practice unless given.
    holding : Holding
        What having things costs.
    fresh : int
        Replications of the verdict, 2 or more.
    most_runs : int
        After so many runs the search is ended.
    minutes : float or None
        The search takes no longer than this, the verdict included; None: as long as the runs take.
    options : StudyOptions
        How it is carried out; 12 replications of each combination unless the options say otherwise, 3 or more.
    """

    kind = "sets"
    works: Works
    policy: str | None = None
    holding: Holding = _USUAL_HOLDING
    fresh: int = 24
    most_runs: int = 6000
    minutes: float | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Answer]:
        """Carry it out, with a word after every run.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if there is nothing to choose.
        """
        policy = self.works.chosen_policy(self.policy)
        trials, _ = opened(self.works, policy, self.options)
        if self.fresh < 2:
            raise StudyError(f"{self.fresh} replications of the verdict are too few; at least 2 were expected")
        items = items_of(self.works, self.holding)
        if not items:
            raise StudyError("no set, grinder or setter of this works can be more or fewer")
        yield from _Search(self, trials, policy, items).steps()


class _Search:
    """One search on its way."""

    def __init__(self, asked: NumberStudy, trials: Trials, policy: str, items: tuple[Item, ...]) -> None:
        self.works, self.items, self.trials = asked.works, items, trials
        self.replications = range(asked.options.count_for(_USUAL_COUNT, least=3))
        self.most_runs, confidence = asked.most_runs, asked.options.confidence
        self.deadline = Deadline(trials, asked.minutes, asked.fresh)
        self.goal = goal_of(asked.works)
        self.judge = Judge(trials, self.goal, confidence)
        of = "contribution" if self.goal.name == "contribution" else "cost"
        now, unit = tuple(item.now for item in items), keep(f"sets.unit_{of}", currency=asked.works.currency)
        self.answer = Circulation(asked.works, policy, asked.holding, items, now, unit, confidence, trials.seed)
        self.words = ""

    def steps(self) -> Iterator[Answer]:
        """From the scenario's numbers to the verdict, which there is however early the time is up."""
        try:
            yield from self._search()
        except TimeUp:
            self.answer = self.answer.but(is_settled=False)
        yield from self._finish()

    def _search(self) -> Iterator[Answer]:
        """Change after change, until none is a gain."""
        is_open = True
        while is_open and self.trials.done < self.most_runs:
            self.words = "one more and one fewer of everything"
            is_open = yield from self._improve(self._singles())
            if not is_open:
                self.words = "two changes at once"
                is_open = yield from self._improve(self._pairs())
        self.answer = self.answer.but(is_settled=not is_open)

    def _improve(self, moves: Sequence[Counts]) -> Generator[Answer, None, bool]:
        """Try combinations, and take the best that gains beyond doubt; returns whether one was taken."""
        best = self.answer.counts
        yield from self._run([best, *moves], self.replications)
        gains = {move: self._gain(move, best, self.replications) for move in moves}
        raised = holm([gains[move].p_value for move in moves])
        doubt = 1.0 - self.judge.confidence
        clear = [move for move, p in zip(moves, raised, strict=True) if gains[move].mean > 0.0 and p < doubt]
        if not clear:
            return False
        joint = self._joint(clear)
        yield from self._run([joint], self.replications)
        gains[joint] = self._gain(joint, best, self.replications)
        taken = max([*clear, joint], key=lambda move: gains[move].mean)
        self.answer = self.answer.but(counts=taken)
        return True

    def _finish(self) -> Iterator[Answer]:
        """The verdict, and one more and one fewer of each item as far as that has been run."""
        self.words = "the verdict, in fresh replications"
        best, now = self.answer.counts, tuple(item.now for item in self.items)
        if best != now:
            fresh = range(FRESH, FRESH + self.deadline.fresh_in_time)
            for _ in self._runs([best, now], fresh):
                yield self._interim()
            self.answer = self.answer.but(verdict=self._gain(best, now, fresh), fresh=len(fresh))
        try:
            yield from self._run([best, *self._singles()], self.replications)
        except TimeUp:
            self.words = "the time is up"
        last = self.replications[-1]
        moves = [move for move in self._singles() if self.trials.has(move, last) and self.trials.has(best, last)]
        steps = [
            Step(item, move[at] - best[at], self._gain(move, best, self.replications))
            for move in moves
            for at, item in enumerate(self.items)
            if move[at] != best[at]
        ]
        self.answer = self.answer.but(steps=tuple(steps))
        yield self._interim(is_final=True)

    # --- moves ---------------------------------------------------------------------------------------------------

    def _singles(self) -> list[Counts]:
        """One more and one fewer of each item."""
        best = self.answer.counts
        changed = [(at, best[at] + step) for at in range(len(best)) for step in (1, -1)]
        return [(*best[:at], count, *best[at + 1 :]) for at, count in changed if count >= self.items[at].least]

    def _pairs(self) -> list[Counts]:
        """Two changes at once of which at least one is not of a set, most likely ones first."""
        best, answer = self.answer.counts, []
        for first, second in combinations(range(len(best)), 2):
            if {self.items[first].kind, self.items[second].kind} <= {"set", "place"} and len(best) > 4:
                continue
            for one, other in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                counts = list(best)
                counts[first] += one
                counts[second] += other
                if all(count >= item.least for count, item in zip(counts, self.items, strict=True)):
                    answer.append(tuple(counts))
        return answer[:_MOST_PAIRS]

    def _joint(self, moves: Sequence[Counts]) -> Counts:
        """All changes together; of two that go opposite ways the first."""
        best = self.answer.counts
        counts = list(best)
        for move in moves:
            for at, count in enumerate(move):
                if count != best[at] and counts[at] == best[at]:
                    counts[at] = count
        return tuple(counts)

    # --- figures -------------------------------------------------------------------------------------------------

    def _run(self, combinations_: Sequence[Counts], replications: Sequence[int]) -> Iterator[Answer]:
        """Run combinations, with a word after every run, as long as there is time."""
        for _ in self._runs(combinations_, replications):
            yield self._interim()
            self.deadline.check()

    def _runs(self, combinations_: Sequence[Counts], replications: Sequence[int]) -> Iterator[int]:
        """Run combinations; runs done in all, after each."""
        works, policy = self.works, self.answer.policy
        wanted = [Trial(counts, with_counts(works, self.items, counts), policy) for counts in combinations_]
        return self.trials.run(wanted, replications)

    def _gain(self, counts: Counts, against: Counts, replications: Sequence[int]) -> Difference:
        """Paired gain of one combination over another, all costs counted."""
        first, second = self._net(counts, replications), self._net(against, replications)
        return paired_difference(first, second, self.judge.confidence)

    def _net(self, counts: Counts, replications: Sequence[int]) -> Floats:
        """The goal with what having things costs beyond the scenario's numbers; more is better."""
        pairs = zip(self.items, counts, strict=True)
        extra = sum((count - item.now) * item.hourly for item, count in pairs)
        values = self.trials.values(counts, self.goal.measure.name, replications)
        if self.goal.name == "contribution":
            return values - extra
        good = self.trials.values(counts, "good_per_hour", replications)
        net: Floats = -(values + extra / np.where(good > 0.0, good, np.nan))
        return net

    def _interim(self, is_final: bool = False) -> Answer:
        """How far it is."""
        done = self.trials.done
        rest = 2 * len(self.items) * len(self.replications) + 2 * self.deadline.fresh
        total = done if is_final else max(done + rest // 2, rest)
        return Interim(done, total, self.trials.elapsed_s, self.answer.but(runs=done), self.words, is_final)
