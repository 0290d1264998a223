"""The figures of a routing study: variants as they were run, their differences, and where two of them would be even."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.plan.build import make_plan
from linesim.result.details import Details
from linesim.routing.bench import Sample
from linesim.routing.breakeven import Even, Values, even_hour, even_loss, even_volume
from linesim.routing.intervals import BestIntervals
from linesim.routing.minutes import WorkContent, hourly_cost
from linesim.routing.variants import Variant, Variants
from linesim.study.advice.paired import CAPABLE
from linesim.study.comparing.measures import Measure, deciding_measure
from linesim.study.comparing.tables import detail_table
from linesim.study.comparing.words import whose_words
from linesim.study.statistics.intervals import Difference, mean_interval

__all__ = ["CAPABLE", "COMPARED", "RoutingFigures", "Tried"]

COMPARED = (
    "good_per_hour",
    "cost_per_good_part",
    "quality_loss_per_good_part",
    "contribution_per_hour",
    "first_pass_yield",
)
"""Measures of the tables, in their order."""

_SAME_HOURS = 0.01
"""Hours of two variants that differ by less than this share say nothing of the worth of an hour."""


@dataclass(frozen=True, eq=False)
class Tried:
    """One variant as it was run.

    Attributes
    ----------
    variant : Variant
        What it is.
    intervals : BestIntervals
        Its own change intervals, and the policy with them.
    content : WorkContent
        Minutes and machines that the features in question take.
    sample : Sample
        Its runs.
    characteristics : pandas.DataFrame
        Of its shipped parts, replication by replication.
    """

    variant: Variant
    intervals: BestIntervals
    content: WorkContent
    sample: Sample
    characteristics: pd.DataFrame


@dataclass(frozen=True, eq=False, repr=False)
class RoutingFigures:
    """Variants set against each other.

    Attributes
    ----------
    variants : Variants
        What was asked.
    tried : tuple of Tried
        One per variant, in the order of the file; the first is what the others replace.
    seed, n_replications : int
        Key of all chance, and runs of each variant (replications 0 to n - 1).
    confidence : float
        Of the intervals.
    engine : str
        Which engine ran it.
    """

    variants: Variants
    tried: tuple[Tried, ...]
    seed: int
    n_replications: int
    confidence: float
    engine: str

    @property
    def measure(self) -> Measure:
        """The measure that decides."""
        return deciding_measure(self.variants.base)

    @property
    def currency(self) -> str:
        """Of the scenario."""
        return self.variants.base.currency

    @cached_property
    def leader(self) -> Tried:
        """The variant with the best mean of the deciding measure; the first of equals."""
        sign = 1.0 if self.measure.is_more_better else -1.0

        def rating(built: Tried) -> float:
            mean = float(built.sample.values(self.measure.name).mean())
            return sign * mean if math.isfinite(mean) else -math.inf

        return max(self.tried, key=rating)

    def difference(self, one: Tried, other: Tried, name: str) -> Difference:
        """One variant less another, paired; the intervals of all variants against one of them hold together."""
        return one.sample.against(other.sample, name, self.confidence, max(len(self.tried) - 1, 1))

    @cached_property
    def not_significant(self) -> tuple[str, ...]:
        """Variants that the data do not tell apart from the leader."""
        others = [built for built in self.tried if built is not self.leader]
        return tuple(
            built.variant.name
            for built in others
            if not self.difference(built, self.leader, self.measure.name).is_apart
        )

    @property
    def is_clear(self) -> bool:
        """Whether the leader is told apart from every other variant, all at once."""
        return not self.not_significant

    @cached_property
    def table(self) -> pd.DataFrame:
        """Mean, half width, confidence and n of every measure by variant, and the difference from the first."""
        rows = []
        for built in self.tried:
            for name in COMPARED:
                own = built.sample.interval(name, self.confidence)
                apart = self.difference(built, self.tried[0], name)
                rows.append(
                    {
                        "variant": built.variant.name, "measure": name, "mean": own.mean, "half_width": own.half_width,
                        "confidence": self.confidence, "n": own.n, "less_first": apart.mean,
                        "less_first_half_width": apart.half_width, "is_apart": apart.is_apart,
                    }
                )  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def content(self) -> pd.DataFrame:
        """Minutes, machines, power and change intervals by variant."""
        rows = [
            {
                "variant": built.variant.name,
                "about": built.variant.about,
                "operations": ", ".join(built.content.operations),
                "cuts": built.content.cuts,
                "cut_min": built.content.cut_min,
                "operation_min": built.content.operation_min,
                "machines": built.content.machines,
                "line_machines": built.content.line_machines,
                "power_kw": built.content.power_kw,
                "machines_per_hour_cost": hourly_cost(built.intervals.candidate),
                "idle_percent": 100.0 * self.idle_share(built),
                "constraint": built.sample.constraint(self.variants.line),
                "changed_at": ", ".join(f"{name} {share:g}" for name, share in built.intervals.shares.items()),
            }
            for built in self.tried
        ]
        return pd.DataFrame(rows)

    @cached_property
    def capability(self) -> pd.DataFrame:
        """Spread, Cpk, share out of limits and loss of each characteristic of the features, by variant."""
        rows: list[dict[str, Any]] = []
        for built in self.tried:
            of = built.characteristics
            own = of[(of["line"] == self.variants.line) & of["feature"].isin(self.variants.features)]
            for (feature, characteristic), group in own.groupby(["feature", "characteristic"], sort=False):
                rows.append(
                    {"variant": built.variant.name, "feature": feature, "characteristic": characteristic}
                    | _capability(group, self.confidence)
                )
        return pd.DataFrame(rows)

    @cached_property
    def details(self) -> pd.DataFrame:
        """Waits, stock, capability and what went wrong, by variant, with intervals; see `detail_table`."""
        alternatives = []
        for built in self.tried:
            works, policy = built.sample.candidate.works, built.sample.candidate.policy
            heads = Details(works, make_plan(works, policy)).heads
            alternatives.append((built.variant.name, heads, built.sample.details))
        return detail_table(alternatives, self.confidence)

    def idle_share(self, built: Tried) -> float:
        """Share of time in which the machines of the features wait or are held up; the busiest operation's."""
        shares = [built.sample.idle_share(name, self.variants.line) for name in built.content.operations]
        return min(shares, default=math.nan)

    def loss_per_hour(self, built: Tried) -> Values:
        """Quality loss by replication, money per hour."""
        loss = built.sample.values("quality_loss_per_good_part") * built.sample.values("good_per_hour")
        return np.asarray(loss, dtype=np.float64)

    def even_loss(self, built: Tried) -> Even:
        """Weight of quality loss at which a variant and the first one are even."""
        first = self.tried[0]
        pair = (built.sample.values("contribution_per_hour"), first.sample.values("contribution_per_hour"))
        return even_loss(pair, (self.loss_per_hour(built), self.loss_per_hour(first)), self.confidence)

    def least_cpk(self, built: Tried) -> tuple[float, str]:
        """The least Cpk of a variant among the characteristics in question, and whose it is."""
        own = self.capability[self.capability["variant"] == built.variant.name].dropna(subset=["cpk"])
        if own.empty:
            return math.nan, ""
        row = min(own.to_dict(orient="records"), key=lambda each: float(each["cpk"]))
        return float(row["cpk"]), whose_words(str(row["feature"]), str(row["characteristic"]))

    def holds_drawing(self, built: Tried) -> bool:
        """Whether no characteristic in question has a Cpk below `CAPABLE`."""
        least = self.least_cpk(built)[0]
        return math.isnan(least) or least >= CAPABLE

    def even_rate(self, built: Tried) -> Even:
        """Cost of an hour of each machine that one of the two has more, at which a variant and the first are even.

        Returns
        -------
        Even
            Money per machine hour, operators included; not a number where both have as many machines.
        """
        first = self.tried[0]
        more = first.content.line_machines - built.content.line_machines
        if more == 0:
            return Even(math.nan, math.nan, math.nan, self.n_replications)
        saved = hourly_cost(first.intervals.candidate) - hourly_cost(built.intervals.candidate)
        gain = built.sample.values("contribution_per_hour") - first.sample.values("contribution_per_hour")
        answer = mean_interval((saved - gain) / more, self.confidence)
        return Even(answer.mean, answer.low, answer.high, answer.n)

    def even_hour(self, built: Tried) -> Even:
        """Worth of a machine hour elsewhere at which a variant and the first one are even; of as many machines."""
        first = self.tried[0]
        if first.content.line_machines != built.content.line_machines:
            return Even(math.nan, math.nan, math.nan, self.n_replications)
        pair = (built.sample.values("contribution_per_hour"), first.sample.values("contribution_per_hour"))
        hours = [self._hours(each) for each in (built, first)]
        if abs(hours[0] - hours[1]) < _SAME_HOURS * max(hours):
            return Even(math.nan, math.nan, math.nan, self.n_replications)
        return even_hour(pair, (hours[0], hours[1]), self.confidence)

    def even_volume(self, built: Tried) -> float:
        """Good parts per hour to be sold at which a variant and the first one are even; of works with one line."""
        if len(self.variants.base.lines) > 1:
            return math.nan
        pair = (built, self.tried[0])
        output = [float(each.sample.values("good_per_hour").mean()) for each in pair]
        if not min(output) > 0.0:
            return math.nan
        fixed = [hourly_cost(each.intervals.candidate) for each in pair]
        gains = [float(each.sample.values("contribution_per_hour").mean()) for each in pair]
        margin = [(gain + cost) / rate for gain, cost, rate in zip(gains, fixed, output, strict=True)]
        return even_volume((output[0], output[1]), (margin[0], margin[1]), (fixed[0], fixed[1]))

    def _hours(self, built: Tried) -> float:
        """Hours of the machines in question that go into the parts of one hour."""
        return float(built.sample.values("good_per_hour").mean()) * built.content.operation_min / 60.0


