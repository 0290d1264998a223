"""Losses at the limit held against the cost of rejecting there, and against what the customer would claim."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cutting.component import Component
from linesim.quality.consequences import producers_limit
from linesim.quality.limits import asked_of
from linesim.works.model import Line, Works
from linesim.works.operations import Gauge

__all__ = ["on_losses"]


def on_losses(works: Works) -> Iterator[str]:
    """Remark on each gauged component whose loss at the limit is below the cost of rejecting, or above a claim.

    The cost of rejecting is the salvage of the gauge, or the casting less its scrap value; the work put in so far and
    the place in the line are left out, so that the true one is greater. Source: Taguchi 1986, pp. 17-19 (read in a
    printed summary): below it, money itself would widen the limit by the root of their ratio.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    str
    """
    for name, line in works.lines.items():
        claim = max((failure.cost for failure in line.later.field.values()), default=None)
        for operation in line.operations.values():
            for gauge_name, gauge in operation.gauges.items():
                for word in gauge.reads:
                    yield from _on_loss(name, line, gauge_name, gauge, Component[word.upper()], claim)


def _on_loss(name: str, line: Line, gauge_name: str, gauge: Gauge, of: Component, claim: float | None) -> Iterator[str]:
    asked = asked_of(line.features[gauge.feature], of)
    loss = 0.0 if asked is None else asked.loss_at_limit
    if loss <= 0.0:
        return
    rejecting = {"salvage": gauge.salvage_cost, "scrap": line.casting.price - line.casting.scrap_value}
    cost = rejecting.get(gauge.reject, 0.0)
    head = f'{name}: the {of.words} of "{gauge.feature}" loses {loss:g} at its limit'
    if loss < cost:
        wider = producers_limit(1.0, loss, cost)
        at = f'"{gauge_name}" costs {cost:g}'
        yield f"{head}, but rejecting it at {at}: money would rather have a limit {wider:.2f} times as wide."
    if claim is not None and loss > claim:
        yield f"{head}, more than the {claim:g} that a failure in the field costs."
