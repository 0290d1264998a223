"""The figures of a comparison of policies, or of other variants of a works."""

from __future__ import annotations

import math
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.result.details import Detail, Details
from linesim.study.comparing.alternatives import Alternative, plans_of, policies_of
from linesim.study.comparing.measures import Measure, deciding_measure
from linesim.study.comparing.spans import Spans, given_spans
from linesim.study.comparing.tables import (
    LINE_DETAILS,
    detail_table,
    difference_table,
    finding_table,
    ledger_table,
    policy_table,
    time_table,
)
from linesim.study.comparing.types import type_differences
from linesim.study.comparing.words import noun_words
from linesim.study.crew.outcome import WHOLE_WORKS, Outcome
from linesim.study.statistics.selection import Selection
from linesim.study.statistics.sequential import HalfWidth
from linesim.words import keep
from linesim.works import Works

__all__ = ["ComparedFigures", "Verdict"]

LOSS = "quality_loss_per_good_part"


@dataclass(frozen=True)
class Verdict:
    """Which policy is best, and how far the data carry that.

    Attributes
    ----------
    policy : str or None
        The one with the best mean; None if no policy has one (nothing was shipped).
    measure : Measure
        By what it is judged.
    is_clear : bool
        Every other policy is apart from it, at the confidence of the comparison, all at once; or the best was picked
        by a procedure that promises as much.
    not_significant : tuple of str
        The others that are not.
    """

    policy: str | None
    measure: Measure
    is_clear: bool
    not_significant: tuple[str, ...]


