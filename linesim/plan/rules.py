"""From a policy to one rule for each mounted cutter set."""

from __future__ import annotations

import math
from typing import Any

from linesim.plan.columns import Rows
from linesim.plan.tables import NONE, OwnRule, Rules, RuleWay
from linesim.plan.times import TimeTable
from linesim.works.policies import Policy, Rule

__all__ = ["RuleTable"]

NO_LIMIT = math.inf


class RuleTable:
    """Collects the rules of a plan; each distinct one has one row.

    Parameters
    ----------
    policy : Policy
        Default rule and exceptions.
    times : TimeTable
        Where the time of a look is entered.
    """

    def __init__(self, policy: Policy, times: TimeTable) -> None:
        self.policy = policy
        self.times = times
        self.rows = Rows(Rules)
        self.own: list[OwnRule] = []
        self.asked: list[tuple[str, str, float, float]] = []
        """What `number` has been asked, mounted set by mounted set; another policy is asked the same."""
        self._known: dict[tuple[Any, ...], int] = {}

    def number(self, operation: str, kind: str, expected_life_min: float, wear_limit_mm: float) -> int:
        """Number of the rule for one cutter set at one operation."""
        self.asked.append((operation, kind, expected_life_min, wear_limit_mm))
        exceptions = self.policy.exceptions
        rule = exceptions.get(f"{operation} / {kind}", exceptions.get(kind, self.policy.default))
        row = self._row(rule, expected_life_min, wear_limit_mm)
        key = tuple(row.values())
        if key not in self._known:
            self._known[key] = self.rows.add(**row)
        return self._known[key]

    def _row(self, rule: Rule, expected_life_min: float, wear_limit_mm: float) -> dict[str, float]:
        way, interval = _way_and_interval(rule, expected_life_min)
        row: dict[str, float] = {
            "way": int(way),
            "interval": interval,
            "limit_mm": NO_LIMIT,
            "look_time": NONE,
            "look_error_mm": 0.0,
            "size_um": NO_LIMIT,
            "roughness_um": NO_LIMIT,
            "own": NONE,
        }
        if rule.check is not None:
            past = rule.check.past
            row["limit_mm"] = past if past is not None else float(rule.check.past_share or 0.0) * wear_limit_mm
            row["look_time"] = self.times.add(rule.check.minutes)
            row["look_error_mm"] = rule.check.error
        if rule.gauge is not None:
            row["size_um"] = NO_LIMIT if rule.gauge.size is None else rule.gauge.size
            row["roughness_um"] = NO_LIMIT if rule.gauge.roughness is None else rule.gauge.roughness
        if rule.own is not None:
            self.own.append(OwnRule(rule.own.name, dict(rule.own.options)))
            row["own"] = len(self.own) - 1
        return row


def _way_and_interval(rule: Rule, expected_life_min: float) -> tuple[RuleWay, float]:
    if rule.parts is not None:
        return RuleWay.PARTS, float(rule.parts)
    if rule.minutes is not None:
        return RuleWay.MINUTES, rule.minutes
    if rule.life is not None:
        return RuleWay.MINUTES, rule.life * expected_life_min
    if rule.check is not None:
        return RuleWay.CHECK, float(rule.check.every)
    if rule.gauge is not None:
        return RuleWay.GAUGE, NO_LIMIT
    if rule.shift is not None:
        return RuleWay.SHIFT, float(rule.shift)
    if rule.own is not None:
        return RuleWay.OWN, NO_LIMIT
    return RuleWay.RUN_OUT, NO_LIMIT
