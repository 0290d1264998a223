"""When a cutter set is changed: the kinds of rule, compiled, and the question put to that of a mounted set."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from linesim.cutting.life import wear_land_mm
from linesim.errors import RunError
from linesim.fast.common import by_calendar
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import kind_at, rule_at
from linesim.fast.state import Mount, World
from linesim.plan.plan import Plan
from linesim.rules import KINDS, kind_of
from linesim.rules.kind import EdgeSeen, RuleFigures

__all__ = ["is_due", "refuse_uncompiled", "share_used", "wants_look", "wear_land_of"]

_COMPILED = {kind.way: kind for kind in KINDS if kind.is_compiled}


def refuse_uncompiled(plan: Plan) -> None:
    """Refuse a plan with a rule that compiled code cannot ask.

    Raises
    ------
    RunError
        Names the kind of rule.
    """
    for way in set(plan.rules.way.tolist()) - set(_COMPILED):
        raise RunError(
            f'policy "{plan.policy}": the compiled engine cannot ask a rule of the kind "{kind_of(way).entry}"; '
            "run it on the SimPy floor (engine simpy)"
        )


Question = Callable[[RuleFigures, EdgeSeen, float, float], Any]


def _ladder(questions: dict[int, Question]) -> Question:
    """One compiled function that goes to the function of the rule's own kind.

    The last rung asks no more whether it is its turn: `refuse_uncompiled` has seen to it that there is no other kind.
    """
    (_, ask), *others = reversed(questions.items())
    for way, ours in others:
        ask = _rung(way, ours, ask)
    return ask


def _rung(way: int, ours: Question, others: Question) -> Question:
    def ask(rule: Any, edge: EdgeSeen, now_min: float, shift_min: float) -> Any:
        if rule.way == way:
            return ours(rule, edge, now_min, shift_min)
        return others(rule, edge, now_min, shift_min)

    return inlined(ask)


def _looking(wants: Callable[[RuleFigures, EdgeSeen], bool]) -> Question:
    """The question whether to look, asked as the others are."""

    def ask(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:  # noqa: ARG001
        return wants(rule, edge)

    return inlined(ask)


_is_due = _ladder({int(way): inlined(kind.is_due) for way, kind in _COMPILED.items()})
_share = _ladder({int(way): inlined(kind.share) for way, kind in _COMPILED.items()})
_wants_look = _ladder({int(way): _looking(inlined(kind.wants_look)) for way, kind in _COMPILED.items()})


@compiled
def wear_land_of(w: World, mount: Mount) -> float:
    """Wear land of a mounted edge as it is now, mm."""
    kind = kind_at(w.kinds, mount.kind)
    return wear_land_mm(mount.life_share, kind.wear_limit_mm, kind.wear_b, kind.wear_tau, kind.wear_gamma)


@inlined
def wants_look(w: World, mount: Mount) -> bool:
    """Whether the edge is to be looked at now."""
    return bool(_wants_look(rule_at(w.rules, mount.rule), mount, by_calendar(w, w.now), w.shift_min))


@inlined
def is_due(w: World, mount: Mount) -> bool:
    """Whether the set is to be changed before the next part."""
    return bool(_is_due(rule_at(w.rules, mount.rule), mount, by_calendar(w, w.now), w.shift_min))


@inlined
def share_used(w: World, mount: Mount) -> float:
    """How much of its interval is used up; 0 where the rule has none."""
    return float(_share(rule_at(w.rules, mount.rule), mount, by_calendar(w, w.now), w.shift_min))
