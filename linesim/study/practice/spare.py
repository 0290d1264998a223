"""The claim on time to spare: away from the constraint slower is cheaper."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.desk.sets import cycle_minutes
from linesim.plan.build import make_plan
from linesim.study.practice.alter import with_cuts
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import AS_IT_STANDS, Draw, as_it_is
from linesim.study.practice.here import one_after_another
from linesim.study.practice.sameness import one_rule
from linesim.words import keep
from linesim.works import Works
from linesim.works.policies import Rule
from linesim.works.walks import cuts_of, operations_of

__all__ = ["SLOWER"]

_SPEED = 0.8
_LOAD = 0.85
"""Greatest load, against the line's constraint, that an operation may have when it cuts so much slower."""

_RULE = Rule(life=0.8)
"""For all edges on both sides, so that the interval follows the longer life."""


def with_time_to_spare(works: Works) -> list[tuple[str, str]]:
    """Operations, by line and name, that would be well under the constraint even when they cut slower."""
    plan = make_plan(works, next(iter(works.policies)))
    now: dict[tuple[str, str], float] = {}
    slower: dict[tuple[str, str], float] = {}
    for number, at in enumerate(operations_of(works)):
        cycle = cycle_minutes(plan, number, at.operation)
        key = (at.line_name, at.name)
        now[key] = sum(cycle) / at.operation.machines
        slower[key] = (sum(cycle) + cycle.cutting * (1.0 / _SPEED - 1.0)) / at.operation.machines
    longest = {line: max(minutes for (of, _), minutes in now.items() if of == line) for line in works.lines}
    fast = {(at.at.line_name, at.at.name) for at in cuts_of(works) if at.cut.speed is not None}
    return [key for key, minutes in slower.items() if key in fast and minutes <= _LOAD * longest[key[0]]]


def slowed(works: Works) -> Works:
    """The works whose operations with time to spare cut at four fifths of their speed."""
    spare = set(with_time_to_spare(works))
    changed = {
        at.path: {"speed": _SPEED * at.cut.speed}
        for at in cuts_of(works)
        if (at.at.line_name, at.at.name) in spare and at.cut.speed is not None
    }
    return with_cuts(works, changed)


def _slower(draw: Draw) -> Iterator[Pair]:
    if not with_time_to_spare(draw.works):
        return
    policy = one_rule(draw.works, _RULE)
    now = draw.seen(f"edges changed at 0.8 of life, {AS_IT_STANDS}", as_it_is, policy)
    slow = draw.seen("edges changed at 0.8 of life, slower where there is time to spare", slowed, policy)
    yield Pair(
        keep("practice.of_spare"), keep("practice.what_slower"), draw.money,
        now.contribution, slow.contribution,
    )  # fmt: skip


def _spare_here(works: Works, _of: str, _earned: float) -> str:
    """Where there is time to spare, and what slower cuts can save there at all."""
    spare = with_time_to_spare(works)
    names = [name for _, name in spare]
    pools = {works.lines[line].operations[name].setters for line, name in spare} - {None}
    paid = pools and all(works.people[pool].paid == "attendance" for pool in pools if pool is not None)
    who = keep("practice.attendance") if paid else ""
    return one_after_another(keep("practice.spare_at", operations=names), who)


def _none_to_spare(works: Works) -> str:
    return "" if with_time_to_spare(works) else keep("practice.none_to_spare")


SLOWER = Claim(
    "k",
    _none_to_spare,
    _slower,
    _spare_here,
    figures={"speed": _SPEED, "load": _LOAD},
)
