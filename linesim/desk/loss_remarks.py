"""Losses at the limit held against the cost of rejecting there, and against what the customer would claim."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cutting.component import Component
from linesim.quality.consequences import producers_limit
from linesim.quality.limits import asked_of
from linesim.words import keep
from linesim.works.losses import AsRejected
from linesim.works.model import Line, Works
from linesim.works.operations import Gauge
from linesim.works.rejecting import ENTRIES, cost_of_rejecting, rejecting_gauge

__all__ = ["on_losses"]


def on_losses(works: Works) -> Iterator[str]:
    """Remark on each gauged component whose loss at the limit is below the cost of rejecting, or above a claim.

    The cost of rejecting is that of `linesim.works.rejecting`; a loss that is to be as much is told with its amount.
    Source: Taguchi 1986, pp. 17-19 (read in a
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
        yield from _on_losses_as_rejected(name, line)
        for operation_name, operation in line.operations.items():
            for gauge_name, gauge in operation.gauges.items():
                cost = cost_of_rejecting(line, operation_name, gauge)
                for word in gauge.reads:
                    yield from _on_loss(name, line, (gauge_name, gauge), Component[word.upper()], cost, claim)


def _on_losses_as_rejected(name: str, line: Line) -> Iterator[str]:
    """The amount of each loss that is to be as much as rejecting costs."""
    for feature_name, feature in line.features.items():
        for entry in ENTRIES:
            asked = getattr(feature, entry)
            if asked is None or not isinstance(asked.loss_at_limit, AsRejected):
                continue
            at = rejecting_gauge(line, feature_name, entry)
            where = keep("desk.reject_at", gauge=at[1]) if at else keep("desk.reject_finished")
            yield keep(
                "desk.loss_as_rejected", line=name, what=keep(f"characteristics.{entry}"), feature=feature_name,
                loss=asked.loss_at_limit, where=where,
            )  # fmt: skip


def _on_loss(
    name: str, line: Line, at: tuple[str, Gauge], of: Component, cost: float, claim: float | None
) -> Iterator[str]:
    gauge_name, gauge = at
    asked = asked_of(line.features[gauge.feature], of)
    loss = 0.0 if asked is None else asked.loss_at_limit
    if loss <= 0.0:
        return
    head = {"line": name, "what": keep(f"characteristics.{of.words}"), "feature": gauge.feature, "loss": loss}
    if loss < cost and not isinstance(loss, AsRejected):
        wider = producers_limit(1.0, loss, cost)
        yield keep("desk.wider", **head, gauge=gauge_name, cost=cost, wider=wider)
    if claim is not None and loss > claim:
        yield keep("desk.more_than_claim", **head, claim=claim)
