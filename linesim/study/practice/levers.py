"""The claim on levers: where an edge is aimed and what a gauge corrects are worth as much as the interval."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw, as_it_is
from linesim.study.practice.looking import best_interval
from linesim.study.practice.sameness import edges_of, one_rule
from linesim.works import Works
from linesim.works.policies import Policy, Rule
from linesim.works.setting import CorrectionChange
from linesim.works.walks import operations_of

__all__ = ["LEVERS"]

_FULL_LIFE = Rule(life=1.0)
"""From which both are counted: every edge at its full life, aimed at the surface, gauges as they are."""

SHARES = (0.3, 0.7)
BANDS = (0.0, 2.0)
"""Shares of the error read that gauges put on the offset, and dead bands as so many times the gauge's error."""

_SAME_ORDER = 3.0
"""Two gains are of one order if neither is more than so many times the other."""


def _corrections(works: Works, share: float, band: float) -> dict[str, CorrectionChange]:
    """What every gauge that corrects does with its readings, by operation and gauge."""
    return {
        f"{at.name} / {name}": CorrectionChange(share=share, dead_band=band * gauge.error)
        for at in operations_of(works)
        for name, gauge in at.operation.gauges.items()
        if gauge.corrects is not None
    }


def _aimed(works: Works, share: float | None = None, band: float = 0.0) -> Policy:
    """Every edge at its full life, centred on its drift, and gauges that correct so much; as they are unless said."""
    corrections = {} if share is None else _corrections(works, share, band)
    aims = dict.fromkeys(edges_of(works), "centred")
    return one_rule(works, _FULL_LIFE).model_copy(update={"aims": aims, "corrections": corrections})


def _levers(draw: Draw) -> Iterator[Pair]:
    works = draw.works
    start = _earned(draw, "full life", one_rule(works, _FULL_LIFE))
    tried = [_earned(draw, "full life, centred", _aimed(works))]
    if _corrections(works, 1.0, 0.0):
        tried += [
            _earned(draw, f"full life, centred, share {share:g}, band {band:g}", _aimed(works, share, band))
            for share in SHARES
            for band in BANDS
        ]
    by_levers, by_interval = max(tried) - start, best_interval(draw) - start
    third = "gain of {} > third of gain of {}"
    yield Pair("all edges", third.format("levers", "interval"), draw.money, by_interval / _SAME_ORDER, by_levers)
    yield Pair("all edges", third.format("interval", "levers"), draw.money, by_levers / _SAME_ORDER, by_interval)


def _earned(draw: Draw, key: str, policy: Policy) -> float:
    """Contribution per hour under a policy."""
    return draw.seen(key, as_it_is, policy).contribution


def _no_edges(works: Works) -> str:
    return "" if edges_of(works) else "no cutter that shows a wear land makes a described cut"


LEVERS = Claim(
    "l",
    "Aim and offset rule (edges centred on their drift, best share and dead band of the gauges) are worth as much as "
    "the best interval: one gain is at most three times the other.",
    "Drift of the edge over its interval, setting error, errors of gauges",
    "Where edges hardly drift or sizes have wide limits, the interval is what is left; where gauges already take the "
    "drift out, or edges break late, aims are.",
    _no_edges,
    _levers,
)
