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
from linesim.plan.tables import Plan, RuleWay

__all__ = ["ChangeRule", "Edge", "change_rule", "known_rules", "rules_of"]


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


class AfterParts(ChangeRule):
    """After so many parts."""

    def __init__(self, parts: float) -> None:
        self.parts = parts

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due once the parts are done."""
        return edge.parts >= self.parts

    def share(self, edge: Edge, now_min: float) -> float:
        """Parts done over the interval."""
        return edge.parts / self.parts


class AfterMinutes(ChangeRule):
    """After so many cutting minutes."""

    def __init__(self, minutes: float) -> None:
        self.minutes = minutes

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due once the minutes are done."""
        # Cutting minutes are a sum of many cuts, so that 20 times 0.1 min may fall a hair short of 2 min.
        return edge.cut_min >= self.minutes * (1.0 - 1e-9)

    def share(self, edge: Edge, now_min: float) -> float:
        """Minutes done over the interval."""
        return edge.cut_min / self.minutes


class OnCheck(ChangeRule):
    """The edge is looked at every so many parts, and changed when the wear land reads past a figure."""

    def __init__(self, every: float, limit_mm: float) -> None:
        self.every = every
        self.limit_mm = limit_mm

    def wants_look(self, edge: Edge) -> bool:
        """Look once the parts since the last look are done."""
        return edge.parts_since_look >= self.every

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due when the last look read the limit or more."""
        return edge.wear_read_mm is not None and edge.wear_read_mm >= self.limit_mm

    def share(self, edge: Edge, now_min: float) -> float:
        """The last reading over the limit."""
        return 0.0 if edge.wear_read_mm is None else edge.wear_read_mm / self.limit_mm


class OnGauge(ChangeRule):
    """When a gauge reading of what the set makes passes an action limit."""

    def __init__(self, size_um: float, roughness_um: float) -> None:
        self.size_um = size_um
        self.roughness_um = roughness_um

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due when the last reading of size or of roughness is past its action limit."""
        return self.share(edge, now_min) > 1.0

    def share(self, edge: Edge, now_min: float) -> float:
        """The last readings over the action limits, the greater of the two."""
        size = 0.0 if edge.size_read_um is None else abs(edge.size_read_um) / self.size_um
        rough = 0.0 if edge.roughness_read_um is None else edge.roughness_read_um / self.roughness_um
        return max(size, rough)


class AtShiftStart(ChangeRule):
    """At the start of every so many shifts."""

    def __init__(self, shifts: float, shift_min: float) -> None:
        self.period_min = shifts * shift_min

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due when a boundary has passed since the set was put in, and it has cut."""
        return edge.parts > 0 and now_min // self.period_min > edge.mounted_min // self.period_min

    def share(self, edge: Edge, now_min: float) -> float:
        """Time since it was put in over the interval."""
        return (now_min - edge.mounted_min) / self.period_min


class RunOut(ChangeRule):
    """Only when broken (which needs no rule) or when the part fails."""

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Due when a gauge has turned down a part that it cut."""
        return edge.was_rejected


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
    interval = float(rules.interval[row])
    match RuleWay(int(rules.way[row])):
        case RuleWay.PARTS:
            return AfterParts(interval)
        case RuleWay.MINUTES:
            return AfterMinutes(interval)
        case RuleWay.CHECK:
            return OnCheck(interval, float(rules.limit_mm[row]))
        case RuleWay.GAUGE:
            return OnGauge(float(rules.size_um[row]), float(rules.roughness_um[row]))
        case RuleWay.SHIFT:
            return AtShiftStart(interval, plan.shift_min)
        case RuleWay.RUN_OUT:
            return RunOut()
        case RuleWay.OWN:
            return _own_rule(plan, int(rules.own[row]))


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
