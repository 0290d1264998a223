"""The claim on grinding wheels: trued in good time is best, between each part and glazed."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw, as_it_is
from linesim.study.practice.sameness import wheels_of
from linesim.words import keep
from linesim.works import Works
from linesim.works.policies import Policy, Rule

__all__ = ["WHEELS"]

IN_GOOD_TIME = (0.2, 0.4, 0.7, 1.0)
"""Shares of life among which the best time to true a wheel is sought."""

GLAZED = 4.0
"""Share of life at which a wheel is surely glazed."""


def _wheels(draw: Draw) -> Iterator[Pair]:
    today = draw.today
    for wheel in wheels_of(draw.works):
        each = _earned(draw, today, wheel, "each part", Rule(parts=1))
        timely = max(_earned(draw, today, wheel, f"life {share:g}", Rule(life=share)) for share in IN_GOOD_TIME)
        glazed = _earned(draw, today, wheel, "glazed", Rule(life=GLAZED))
        yield Pair(wheel, keep("practice.what_each_part"), draw.money, each, timely)
        yield Pair(wheel, keep("practice.what_glazed"), draw.money, glazed, timely)


def _earned(draw: Draw, today: Policy, wheel: str, key: str, rule: Rule) -> float:
    """Contribution per hour with one wheel trued by a rule and all else as today."""
    exceptions = {name: each for name, each in today.exceptions.items() if name.split(" / ")[-1] != wheel}
    policy = today.model_copy(update={"exceptions": exceptions | {wheel: rule}})
    return draw.seen(f"{wheel} trued: {key}", as_it_is, policy).contribution


def _no_wheels(works: Works) -> str:
    return "" if wheels_of(works) else keep("practice.no_wheels")


WHEELS = Claim(
    "h",
    _no_wheels,
    _wheels,
)