@dataclass(frozen=True, eq=False, repr=False)
class ComparedFigures:
    """Policies set against each other, replication by replication: castings, edges and breakdowns are shared.

    Attributes
    ----------
    works : Works
        The scenario; of variants the first.
    names : tuple of str
        The policies compared, in the order in which they were named; or the names of the variants.
    seed, n_replications : int
        Key of all chance; every policy was run with replications 0 to n_replications - 1 of it (fewer of those that
        were dropped while the best was looked for).
    confidence : float
        Of the intervals.
    outcomes : sequence of Outcome
        What was kept of each run.
    engines : set of str
        Which engines ran it.
    alternatives : tuple of Alternative
        What was compared; policies of the scenario unless given.
    noun : str
        What one of them is called.
    looks : int
        How often the intervals may have been looked at before the end was fixed; they hold at whichever look it was.
    half_width : HalfWidth or None
        The half width that was wanted.
    selection : Selection or None
        How picking the best has ended, if it was looked for replication by replication. The intervals are then those
        of a number of replications fixed beforehand, and say how large differences are, not which is best.
    spans : Spans or None
        Warm-up and counted time, with their reasons.
    """

    works: Works
    names: tuple[str, ...]
    seed: int
    n_replications: int
    confidence: float
    outcomes: Sequence[Outcome]
    engines: AbstractSet[str] = frozenset({"simpy"})
    alternatives: tuple[Alternative, ...] = ()
    noun: str = "policy"
    looks: int = 1
    half_width: HalfWidth | None = None
    selection: Selection | None = None
    spans: Spans | None = None

    @property
    def base(self) -> str:
        """What the others would replace: today's practice among policies, else the first that was named."""
        today = self.works.todays_policy
        return today if self.noun == "policy" and today in self.names else self.names[0]

    @property
    def role_of_base(self) -> str:
        """What the one that the others would replace is."""
        is_todays = self.noun == "policy" and self.base == self.works.todays_policy
        return keep("compare.todays") if is_todays else keep("compare.first", noun=noun_words(self.noun))

    @cached_property
    def replications(self) -> pd.DataFrame:
        """One row per policy, replication and line, and one for the whole works."""
        return pd.DataFrame([row for outcome in self.outcomes for row in outcome.figures])

    @cached_property
    def policies(self) -> pd.DataFrame:
        """Mean, half width, confidence and n of every measure, by policy and line."""
        return policy_table(self.replications, self.names, self.confidence, self.looks)

    @cached_property
    def differences(self) -> pd.DataFrame:
        """Paired differences against the best and against `base`; see `tables.difference_table`.

        The best is picked from the same data, so what is judged is the Bonferroni interval, which also holds
        for a picked one; Holm's p value, sharper where a policy was chosen beforehand, stands beside it.
        """
        against = [name for name in dict.fromkeys([self._leader, self.base]) if name is not None]
        return difference_table(self.replications, self.names, against, self.confidence, self.looks)

    @cached_property
    def best(self) -> Verdict:
        """The best policy by contribution per hour if any line has a worth, else by cost per good part."""
        leader = self._leader
        if self.selection is not None:
            left = tuple(name for name in self.selection.left if name != leader)
            return Verdict(leader, self.judged_by, self.selection.best is not None, left)
        answer = self.differences
        mine = answer[(answer["against"] == leader) & (answer["measure"] == self.judged_by.name)]
        ties = tuple(str(name) for name in mine.loc[~mine["is_apart"].astype(bool), "policy"])
        return Verdict(leader, self.judged_by, leader is not None and not ties, ties)

    @property
    def judged_by(self) -> Measure:
        """The measure that decides."""
        return deciding_measure(self.works)

    @cached_property
    def ledger(self) -> pd.DataFrame:
        """Money per good part by policy, line and item, with its interval."""
        rows = pd.DataFrame([row for outcome in self.outcomes for row in outcome.ledger])
        return ledger_table(rows, self.confidence, self.looks)

    @cached_property
    def times(self) -> pd.DataFrame:
        """Share of time by policy, machine and state, with its interval, and which operation holds back its line."""
        rows = pd.DataFrame([row for outcome in self.outcomes for row in outcome.times])
        return time_table(rows, self.confidence, self.looks)

    @cached_property
    def details(self) -> pd.DataFrame:
        """Waits, stock, lead times, people, sharp sets and capability with intervals; see `tables.detail_table`."""
        return detail_table([self._details_of(each) for each in self.compared], self.confidence, self.looks)

    @cached_property
    def types(self) -> pd.DataFrame:
        """Good parts of each type, and paired differences from the best or the base; see `types.type_differences`."""
        values = {name: (heads, own) for name, heads, own in map(self._details_of, self.compared)}
        return type_differences(values, self.best.policy or self.base, self.confidence, self.looks)

    @cached_property
    def frontier(self) -> tuple[str, ...]:
        """Policies that no other one beats in both good parts per hour and quality loss, by rising output."""
        points = {name: (self.mean(name, "good_per_hour")[0], self.mean(name, LOSS)[0]) for name in self.names}
        stored = [name for name, point in points.items() if not any(_beats(other, point) for other in points.values())]
        known = [name for name in stored if not math.isnan(points[name][1])]
        return tuple(sorted(known, key=lambda name: points[name]))

    @cached_property
    def findings(self) -> pd.DataFrame:
        """What was found in single runs: policy, replication, text, is_problem."""
        rows = [row for outcome in self.outcomes for row in outcome.findings]
        return pd.DataFrame(rows, columns=["policy", "replication", "text", "is_problem"])

    @cached_property
    def notes(self) -> pd.DataFrame:
        """The findings put together: policy, text (of the first run), is_problem, runs; problems first."""
        return finding_table(self.findings)

    @cached_property
    def counts(self) -> dict[str, int]:
        """Replications of each policy."""
        rows = self.replications[self.replications["line"] == WHOLE_WORKS]
        return {str(name): int(count) for name, count in rows["policy"].value_counts().items()}

    @property
    def words(self) -> dict[str, str]:
        """What each policy does, in words."""
        return {alternative.name: alternative.label for alternative in self.compared}

    @property
    def compared(self) -> tuple[Alternative, ...]:
        """What was compared, by name, works and policy."""
        return self.alternatives or policies_of(self.works, self.names)

    @property
    def lengths(self) -> Spans:
        """Warm-up and counted time, with their reasons."""
        return self.spans or given_spans(self.compared)

    def mean(self, policy: str, name: str, line: str = WHOLE_WORKS) -> tuple[float, float]:
        """Mean and half width of one measure of one policy."""
        return self._means[policy, line, name]

    @cached_property
    def _means(self) -> dict[tuple[str, str, str], tuple[float, float]]:
        """Mean and half width by policy, line and measure; looking for a row of the table takes far longer."""
        columns = (self.policies[head].tolist() for head in ("policy", "line", "measure", "mean", "half_width"))
        return {(policy, line, name): (mean, half) for policy, line, name, mean, half in zip(*columns, strict=True)}

    @cached_property
    def _heads_of(self) -> dict[str, tuple[Detail, ...]]:
        """Heads of what each alternative's runs tell beside the figures of its lines."""
        pairs = zip(self.compared, plans_of(self.compared), strict=True)
        return {each.name: Details(each.works, plan).heads for each, plan in pairs}

    def _details_of(self, alternative: Alternative) -> tuple[str, list[Detail], Floats]:
        """Name, heads and figures of one alternative, replication by replication: its lines', then all others."""
        name = alternative.name
        own = [outcome for outcome in self.outcomes if outcome.figures[0]["policy"] == name and outcome.details]
        heads = [
            Detail("line", line, "", "", "", figure, unit)
            for line in alternative.works.lines
            for figure, unit in LINE_DETAILS.items()
        ]
        of_lines = [[row[figure] for row in outcome.figures[:-1] for figure in LINE_DETAILS] for outcome in own]
        others = self._heads_of[name]
        values = [[*lines, *outcome.detail_values] for lines, outcome in zip(of_lines, own, strict=True)]
        return name, [*heads, *others], np.array(values, dtype=np.float64)

    @cached_property
    def _leader(self) -> str | None:
        """The policy with the best mean by the measure that decides; the first-named of equals."""
        judged = self.judged_by
        running = self.names if self.selection is None else self.selection.left
        means = [self.mean(name, judged.name)[0] for name in running]
        sign = -1.0 if judged.is_more_better else 1.0
        ranked = sorted((sign * mean, at) for at, mean in enumerate(means) if not math.isnan(mean))
        return running[ranked[0][1]] if ranked else None


def _beats(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether one pair of output and loss is nowhere worse and somewhere better than another."""
    return one[0] >= other[0] and one[1] <= other[1] and one != other
