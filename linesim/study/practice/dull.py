"""The claim on dull edges: size, finish and form get worse with them, never better."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.sameness import edges_of, one_rule, set_exactly, unbreakable
from linesim.study.practice.seen import Seen
from linesim.words import keep
from linesim.works import Works
from linesim.works.policies import Rule
from linesim.works.walks import cuts_of

__all__ = ["DULL"]

FRESH, DULL_AT = 0.5, 2.0
"""Shares of life at which edges are changed that count as fresh and as dull."""

_SLACK = 0.05
"""By so large a share a figure may come out better with dull edges through the luck of one run."""

_WORSE = {"size": ("sd", "mm"), "roughness": ("mean", "µm"), "form": ("mean", "µm")}


def _dull(draw: Draw) -> Iterator[Pair]:
    fresh, dull = (_changed_at(draw, share) for share in (FRESH, DULL_AT))
    for line, feature in dict.fromkeys((at.at.line_name, at.cut.feature) for at in cuts_of(draw.works)):
        for characteristic, (figure, unit) in _WORSE.items():
            less, more = (seen.figure(line, feature, characteristic, figure) for seen in (fresh, dull))
            what = keep(f"practice.dull_{characteristic}")
            yield Pair(f"{line} / {feature}", what, unit, less, more, slack=_SLACK)
    turned_down = (100.0 * seen.rejects for seen in (fresh, dull))
    failing = (100.0 * seen.failures for seen in (fresh, dull))
    for of, (less, more) in (("tests", turned_down), ("field", failing)):
        yield Pair(keep(f"practice.of_{of}"), keep(f"practice.dull_{of}"), "%", less, more, slack=_SLACK)


def _changed_at(draw: Draw, share: float) -> Seen:
    policy = one_rule(draw.works, Rule(life=share))
    return draw.seen(f"edges changed at {share:g} of life, none breaks, all set exactly", edges_alone, policy)


def edges_alone(works: Works) -> Works:
    """The works whose edges dull but never break, and each of which is set exactly: nothing but dullness tells them."""
    return set_exactly(unbreakable(works))


def _no_edges(works: Works) -> str:
    return "" if edges_of(works) else keep("practice.no_edges")


DULL = Claim(
    "d",
    _no_edges,
    _dull,
    figures={"dull": DULL_AT, "fresh": FRESH},
)
