"""The claim on dull edges: size, finish and form get worse with them, never better."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.sameness import edges_of, one_rule, set_exactly, unbreakable
from linesim.study.practice.seen import Seen
from linesim.works import Works
from linesim.works.policies import Rule
from linesim.works.walks import cuts_of

__all__ = ["DULL"]

FRESH, DULL_AT = 0.5, 2.0
"""Shares of life at which edges are changed that count as fresh and as dull."""

_SLACK = 0.05
"""By so large a share a figure may come out better with dull edges through the luck of one run."""

_WORSE = {"size": ("sd", "sd of size", "mm"), "roughness": ("mean", "Ra", "µm"), "form": ("mean", "form", "µm")}


def _dull(draw: Draw) -> Iterator[Pair]:
    fresh, dull = (_changed_at(draw, share) for share in (FRESH, DULL_AT))
    for line, feature in dict.fromkeys((at.at.line_name, at.cut.feature) for at in cuts_of(draw.works)):
        for characteristic, (figure, words, unit) in _WORSE.items():
            less, more = (seen.figure(line, feature, characteristic, figure) for seen in (fresh, dull))
            what = f"{words}: fresh <= dull"
            yield Pair(f"{line} / {feature}", what, unit, less, more, slack=_SLACK)
    turned_down = (100.0 * seen.rejects for seen in (fresh, dull))
    failing = (100.0 * seen.failures for seen in (fresh, dull))
    for of, what, (less, more) in (("tests", "turned down", turned_down), ("in the field", "failing", failing)):
        yield Pair(of, f"{what}: fresh <= dull", "%", less, more, slack=_SLACK)


def _changed_at(draw: Draw, share: float) -> Seen:
    policy = one_rule(draw.works, Rule(life=share))
    return draw.seen(f"edges changed at {share:g} of life, none breaks, all set exactly", edges_alone, policy)


def edges_alone(works: Works) -> Works:
    """The works whose edges dull but never break, and each of which is set exactly: nothing but dullness tells them."""
    return set_exactly(unbreakable(works))


def _no_edges(works: Works) -> str:
    return "" if edges_of(works) else "no cutter that shows a wear land makes a described cut"


DULL = Claim(
    "d",
    f"Dull edges (changed at {DULL_AT:g} of life instead of {FRESH:g}, none breaking, each set exactly) make size, "
    "finish and form worse, never better, and more parts fail at tests and in the field.",
    "Growth of roughness, force and recession of the edge with its wear land; strength that a test or the field asks",
    "Where a later cut makes the surface anew (a hone), or a gauge takes the drift out as it comes, dull edges before "
    "it change nothing that is seen. Errors of setting are left out here, as they come with changes, not with edges.",
    _no_edges,
    _dull,
)
