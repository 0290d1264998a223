"""From a policy to one rule for each mounted cutter set."""

from __future__ import annotations

from typing import Any

from linesim.plan.columns import Rows
from linesim.plan.plan import OwnRule
from linesim.plan.tables import NONE, Rules
from linesim.plan.times import TimeTable
from linesim.rules import kind_and_value
from linesim.works.policies import Policy, Rule

__all__ = ["RuleTable"]


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
        kind, value = kind_and_value(rule)
        look = kind.look(value)
        own = NONE
        if rule.own is not None:
            self.own.append(OwnRule(rule.own.name, dict(rule.own.options)))
            own = len(self.own) - 1
        return kind.figures(value, expected_life_min, wear_limit_mm)._asdict() | {
            "look_time": NONE if look is None else self.times.add(look[0]),
            "look_error_mm": 0.0 if look is None else look[1],
            "own": own,
        }
