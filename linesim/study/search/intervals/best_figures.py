"""Best intervals: the figures that a search has come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Self

import pandas as pd
import yaml

from linesim.cards.rule_said import rule_said
from linesim.study.comparing.measures import MEASURES, Measure
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.levers import levers_under, with_levers
from linesim.study.search.common.set_at import SetAt, Setting, policy_of
from linesim.study.statistics.intervals import Difference, Interval
from linesim.works import Works
from linesim.works.policies import Policy
from linesim.works.walks import mounted
from linesim.works.writing import plain

__all__ = ["BEST", "BestFigures", "FlatRange", "Try", "Verdict", "written"]

_ENDS = ("flat_low", "flat_high", "low_is_sure", "high_is_sure")

BEST = "best intervals"
"""Name of the policy that was found."""


@dataclass(frozen=True)
class Try:
    """One interval of one set, or one value of a lever, tried out with all others left as they are.

    Attributes
    ----------
    key : str
        The set, or the lever by its name.
    parts : float
        The interval, or the value in the lever's unit.
    worse : Difference
        By how much the goal is worse than with the best interval, in its own unit; paired.
    breaks_cap : bool
        Whether the mean of what is capped lies above its cap.
    """

    key: str
    parts: float
    worse: Difference
    breaks_cap: bool = False


@dataclass(frozen=True)
class FlatRange:
    """Intervals that cost no more than a tolerance.

    Attributes
    ----------
    low, high : float
        From and to, parts or in the unit of a lever; everything tried in between is within the tolerance, with the
        confidence of the study.
    low_is_sure, high_is_sure : bool
        Whether the next interval tried beyond is known to cost more; if not, the range may go further than could be
        told, or to the end of what was tried.
    """

    low: float
    high: float
    low_is_sure: bool
    high_is_sure: bool

    @property
    def ends(self) -> tuple[float, float, bool, bool]:
        """All of it, as tables have it."""
        return self.low, self.high, self.low_is_sure, self.high_is_sure


@dataclass(frozen=True)
class Verdict:
    """The best against the policy from which the search set out, in replications that it had not seen.

    Attributes
    ----------
    best, base : dict of str to Interval
        Means by measure.
    differences : dict of str to Difference
        Best less base, paired, by measure.
    first_replication, replications : int
        The replications used.
    """

    best: Mapping[str, Interval]
    base: Mapping[str, Interval]
    differences: Mapping[str, Difference]
    first_replication: int
    replications: int


@dataclass(frozen=True, eq=False, repr=False)
class BestFigures:
    """Best intervals of all sets together, as far as the search has come.

    Attributes
    ----------
    works : Works
        The scenario.
    goal : Goal
        What was sought.
    base : str
        The policy of the scenario from which the search set out.
    sets_at : tuple of SetAt
        The sets.
    against : str
        The policy against which the verdict sets it: today's practice, or the one that was asked for.
    over_lives : bool
        Whether lives are drawn anew in each run.
    setting : Setting
        The best intervals so far.
    by : {"parts", "life"}
        How they are written.
    tolerance : float
        Share of the goal that a flat range may cost.
    confidence, seed : float, int
        Of the intervals; key of all chance.
    renewal : dict of str to int
        Interval of each set by itself, from which the search began.
    tested : tuple of Try
        Single intervals tried out around the best.
    flat : dict of str to FlatRange
        By set.
    levers : tuple of Lever
        What was sought beside the intervals: aims, shares of correction, dead bands.
    flat_levers : dict of str to FlatRange
        By name of the lever.
    verdict : Verdict or None
        None as long as it has not been tried in fresh replications.
    path : tuple of dict
        What was tried on the way: step, words, mean, half_width, taken.
    runs : int
        Runs done.
    is_settled : bool
        Whether no further change was significant; False if runs or patience were used up before.
    """

    works: Works
    goal: Goal
    base: str
    sets_at: tuple[SetAt, ...]
    setting: Setting
    by: str = "parts"
    tolerance: float = 0.01
    confidence: float = 0.95
    seed: int = 1
    renewal: Mapping[str, int] = field(default_factory=dict)
    tested: tuple[Try, ...] = ()
    flat: Mapping[str, FlatRange] = field(default_factory=dict)
    levers: tuple[Lever, ...] = ()
    flat_levers: Mapping[str, FlatRange] = field(default_factory=dict)
    verdict: Verdict | None = None
    path: tuple[dict[str, Any], ...] = ()
    runs: int = 0
    is_settled: bool = False
    against: str = ""
    over_lives: bool = False

    def but(self, **changes: Any) -> Self:
        """The same with some attributes changed."""
        return replace(self, **changes)

    @cached_property
    def policy(self) -> Policy:
        """The policy found, ready to be used."""
        about = f"Found by a search for {self.goal.measure.words}; rounded so that it can be kept"
        base = self.works.policies[self.base]
        known = {set_at.key for set_at in self.sets_at}
        others = [mount for mount in mounted(self.works) if f"{mount.operation} / {mount.cutter}" not in known]
        policy = policy_of(self.setting, self.sets_at, self.by, base, about, others)
        return with_levers(policy, self.levers, self.setting.values)

    @property
    def policy_yaml(self) -> str:
        """The policy as it can be pasted under ``policies:`` of the scenario."""
        return written({BEST: plain(self.policy)})

    def overlay_yaml(self, extends: str) -> str:
        """A scenario that extends the original with the policy found.

        Parameters
        ----------
        extends : str
            Path of the original, relative to the folder in which the overlay will stand.
        """
        content = {
            "linesim": 1,
            "extends": extends,
            "name": f"{self.works.name}, best intervals"[:200],
            "policies": {BEST: plain(self.policy)},
        }
        return written(content)

    @cached_property
    def intervals(self) -> pd.DataFrame:
        """One row per set: where, rule, parts and life_share (of a count), its flat range and how sure that is."""
        rows = []
        for at, (set_at, parts) in enumerate(zip(self.sets_at, self.setting.parts, strict=True)):
            counted = None if self.setting.way(at) else parts
            flat = self.flat.get(set_at.key)
            rows.append(
                {
                    "line": set_at.line,
                    "operation": set_at.operation,
                    "cutter": set_at.cutter,
                    "rule": self.rule_words(at),
                    "parts": counted,
                    "life_share": None if counted is None else counted / set_at.parts_per_life,
                    "parts_per_life": set_at.parts_per_life,
                    "by_itself": self.renewal.get(set_at.key),
                    **(dict.fromkeys(_ENDS) if flat is None else dict(zip(_ENDS, flat.ends, strict=True))),
                }
            )
        table = pd.DataFrame(rows)
        return table.assign(parts=pd.Series([row["parts"] for row in rows], dtype=object))

    def rule_words(self, at: int) -> str:
        """When a set is changed, as the end of a sentence that begins with "changed"."""
        return rule_said(self.sets_at[at].rule(self.setting.parts[at], self.by, self.setting.way(at)))

    @cached_property
    def lever_values(self) -> pd.DataFrame:
        """One row per lever: lever, value, unit, before (in the verdict), flat_low, flat_high, and how sure each is."""
        before = levers_under(self.works, self.against or self.base, self.levers)
        rows = []
        for lever, value, was in zip(self.levers, self.setting.values, before, strict=True):
            flat = self.flat_levers.get(lever.name)
            ends = dict.fromkeys(_ENDS) if flat is None else dict(zip(_ENDS, flat.ends, strict=True))
            rows.append({"lever": lever.name, "value": value, "unit": lever.unit, "before": was, **ends})
        return pd.DataFrame(rows, columns=["lever", "value", "unit", "before", *_ENDS])

    @cached_property
    def comparison(self) -> pd.DataFrame:
        """One row per measure: found, base and the paired difference with half widths; empty before the verdict."""
        verdict = self.verdict
        columns = ["measure", "best", "best_half_width", "base", "base_half_width", "difference", "half_width", "n"]
        if verdict is None:
            return pd.DataFrame(columns=[*columns, "confidence"])
        rows = []
        for measure in self.measures:
            answer, base = verdict.best[measure.name], verdict.base[measure.name]
            apart = verdict.differences[measure.name]
            figures = (
                answer.mean,
                answer.half_width,
                base.mean,
                base.half_width,
                apart.mean,
                apart.half_width,
                apart.n,
            )
            rows.append(dict(zip(columns, (measure.name, *figures), strict=True)) | {"confidence": self.confidence})
        return pd.DataFrame(rows)

    @property
    def measures(self) -> tuple[Measure, ...]:
        """Measures of the verdict, with those that are capped."""
        known = {measure.name for measure in MEASURES}
        return (*MEASURES, *(self.goal.capped(name) for name, _ in self.goal.caps if name not in known))

    @cached_property
    def tries(self) -> pd.DataFrame:
        """One row per single interval or value of a lever tried out around the best."""
        rows = [
            {
                "set": one.key,
                "parts": one.parts,
                "worse_by": one.worse.mean,
                "half_width": one.worse.half_width,
                "n": one.worse.n,
                "breaks_cap": one.breaks_cap,
            }
            for one in self.tested
        ]
        return pd.DataFrame(rows, columns=["set", "parts", "worse_by", "half_width", "n", "breaks_cap"])

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        steps = ["step", "words", "mean", "half_width", "is_taken", "runs"]
        path = pd.DataFrame(list(self.path), columns=steps)
        tables = {"intervals": self.intervals, "comparison": self.comparison, "tries": self.tries, "path": path}
        return tables | {"levers": self.lever_values}


def written(content: Any) -> str:
    """Plain values as YAML, in the order given."""
    text: str = yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=110, default_flow_style=None)
    return text
