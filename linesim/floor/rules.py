"""When a cutter set is changed: the rules, and the way to add one of your own.

A rule is asked before each part is cut, for each mounted set. It sees what a person at the machine can see — an
:class:`Edge`: parts and minutes since the set was put in, the last look at the edge, the last gauge readings — and
never the hidden life share.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from linesim.errors import ScenarioError, StudyError
from linesim.floor.edge import ChangeRule, Edge
from linesim.floor.own_rules import WatchedRule, carried_out
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.rules import Figures, RuleKind, kind_of

__all__ = ["ChangeRule", "Edge", "OfKind", "change_rule", "known_rules", "rules_of"]


class OfKind(ChangeRule):
    """A rule of one of the kinds that every scenario has.

    Parameters
    ----------
    kind : RuleKind
        What it is.
    figures : Figures
        For the mounted set.
    shift_min : float, min
        Length of a shift.
    """

    def __init__(self, kind: RuleKind, figures: Figures, shift_min: float) -> None:
        self.kind = kind
        self.figures = figures
        self.shift_min = shift_min

    def wants_look(self, edge: Edge) -> bool:
        """As its kind says."""
        return self.kind.wants_look(self.figures, edge)

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """As its kind says."""
        return self.kind.is_due(self.figures, edge, now_min, self.shift_min)

    def share(self, edge: Edge, now_min: float) -> float:
        """As its kind says."""
        return self.kind.share(self.figures, edge, now_min, self.shift_min)


class _FromFunction(ChangeRule):
    """A rule made of a plain function."""

    def __init__(self, function: Callable[..., Any], options: dict[str, Any]) -> None:
        self.function: Callable[..., Any] = function
        self.options = options

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Ask the function."""
        answer: bool = self.function(edge, now_min, **self.options)
        return answer


_own: dict[str, Callable[..., ChangeRule]] = {}

AnyRule = TypeVar("AnyRule", bound=Callable[..., Any])


def change_rule(name: str) -> Callable[[AnyRule], AnyRule]:
    """Make a rule of your own known under a name, so that a scenario can say ``{own: {name: ..., options: {...}}}``.

    Decorates a subclass of :class:`ChangeRule`, called with the options of the scenario, or a function
    ``(edge, now_min, **options) -> bool`` that says whether the set is due.

    Examples
    --------
    >>> @change_rule("fresh after the break")
    ... def after_the_break(edge, now_min, break_min=240.0):
    ...     return edge.mounted_min % 480.0 < break_min <= now_min % 480.0
    >>> "fresh after the break" in known_rules()
    True
    """

    def keep(rule: AnyRule) -> AnyRule:
        if isinstance(rule, type) and issubclass(rule, ChangeRule):
            _own[name] = rule
        else:
            _own[name] = lambda **options: _FromFunction(rule, options)
        return rule

    return keep


def known_rules() -> list[str]:
    """Names of the rules of your own that have been made known."""
    return sorted(_own)


def rules_of(plan: Plan) -> list[ChangeRule]:
    """The rules of a plan, in its order.

    Raises
    ------
    ScenarioError
        A rule of the user's own is not known, or refuses its options.
    """
    return [_rule(plan, row) for row in range(len(plan.rules.way))]


def _rule(plan: Plan, row: int) -> ChangeRule:
    rules = plan.rules
    if rules.own[row] != NONE:
        return _own_rule(plan, int(rules.own[row]))
    figures = Figures(int(rules.way[row]), *(float(getattr(rules, name)[row]) for name in Figures._fields[1:]))
    return OfKind(kind_of(figures.way), figures, plan.shift_min)


def _own_rule(plan: Plan, number: int) -> ChangeRule:
    wanted = plan.own_rules[number]
    where = f'policy "{plan.policy}"'
    if wanted.name not in _own:
        known = ", ".join(f'"{name}"' for name in known_rules()) or "none"
        raise ScenarioError.plain(
            f'{where}: the rule "{wanted.name}" is not known; rules made known with change_rule: {known}. '
            "Import the module that defines it first (on the command line: --rules FILE.py)"
        )
    try:
        rule = carried_out(_own[wanted.name], where=f'{where}: the rule "{wanted.name}"', **wanted.options)
    except StudyError as error:
        if not isinstance(error.__cause__, TypeError):
            raise
        text = f'{where}: the rule "{wanted.name}" does not take these options: {error.__cause__}'
        raise ScenarioError.plain(text) from error
    return WatchedRule(rule, wanted.name, plan.policy)
