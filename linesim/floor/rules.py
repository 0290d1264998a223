"""When a cutter set is changed: the rules, and the way to add one of your own.

A rule is asked before each part is cut, for each mounted set. It sees what a person at the machine can see — an
:class:`Edge`: parts and minutes since the set was put in, the last look at the edge, the last gauge readings — and
never the hidden life share.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from typing import Any, TypeVar

from linesim.errors import ScenarioError
from linesim.plan.tables import NONE, Plan
from linesim.rules import Figures, RuleKind, kind_of

__all__ = ["ChangeRule", "Edge", "OfKind", "change_rule", "known_rules", "rules_of"]


class Edge:
    """What is known at the machine of one mounted cutter set.

    Attributes
    ----------
    set_name : str
        Name of the cutter set.
    parts : int
        Parts cut since it was put in.
    cut_min : float
        Cutting minutes since then.
    mounted_min : float
        When it was put in, minutes from the start of the run.
    expected_life_min : float
        Cutting minutes that an average edge lasts here; infinite if it does not dull.
    wear_limit_mm : float
        Wear land at which it counts as dull, mm.
    parts_since_look : int
        Parts cut since the edge was last looked at, or put in.
    wear_read_mm : float or None
        Wear land at the last look, mm.
    size_read_um : float or None
        Last gauge reading of what it cut, µm of metal left on (+) or cut away (-) per side.
    roughness_read_um : float or None
        Last reading of Ra, µm.
    was_rejected : bool
        A gauge has turned down a part that it cut.
    """

    __slots__ = (
        "cut_min",
        "expected_life_min",
        "mounted_min",
        "parts",
        "parts_since_look",
        "roughness_read_um",
        "set_name",
        "size_read_um",
        "was_rejected",
        "wear_limit_mm",
        "wear_read_mm",
    )

    def __init__(self, set_name: str, expected_life_min: float, wear_limit_mm: float) -> None:
        self.set_name = set_name
        self.expected_life_min = expected_life_min
        self.wear_limit_mm = wear_limit_mm
        self.put_in(0.0)

    def put_in(self, now_min: float) -> None:
        """A sharp edge begins: nothing is known of it yet."""
        self.parts = 0
        self.cut_min = 0.0
        self.mounted_min = now_min
        self.parts_since_look = 0
        self.wear_read_mm: float | None = None
        self.size_read_um: float | None = None
        self.roughness_read_um: float | None = None
        self.was_rejected = False


class ChangeRule(ABC):
    """A rule for changing a cutter set. Subclass it, define :meth:`is_due`, and override what else is needed."""

    def wants_look(self, edge: Edge) -> bool:
        """Whether the edge is to be looked at now; looking takes minutes and reads the wear land with an error."""
        return False

    @abstractmethod
    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Whether the set is to be changed before the next part."""

    def share(self, edge: Edge, now_min: float) -> float:
        """How much of the interval is used up, for changing sets in one stop; 0 where the rule has no interval."""
        return 0.0


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
        return bool(self.function(edge, now_min, **self.options))


_own: dict[str, Callable[..., ChangeRule]] = {}

Made = TypeVar("Made", bound=Callable[..., Any])


def change_rule(name: str) -> Callable[[Made], Made]:
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

    def keep(made: Made) -> Made:
        if isinstance(made, type) and issubclass(made, ChangeRule):
            _own[name] = made
        else:
            _own[name] = lambda **options: _FromFunction(made, options)
        return made

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
        return _own[wanted.name](**wanted.options)
    except TypeError as error:
        raise ScenarioError.plain(f'{where}: the rule "{wanted.name}" does not take these options: {error}') from error
