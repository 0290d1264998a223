"""A trial of one set's interval: today's practice and the trial, run by run under the same chance."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

from linesim.cards.rule_said import rule_said
from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.ledger import Ledger
from linesim.plan.build import make_plan
from linesim.study.crew.own_rules import load_rules
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.set_at import SetAt
from linesim.study.search.intervals.one_set import set_at_named
from linesim.study.trial.answer import Trial
from linesim.study.trial.quantities import surface_of
from linesim.study.trial.weeks import TrialWeek, weeks_of_trial
from linesim.works import Works

__all__ = ["MOST_WEEKS", "USUAL_WEEKS", "TrialStudy"]

MOST_WEEKS = 104
USUAL_WEEKS = 8
_USUAL_COUNT = 60
_LEAST_COUNT = 2
_POLICY = "on trial"
_ROUNDING = 0.02
_WORDS = "running the weeks of the trial"


@dataclass(frozen=True, eq=False)
class TrialStudy(Study[Trial]):
    """What is to be expected of a trial.

    Attributes
    ----------
    works : Works
        The checked scenario.
    key : str
        The set: operation / cutter.
    interval : int
        Parts after which it is changed in the trial.
    policy : str or None
        Name of the policy that holds for everything else, and that the trial is set against; today's practice unless
        given.
    weeks : int
        Weeks of the trial, 1 to 104.
    past_limit : bool
        Whether the interval may go past the wear limit of an average edge.
    options : StudyOptions
        How it is carried out; 60 replications of each unless the options say otherwise, 2 or more; 39 or more for bands
        that hold what they say.
    """

    kind = "trial"
    is_stored = False
    works: Works
    key: str
    interval: int
    policy: str | None = None
    weeks: int = USUAL_WEEKS
    past_limit: bool = False
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Trial]]:
        """Carry it out, one replication after another.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; or there is no such set, or it goes past its wear limit unasked.
        """
        began_s, works, options = time.monotonic(), self.works, self.options
        chosen, count = works.chosen_policy(self.policy), options.count_for(_USUAL_COUNT, _LEAST_COUNT)
        seed, set_at = options.seed_for(works, count), set_at_named(works, self.key)
        self._check(set_at, chosen)
        for file in options.rules:
            load_rules(file)
        trial, surface = self._on_trial(set_at, chosen), surface_of(works, set_at)
        runs: tuple[list[list[TrialWeek]], ...] = ([], [])
        plans = [make_plan(works, chosen), make_plan(trial, _POLICY)]
        ledger, engine = Ledger(works, plans[0]), choose_engine(plans[0], options.engine).engine
        for replication in range(count):
            for own, plan in zip(runs, plans, strict=True):
                done = len(runs[0]) + len(runs[1])
                yield Interim(done, 2 * count, time.monotonic() - began_s, None, _WORDS)
                run = (seed, replication, self.weeks, engine)
                own.append(list(weeks_of_trial(works, plan, ledger, set_at, surface, run)))
        today = rule_said(works.policies[chosen].rule_for(set_at.operation, set_at.cutter))
        answer = Trial(
            works, chosen, set_at, self.interval, today, surface, self.weeks, seed, options.confidence, *runs
        )  # fmt: skip
        yield Interim(2 * count, 2 * count, time.monotonic() - began_s, answer, _WORDS, is_final=True)

    def _on_trial(self, set_at: SetAt, chosen: str) -> Works:
        """The works with one more policy: the chosen one, but for this set."""
        base = self.works.policies[chosen]
        rule = set_at.rule(self.interval, "parts")
        policy = base.model_copy(update={"exceptions": {**base.exceptions, set_at.key: rule}})
        return self.works.model_copy(update={"policies": {**self.works.policies, _POLICY: policy}})

    def _check(self, set_at: SetAt, chosen: str) -> None:
        """See to it that the trial can be made, and is one."""
        if not 1 <= self.weeks <= MOST_WEEKS:
            raise StudyError(f"a trial of {self.weeks} weeks was asked for; 1 to {MOST_WEEKS} were expected")
        if self.interval < 1:
            raise StudyError(f"an interval of {self.interval} parts was asked for; 1 or more was expected")
        if self.works.policies[chosen].rule_for(set_at.operation, set_at.cutter).parts == self.interval:
            raise StudyError(f'{set_at.key} is changed after {self.interval} parts already under "{chosen}"')
        if self.interval > (1.0 + _ROUNDING) * set_at.parts_per_life and not self.past_limit:
            raise StudyError(
                f"{self.interval} parts go past the wear limit of {set_at.key}, which an average edge reaches after "
                f"{set_at.parts_per_life:.0f} parts; add --past-limit if that is wanted, and read the caution"
            )
