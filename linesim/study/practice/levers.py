"""The claim on levers: where an edge is aimed and what a gauge corrects are worth at least as much as the interval."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw, as_it_is
from linesim.study.practice.looking import best_interval
from linesim.study.practice.sameness import edges_of, one_rule
from linesim.words import keep
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
    yield Pair(keep("practice.of_edges"), keep("practice.what_levers"), draw.money, by_interval, by_levers)


def _earned(draw: Draw, key: str, policy: Policy) -> float:
    """Contribution per hour under a policy."""
    return draw.seen(key, as_it_is, policy).contribution


def _no_edges(works: Works) -> str:
    return "" if edges_of(works) else keep("practice.no_edges")


LEVERS = Claim(
    "l",
    _no_edges,
    _levers,
)
