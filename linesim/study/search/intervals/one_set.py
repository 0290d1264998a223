"""One cutter set: what its interval costs, everything else left as a policy has it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import pandas as pd

from linesim.errors import StudyError, nearest
from linesim.study.comparing.measures import Measure, measure
from linesim.study.comparing.words import amount
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.set_at import SetAt, all_sets_at, intervals_under
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.best import FlatRange, Try
from linesim.study.search.intervals.flat_range import flat_range
from linesim.study.statistics.intervals import Interval
from linesim.works import Works
from linesim.works.doing import set_called

__all__ = ["SetCurve", "SetStudy", "set_at_named"]

SHARES = (0.15, 0.25, 0.4, 0.55, 0.7, 0.85, 1.0, 1.2, 1.5, 2.0)
"""Intervals tried, as shares of the life of an average edge."""

_MEASURE = "cost_per_good_part"
_AS_IT_STANDS = "as it stands"
_TRIAL = "interval on trial"
_FIRST, _GROWTH = 3, 2
_USUAL_COUNT = 12


@dataclass(frozen=True, eq=False)
class SetCurve:
    """Cost per good part against the interval of one set.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Whose rules all other sets keep to.
    set_at : SetAt
        The set.
    now : float, parts
        Its interval under the policy, with an average edge.
    cost_now : Interval
        Cost per good part under the policy as it stands.
    table : DataFrame
        One row per interval: parts, life_share, mean, half_width (money per good part), worse, worse_half_width
        (paired, against the best), n. Means are not a number where nothing good was shipped.
    confidence, tolerance, seed : float, float, int
        Of each interval; share of the cost that the flat range may cost; key of all chance.
    """

    works: Works
    policy: str
    set_at: SetAt
    now: float
    cost_now: Interval
    table: pd.DataFrame
    confidence: float
    tolerance: float
    seed: int

    @property
    def called(self) -> str:
        """The set, with the operation at which it sits."""
        return set_called(self.works, self.set_at.key)

    @property
    def measure(self) -> Measure:
        """What is looked at."""
        return measure(_MEASURE)

    @cached_property
    def best(self) -> int:
        """The interval with the lowest mean, parts; 0 if nothing was shipped under any."""
        means = self.table["mean"].to_numpy(dtype=np.float64)
        return 0 if np.isnan(means).all() else int(self.table["parts"].to_numpy(dtype=np.int64)[np.nanargmin(means)])

    @cached_property
    def flat(self) -> FlatRange | None:
        """Intervals around the best that are known to cost no more than the tolerance; None without any."""
        if not self.best:
            return None
        rows = self.table.to_dict(orient="records")
        tries = [
            Try(self.set_at.key, int(row["parts"]), row["difference"])
            for row in rows
            if row["parts"] != self.best and np.isfinite(row["worse"])
        ]
        lowest = float(self.table["mean"].min())
        return flat_range(self.best, tries, self.tolerance * lowest)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        flat, money = self.flat, self.works.currency
        if flat is None:
            return (f"No good part was shipped under any interval of {self.called}, so that none is best.",)
        row = self.table[self.table["parts"] == self.best].iloc[0]
        sure = "" if flat.low_is_sure and flat.high_is_sure else "; it may go further than the runs can tell"
        text = (
            f"Of the intervals tried for the {self.called}, {self.best} parts cost least: "
            f"{amount(row['mean'], row['half_width'])} {money} per good part."
        )
        width = (
            f"From {flat.low} to {flat.high} parts it costs no more than {100.0 * self.tolerance:g} % above that, with "
            f"{100.0 * self.confidence:g} % confidence each{sure}."
        )
        held = f'"{self.policy}" has it changed after about {self.now:.0f} parts, all other sets by its rules.'
        return text, width, held


def set_at_named(works: Works, key: str) -> SetAt:
    """A set by the name an exception of a policy has for it: operation / cutter.

    Raises
    ------
    StudyError
        There is no such set, or it never dulls or breaks.
    """
    sets_at = {set_at.key: set_at for set_at in all_sets_at(works)}
    if key not in sets_at:
        near = nearest(key, list(sets_at))
        hint = f'; did you mean "{near}"?' if near else ""
        raise StudyError(f'there is no cutter set "{key}" that dulls or breaks{hint}')
    return sets_at[key]


@dataclass(frozen=True, eq=False)
class SetStudy(Study[SetCurve]):
    """What the interval of one set costs, all other sets left as a policy has them.

    Attributes
    ----------
    works : Works
        The checked scenario.
    key : str
        The set: operation / cutter.
    policy : str or None
        For everything else; today's practice unless given.
    tolerance : float
        Share of the cost that the flat range may cost, between 0 and 1.
    options : StudyOptions
        How it is carried out; 12 replications of each interval unless the options say otherwise, 2 or more; few first,
        then twice as many, and so on.
    """

    kind = "interval"
    works: Works
    key: str
    policy: str | None = None
    tolerance: float = 0.01
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[SetCurve]]:
        """Carry it out.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if there is no such set.
        """
        works, options = self.works, self.options
        replications = options.count_for(_USUAL_COUNT, least=2)
        seed, chosen = options.seed_for(works, replications), works.chosen_policy(self.policy)
        if not 0.0 < self.tolerance < 1.0:
            raise StudyError(f"a tolerance of {self.tolerance:g} cannot be; a share such as 0.01 was expected")
        set_at = set_at_named(works, self.key)
        trials = Trials(seed, options.crew, options.engine)
        wanted = [_trial(works, chosen, set_at, parts) for parts in _tried(set_at)]
        base = Trial(_AS_IT_STANDS, works, chosen)
        total, count, words = (len(wanted) + 1) * replications, min(_FIRST, replications), f"trying {self.key}"
        answer: SetCurve | None = None
        now = float(intervals_under(works, chosen, [set_at])[self.key])
        curve = SetCurve(
            works, chosen, set_at, now, Interval(np.nan, np.nan, 0), pd.DataFrame(), options.confidence,
            self.tolerance, seed,
        )  # fmt: skip
        while True:
            for done in trials.run([base, *wanted], range(count)):
                yield Interim(done, total, trials.elapsed_s, answer, words)
            answer = _read(curve, trials, wanted, range(count))
            if count == replications:
                break
            count = min(_GROWTH * count, replications)
        yield Interim(total, total, trials.elapsed_s, answer, words, True)


def _tried(set_at: SetAt) -> list[int]:
    """Intervals to try, as a shop would choose them."""
    snapped = (set_at.snapped(share * set_at.parts_per_life, "parts") for share in SHARES)
    return sorted(set(snapped))


def _trial(works: Works, policy: str, set_at: SetAt, parts: int) -> Trial:
    """The works with one more policy: the one given, but for this set."""
    base = works.policies[policy]
    changed = base.model_copy(update={"exceptions": {**base.exceptions, set_at.key: set_at.rule(parts, "parts")}})
    with_trial = works.model_copy(update={"policies": {**works.policies, _TRIAL: changed}})
    return Trial(parts, with_trial, _TRIAL)


def _read(curve: SetCurve, trials: Trials, wanted: list[Trial], replications: range) -> SetCurve:
    """The curve as far as it is known."""

    def mean(trial: Trial) -> Interval:
        return trials.mean(trial.key, _MEASURE, replications, curve.confidence)

    means = [mean(trial) for trial in wanted]
    known = [at for at, each in enumerate(means) if np.isfinite(each.mean)]
    best = wanted[min(known, key=lambda at: means[at].mean)] if known else wanted[0]
    apart = [trials.difference(each.key, best.key, _MEASURE, replications, curve.confidence) for each in wanted]
    table = pd.DataFrame(
        {
            "parts": [int(str(trial.key)) for trial in wanted],
            "life_share": [int(str(trial.key)) / curve.set_at.parts_per_life for trial in wanted],
            "mean": [each.mean for each in means],
            "half_width": [each.half_width for each in means],
            "worse": [each.mean for each in apart],
            "worse_half_width": [each.half_width for each in apart],
            "difference": apart,
            "n": len(replications),
        }
    )
    cost = trials.mean(_AS_IT_STANDS, _MEASURE, replications, curve.confidence)
    return replace(curve, table=table, cost_now=cost)