def _capability(group: pd.DataFrame, confidence: float) -> dict[str, Any]:
    """Means over the replications of one characteristic, its Cpk with an interval."""
    cpk = mean_interval(group["cpk"].to_numpy(dtype=np.float64), confidence)
    loss = mean_interval(group["loss_per_part"].to_numpy(dtype=np.float64), confidence)
    mean = mean_interval(group["mean"].to_numpy(dtype=np.float64), confidence)
    spread = mean_interval(group["sd"].to_numpy(dtype=np.float64), confidence)
    shares = group["share_below"].fillna(0.0) + group["share_above"].fillna(0.0)
    out = mean_interval(shares.to_numpy(dtype=np.float64), confidence)
    return {
        "unit": str(group["unit"].iloc[0]),
        "lower": float(group["lower"].iloc[0]),
        "upper": float(group["upper"].iloc[0]),
        "mean": mean.mean,
        "mean_half_width": mean.half_width,
        "sd": spread.mean,
        "sd_half_width": spread.half_width,
        "cpk": cpk.mean,
        "cpk_half_width": cpk.half_width,
        "share_out": out.mean,
        "share_out_half_width": out.half_width,
        "share_not_cleaned_up": float(group["share_not_cleaned_up"].mean()),
        "loss_per_part": loss.mean,
        "loss_half_width": loss.half_width,
        "confidence": confidence,
        "n": cpk.n,
    }
