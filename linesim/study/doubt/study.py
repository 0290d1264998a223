"""Policies run over what may be true of the lives, as a study."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from linesim.errors import StudyError, listed
from linesim.plan.tables import Floats
from linesim.study.advice.remarks import past_limit_words, sets_past_limit
from linesim.study.doubt.answer import Regret
from linesim.study.doubt.candidates import SCALES, scaled_policy
from linesim.study.doubt.draws import draw_factors, lives_of, with_lives, within_of
from linesim.study.doubt.figures import losses_of, step_of, worth_of
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.goal import goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.words import keep
from linesim.works import Works

__all__ = ["FACTORS", "LOOKS", "RegretStudy"]

FACTORS = (0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0)
"""At which all lives are looked at together; within the factor of two that the handbook's hold to."""
_USUAL_COUNT = 48
LOOKS = 8
"""Runs of each policy at each of them."""
_LEAST = 2


@dataclass(frozen=True, eq=False)
class RegretStudy(Study[Regret]):
    """What each policy loses where lives are other than assumed.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Which is asked about; the best at the assumed lives unless given, of those that stay within the wear limit.
    among : tuple of str
        Policies that may be chosen; all unless given. One that goes past the wear limit of an average edge is left out,
        unless it is the one that is asked about.
    is_short : bool
        Whether only how far it stays right is asked.
    options : StudyOptions
        How it is carried out; 48 draws unless the options say otherwise, 8 or more.
    """

    kind = "regret"
    works: Works
    policy: str | None = None
    among: tuple[str, ...] = ()
    is_short: bool = False
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Regret]]:
        """Carry it out, with a word after every run.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also where a works has no second policy, or no cutter that goes dull.
        """
        count = self.options.count_for(_USUAL_COUNT, least=LOOKS)
        if self.policy is not None:
            self.works.chosen_policy(self.policy)
        trials, every = opened(self.works, None, self.options)
        every = [name for name in every if not self.among or name in self.among]
        past = [name for name in every if name != self.policy and sets_past_limit(self.works, name)]
        names = [name for name in every if name not in past]
        if not lives_of(self.works):
            raise StudyError("no cutter of this works goes dull; one whose life may be other than assumed was expected")
        if len(names) < _LEAST:
            need = "two policies that stay within the wear limit of their edges"
            raise StudyError(f"{need} were expected; the works has {len(names)} of them: {listed(names)}")
        yield from _Course(self, trials, (names, past), count).steps()


class _Course:
    """One study on its way."""

    def __init__(self, study: RegretStudy, trials: Trials, policies: tuple[list[str], list[str]], count: int) -> None:
        self.study, self.trials, self.count = study, trials, count
        names, self.past = policies
        self.goal = goal_of(study.works)
        # In minutes or parts, as the shop keeps to them whatever the lives truly are.
        self.decided = {name: (as_minutes(study.works, name), name) for name in names}
        self.total = len(names) * len(FACTORS) * LOOKS + self.count * (len(names) + 2 * len(SCALES)) * (
            not study.is_short
        )

    def steps(self) -> Iterator[Interim[Regret]]:
        """All lives at each factor, then draws of each life."""
        names, looks = list(self.decided), range(LOOKS)
        lives = lives_of(self.study.works)
        sweep = [
            Trial((name, factor), with_lives(works, {each.name: factor for each in lives}), policy)
            for factor in FACTORS
            for name, (works, policy) in self.decided.items()
        ]
        yield from self._run([(trial, number) for trial in sweep for number in looks], "all lives at once")
        brings = {factor: {name: self._values((name, factor), looks) for name in names} for factor in FACTORS}
        chosen = self.study.policy or max(names, key=lambda name: float(brings[1.0][name].mean()))
        confidence = self.study.options.confidence
        steps = tuple(step_of(factor, chosen, brings[factor], confidence, len(FACTORS)) for factor in FACTORS)
        key = (self.trials.seed, self.count, confidence)
        answer = Regret(self.study.works, chosen, self.goal.measure, steps, (), (), tuple(self._remarks(chosen)), *key)
        if not self.study.is_short:
            yield from self._drawn(answer)
            return
        yield Interim(self.trials.done, self.trials.done, self.trials.elapsed_s, answer, is_final=True)

    def _drawn(self, answer: Regret) -> Iterator[Interim[Regret]]:
        """Each life drawn by itself; each draw meets a chance of its own, the same for all decisions."""
        works, chosen, lives = self.study.works, answer.chosen, lives_of(self.study.works)
        second = next(each.rival for each in answer.steps if each.factor == 1.0)
        for policy, scale in ((policy, scale) for policy in (chosen, second) for scale in SCALES):
            own = scaled_policy(works, policy, scale)
            if all(own.policies != each.policies for each, _ in self.decided.values()):  # not a rule without intervals
                self.decided[keep("regret.scaled", policy=policy, factor=scale)] = (own, policy)
        factors = draw_factors(works, self.count, self.trials.seed)
        wanted = [
            (Trial((name, "drawn", at), with_lives(own, each), policy), at)
            for at, each in enumerate(factors)
            for name, (own, policy) in self.decided.items()
        ]
        yield from self._run(wanted, "each life drawn")
        names, numbers = list(self.decided), range(self.count)
        brings = np.array([[self._values((name, "drawn", at), [at])[0] for at in numbers] for name in names])
        worths = [
            worth_of(each.words, within_of(works, each), np.log([drawn[each.name] for drawn in factors]), brings)
            for each in lives
        ]
        worths.sort(key=lambda each: -each.value)
        losses = tuple(losses_of(names, brings, answer.confidence))
        final = replace(answer, losses=losses, worths=tuple(worths))
        yield Interim(self.trials.done, self.trials.done, self.trials.elapsed_s, final, is_final=True)

    def _remarks(self, chosen: str) -> Iterator[str]:
        """What is left out, and what goes past the wear limit."""
        for words in past_limit_words(self.study.works, chosen):
            yield keep("justify.problem", variant=chosen, text=words)
        if self.past:
            yield keep("regret.left_out", policies=self.past)

    def _values(self, key: tuple[object, ...], numbers: range | list[int]) -> Floats:
        """What a trial brings in each replication, turned so that more is better."""
        return -self.goal.worse(self.trials.values(key, self.goal.measure.name, numbers))

    def _run(self, wanted: list[tuple[Trial, int]], words: str) -> Iterator[Interim[Regret]]:
        """Run, with a word after every run."""
        for done in self.trials.run_each(wanted):
            yield Interim(done, max(self.total, done), self.trials.elapsed_s, words=words)
