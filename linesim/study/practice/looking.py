"""The claim on looking at edges: it pays where heats of castings differ, and not where they do not."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import AS_IT_STANDS, Draw
from linesim.study.practice.sameness import edges_of, one_rule
from linesim.works import Works
from linesim.works.durations import Spread
from linesim.works.policies import Check, Rule

__all__ = ["INTERVALS", "LOOKING"]

INTERVALS = (0.5, 0.7, 0.9, 1.1)
"""Shares of life among which the best fixed interval is sought, one for all edges."""

LOOKS = tuple(Check(every=every, past_share=0.9, minutes=Spread(fixed=1.0), error=0.02) for every in (8, 25))
"""Ways of looking: a minute with a glass that reads to 0.02 mm, every 8 or every 25 parts."""


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
    return _best(draw, {f"life {share:g}": Rule(life=share) for share in INTERVALS}, has_heats)


def _best_look(draw: Draw, has_heats: bool) -> float:
    return _best(draw, {f"look every {check.every}": Rule(check=check) for check in LOOKS}, has_heats)


def _best(draw: Draw, tried: dict[str, Rule], has_heats: bool) -> float:
    """Contribution per hour of the best of some rules."""
    heats = has_heats and _has_heats(draw.works)
    words, change = (AS_IT_STANDS, lambda works: works) if heats else ("without heats", without_heats)
    return max(
        draw.seen(f"{key}, {words}", change, one_rule(draw.works, rule)).contribution for key, rule in tried.items()
    )


def _looking(draw: Draw) -> Iterator[Pair]:
    if _has_heats(draw.works):
        fixed, looked = best_interval(draw), _best_look(draw, has_heats=True)
        yield Pair("with heats", "earned: best interval < looking", draw.money, fixed, looked)
    looked, fixed = _best_look(draw, has_heats=False), best_interval(draw, has_heats=False)
    yield Pair("without heats", "earned: looking < best interval", draw.money, looked, fixed)


def _no_heats(works: Works) -> str:
    if not edges_of(works):
        return "no cutter that shows a wear land makes a described cut"
    return "" if _has_heats(works) else "castings do not come in heats that differ in how they wear edges"


LOOKING = Claim(
    "f",
    "Looking at edges pays where heats of castings differ, and not where they do not.",
    "One factor on edge life for all castings of a heat: edges of one heat are dull together",
    "Where edges differ from each other as much as heats do, looking pays without heats as well; where a look holds up "
    "the constraint for longer than the edges spared are worth, it never pays.",
    _no_heats,
    _looking,
)
