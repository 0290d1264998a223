"""A change rule in the trainee's hands: the plan's or one of his own, with orders for one change over it."""

from __future__ import annotations

from linesim.floor.mount import Mount
from linesim.floor.rules import ChangeRule, Edge, OfKind
from linesim.plan.plan import Plan
from linesim.rules import kind_and_value
from linesim.works.policies import Rule

__all__ = ["InHand", "ordered_rule"]


class InHand(ChangeRule):
    """What the trainee has ordered for a mounted set, over the plan's rule.

    Attributes
    ----------
    plans : ChangeRule
        The plan's rule.
    rule : ChangeRule
        The rule in force.
    is_wanted : bool
        The set is to be changed before the next part.
    leave_until : int or None
        Parts of this edge before which it stays in.
    """

    def __init__(self, plans: ChangeRule) -> None:
        self.plans = plans
        self.rule = plans
        self.is_wanted = False
        self.leave_until: int | None = None

    def _is_left(self, edge: Edge) -> bool:
        return self.leave_until is not None and edge.parts < self.leave_until

    def wants_look(self, edge: Edge) -> bool:
        """As the rule in force says."""
        return self.rule.wants_look(edge)

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due if it is wanted, or if the rule says so and it was not to be left in."""
        return self.is_wanted or (not self._is_left(edge) and self.rule.is_due(edge, now_min))

    def share(self, edge: Edge, now_min: float) -> float:
        """As the rule in force says; a set that was to be left in does not join a stop."""
        return 0.0 if self._is_left(edge) else self.rule.share(edge, now_min)

    def plan_says_so(self, edge: Edge, now_min: float) -> bool:
        """Whether the plan's rule has it changed now, with nothing ordered against it."""
        is_plans = self.rule is self.plans and not self.is_wanted and not self._is_left(edge)
        return is_plans and self.rule.is_due(edge, now_min)


def ordered_rule(rule: Rule, mount: Mount, plan: Plan) -> ChangeRule:
    """The rule that a policy would make of these entries, for one mounted set; no rule of one's own in Python."""
    kind, value = kind_and_value(rule)
    edge = mount.edge
    return OfKind(kind, kind.figures(value, edge.expected_life_min, edge.wear_limit_mm), plan.shift_min)
