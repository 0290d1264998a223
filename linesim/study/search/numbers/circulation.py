"""How many cutter sets, tool grinders and setters a works needs, so that waiting for them costs less than having them.

From the scenario's own numbers, one more and one fewer of everything is tried in common replications; what gains beyond
doubt is taken, together where that is better still, until nothing does. Then pairs are tried (a set and a grinder), as
one may be of no use without the other. The verdict is in fresh replications.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.crew.crew import Crew
from linesim.study.interim import Interim, last_of
from linesim.study.search.common.budget import FRESH
from linesim.study.search.common.contest import Judge
from linesim.study.search.common.goal import goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.numbers.answer import Circulation, Holding, Item, Step
from linesim.study.statistics.intervals import Difference, holm, paired_difference
from linesim.works import Works
from linesim.works.walks import mounts

__all__ = ["circulation", "circulation_steps", "items_of", "with_counts"]

_MOST_PAIRS = 60

Answer = Interim[Circulation]
Counts = tuple[int, ...]


def circulation(works: Works, policy: str | None = None, **options: Any) -> Circulation:
    """The cheapest combination of sets, grinders and setters; options as `circulation_steps`."""
    return last_of(circulation_steps(works, policy, **options))


def circulation_steps(
    works: Works,
    policy: str | None = None,
    holding: Holding | None = None,
    replications: int = 12,
    fresh: int = 24,
    most_runs: int = 6000,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
) -> Iterator[Answer]:
    """Look for the cheapest combination of sets, grinders and setters, with an answer all along.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Under which it is run; the best one of the scenario unless given.
    holding : Holding, optional
        What having things costs.
    replications, fresh : int
        Replications of each combination, and of the verdict, 3 and 2 or more.
    most_runs : int
        After so many runs the search is ended.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of each interval, between 0 and 1.
    crew, rules, engine
        As for `best_intervals_steps`.

    Yields
    ------
    Interim

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for a comparison; also if there is nothing to choose.
    """
    trials, names = opened(works, policy, seed, confidence, crew, rules, engine)
    if replications < 3 or fresh < 2:
        raise StudyError("at least 3 replications, and 2 of the verdict, were expected")
    costs = holding or Holding()
    items = items_of(works, costs)
    if not items:
        raise StudyError("no set, grinder or setter of this works can be more or fewer")
    yield from _Search(works, names, costs, items, replications, fresh, most_runs, confidence, trials).steps()


def items_of(works: Works, holding: Holding) -> tuple[Item, ...]:
    """Everything of which a works may have more or fewer: sets of each mounted cutter, grinders, pools of setters."""
    mounted = mounts(works)
    per_hour = holding.set_share / (works.calendar.minutes_per()["year"] / 60.0)
    items = [
        Item("set", name, works.cutters[name].sets, count, works.cutters[name].price * per_hour)
        for name, count in mounted.items()
    ]
    if any(works.cutters[name].renewal.reground is not None for name in mounted):
        rate = works.crib.rate if holding.grinder_rate is None else holding.grinder_rate
        items.append(Item("grinder", "", works.crib.grinders, 1, rate))
    operations = [operation for line in works.lines.values() for operation in line.operations.values()]
    for pool in dict.fromkeys(operation.setters for operation in operations if operation.setters is not None):
        people = works.people[pool]
        idle = holding.idle_share if people.paid == "time used" else 0.0
        items.append(Item("setter", pool, people.count, 1, people.rate * idle))
    return tuple(items)


def with_counts(works: Works, items: Sequence[Item], counts: Sequence[int]) -> Works:
    """The works with so many of each item."""
    cutters, people, crib = dict(works.cutters), dict(works.people), works.crib
    for item, count in zip(items, counts, strict=True):
        if item.kind == "set":
            cutters[item.name] = cutters[item.name].model_copy(update={"sets": count})
        elif item.kind == "grinder":
            crib = crib.model_copy(update={"grinders": count})
        else:
            people[item.name] = people[item.name].model_copy(update={"count": count})
    return works.model_copy(update={"cutters": cutters, "people": people, "crib": crib})


class _Search:
    """One search on its way."""

    def __init__(
        self,
        works: Works,
        names: list[str],
        holding: Holding,
        items: tuple[Item, ...],
        replications: int,
        fresh: int,
        most_runs: int,
        confidence: float,
        trials: Trials,
    ) -> None:
        self.works, self.names, self.items, self.trials = works, names, items, trials
        self.replications, self.fresh, self.most_runs = range(replications), fresh, most_runs
        self.goal = goal_of(works)
        self.judge = Judge(trials, self.goal, confidence)
        words = "/h of contribution" if self.goal.name == "contribution" else " of cost per good part"
        now, unit = tuple(item.now for item in items), f"{works.currency}{words}"
        self.found = Circulation(works, names[0], holding, items, now, unit, confidence, trials.seed)
        self.words = ""

    def steps(self) -> Iterator[Answer]:
        """From the scenario's numbers to the verdict."""
        self.words = "looking at the policies of the scenario"
        for step in self.judge.best_policy(self.works, self.names, self.replications[:4]):
            if isinstance(step, str):
                self.found = self.found.but(policy=step)
            yield self._interim()
        is_open = True
        while is_open and self.trials.done < self.most_runs:
            self.words = "one more and one fewer of everything"
            is_open = yield from self._improve(self._singles())
            if not is_open:
                self.words = "two changes at once"
                is_open = yield from self._improve(self._pairs())
        self.found = self.found.but(is_settled=not is_open)
        yield from self._finish()

    def _improve(self, moves: Sequence[Counts]) -> Generator[Answer, None, bool]:
        """Try combinations, and take the best that gains beyond doubt; returns whether one was taken."""
        best = self.found.counts
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
        self.found = self.found.but(counts=taken)
        return True

    def _finish(self) -> Iterator[Answer]:
        """One more and one fewer of each item, and the verdict."""
        self.words = "the verdict, in fresh replications"
        best, now = self.found.counts, tuple(item.now for item in self.items)
        moves = self._singles()
        yield from self._run([best, *moves], self.replications)
        steps = [
            Step(item, move[at] - best[at], self._gain(move, best, self.replications))
            for move in moves
            for at, item in enumerate(self.items)
            if move[at] != best[at]
        ]
        self.found = self.found.but(steps=tuple(steps))
        fresh = range(FRESH, FRESH + self.fresh)
        if best != now:
            yield from self._run([best, now], fresh)
            self.found = self.found.but(verdict=self._gain(best, now, fresh), fresh=self.fresh)
        self.found = self.found.but(runs=self.trials.done)
        yield self._interim(is_final=True)

    # --- moves ---------------------------------------------------------------------------------------------------

    def _singles(self) -> list[Counts]:
        """One more and one fewer of each item."""
        best = self.found.counts
        changed = [(at, best[at] + step) for at in range(len(best)) for step in (1, -1)]
        return [(*best[:at], count, *best[at + 1 :]) for at, count in changed if count >= self.items[at].least]

    def _pairs(self) -> list[Counts]:
        """Two changes at once of which at least one is not of a set, most likely ones first."""
        best, found = self.found.counts, []
        for first, second in combinations(range(len(best)), 2):
            if self.items[first].kind == self.items[second].kind == "set" and len(best) > 4:
                continue
            for one, other in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                counts = list(best)
                counts[first] += one
                counts[second] += other
                if all(count >= item.least for count, item in zip(counts, self.items, strict=True)):
                    found.append(tuple(counts))
        return found[:_MOST_PAIRS]

    def _joint(self, moves: Sequence[Counts]) -> Counts:
        """All changes together; of two that go opposite ways the first."""
        best = self.found.counts
        counts = list(best)
        for move in moves:
            for at, count in enumerate(move):
                if count != best[at] and counts[at] == best[at]:
                    counts[at] = count
        return tuple(counts)

    # --- figures -------------------------------------------------------------------------------------------------

    def _run(self, combinations_: Sequence[Counts], replications: Sequence[int]) -> Iterator[Answer]:
        """Run combinations, with a word after every run."""
        works, policy = self.works, self.found.policy
        wanted = [Trial(counts, with_counts(works, self.items, counts), policy) for counts in combinations_]
        for _ in self.trials.run(wanted, replications):
            yield self._interim()

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
        rest = 2 * len(self.items) * len(self.replications) + 2 * self.fresh
        total = done if is_final else max(done + rest // 2, rest)
        return Interim(done, total, self.trials.elapsed_s, self.found, self.words, is_final)
