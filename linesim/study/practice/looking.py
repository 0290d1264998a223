"""The claim on looking at edges: it pays where heats of castings differ, and not where they do not."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.desk.sets import set_table
from linesim.plan.build import make_plan
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import AS_IT_STANDS, Draw, as_it_is
from linesim.study.practice.here import heats_add, looks_cost, one_after_another
from linesim.study.practice.sameness import edges_of, one_rule
from linesim.words import keep
from linesim.works import Works
from linesim.works.durations import Spread
from linesim.works.policies import Check, Policy, Rule

__all__ = ["INTERVALS", "LOOKING"]

INTERVALS = (0.5, 0.7, 0.9, 1.1)
"""Shares of life among which the best fixed interval is sought, one for all edges."""

LOOKS = ((0.35, 0.1, 0.6), (0.35, 0.2, 0.75), (0.6, 0.1, 0.75), (0.6, 0.25, 0.95))
"""Ways of looking, as many as there are intervals: from which share of an edge's expected life on, how often as such a
share, and past which share of its wear limit the edge is changed. A look takes a minute, with a glass that reads to
0.02 mm. Half to two thirds of life before the first look is common practice (no source); where sizes ask for a change
at half of life, the edge of a hard heat is dull before that, so that an earlier first look is tried beside it."""


_WITH = keep("practice.of_heats")


def without_heats(works: Works) -> Works:
    """The works whose castings are all alike to cut."""
    lines = {
        name: line.model_copy(update={"casting": line.casting.model_copy(update={"heats": None})})
        for name, line in works.lines.items()
    }
    return works.model_copy(update={"lines": lines})


def _has_heats(works: Works) -> bool:
    heats = (line.casting.heats for line in works.lines.values())
    return any(each is not None and each.life > 0.0 for each in heats)


def best_interval(draw: Draw, has_heats: bool = True) -> float:
    """Contribution per hour of the best fixed interval, one share of life for all edges."""
    return _best(draw, {f"life {share:g}": one_rule(draw.works, Rule(life=share)) for share in INTERVALS}, has_heats)


def _best_look(draw: Draw, lives: dict[str, float], has_heats: bool) -> float:
    tried = {
        f"look from {first:g} at {spacing:g}, past {past:g}": _looks(draw.works, lives, first, spacing, past)
        for first, spacing, past in LOOKS
    }
    return _best(draw, tried, has_heats)


def _lives(works: Works) -> dict[str, float]:
    """Parts that an edge is expected to last, by operation and cutter."""
    edges, plan = edges_of(works), make_plan(works, next(iter(works.policies)))
    return {
        f"{row['operation']} / {row['cutter']}": float(row["parts_per_edge"])
        for row in set_table(works, plan, None).to_dict(orient="records")
        if row["cutter"] in edges and math.isfinite(row["parts_per_edge"])
    }


def _looks(works: Works, lives: dict[str, float], of_life: float, spacing: float, past: float) -> Policy:
    """Every edge is looked at from a share of its life on, whenever so much more of its expected life has gone by."""

    def rule(parts: float) -> Rule:
        every, first = max(1, round(spacing * parts)), max(1, round(of_life * parts))
        return Rule(check=Check(every=every, first=first, past_share=past, minutes=Spread(fixed=1.0), error=0.02))

    exceptions = {name: rule(parts) for name, parts in lives.items()}
    return one_rule(works, Rule(life=1.0)).model_copy(update={"exceptions": exceptions})


def _best(draw: Draw, tried: dict[str, Policy], has_heats: bool) -> float:
    """Contribution per hour of the best of some rules."""
    heats = has_heats and _has_heats(draw.works)
    words, change = (AS_IT_STANDS, as_it_is) if heats else ("without heats", without_heats)
    return max(draw.seen(f"{key}, {words}", change, policy).contribution for key, policy in tried.items())


def _looking(draw: Draw) -> Iterator[Pair]:
    lives = _lives(draw.works)
    if _has_heats(draw.works):
        fixed, looked = best_interval(draw), _best_look(draw, lives, has_heats=True)
        yield Pair(_WITH, keep("practice.what_looking"), draw.money, fixed, looked)
    looked, fixed = _best_look(draw, lives, has_heats=False), best_interval(draw, has_heats=False)
    yield Pair(keep("practice.of_no_heats"), keep("practice.what_not_looking"), draw.money, looked, fixed)


def _looking_here(works: Works, of: str, _earned: float) -> str:
    """What looks take at the busiest operation, and what there is to see; without heats it is the other way about."""
    if of != _WITH:
        return ""
    ways, edges = tuple((first, spacing) for first, spacing, _ in LOOKS), frozenset(edges_of(works))
    return one_after_another(looks_cost(works, ways, edges), heats_add(works, edges))


def _no_heats(works: Works) -> str:
    if not edges_of(works):
        return keep("practice.no_edges")
    return "" if _has_heats(works) else keep("practice.no_heats")


LOOKING = Claim(
    "f",
    _no_heats,
    _looking,
    _looking_here,
)
