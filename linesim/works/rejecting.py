"""What a scrapped part and turning one down cost: the one place for it, and losses at the limit that go by it."""

from __future__ import annotations

from typing import Any

from linesim.works.features import Feature, Roughness, Size
from linesim.works.losses import AsRejected
from linesim.works.model import Line, Works
from linesim.works.operations import Gauge
from linesim.works.placing import Limited
from linesim.works.types_of import casting_price_of_mix, margin_of_mix

__all__ = [
    "ENTRIES",
    "cost_of_rejecting",
    "lost_in_shift",
    "margin",
    "rejecting_gauge",
    "value_lost",
    "with_losses_as_rejected",
]

_TILT = ("squareness", "parallelism")
ENTRIES = ("size", "roughness", "position", *_TILT, "form")
"""Entries of a feature whose loss at the limit may be as much as rejecting costs."""


def value_lost(line: Line, operation: str) -> float:
    """What is lost with a part that becomes scrap behind an operation, money.

    Parameters
    ----------
    line : Line
        Of the part.
    operation : str
        Name of the last operation that the part has behind it.

    Returns
    -------
    float
        The value in the part less the scrap metal, 0 or more. The value grows in even steps over the operations from
        the casting's price to the worth of a finished part, as stock in process is commonly valued (no source); what
        the minutes of a bottleneck are worth is not in it. Of several part types it is the mean over the castings.
    """
    price, names = casting_price_of_mix(line), list(line.operations)
    done = (names.index(operation) + 1) / len(names)
    value = price + done * margin_of_mix(line)
    return max(0.0, value - line.casting.scrap_value)


def margin(line: Line) -> float:
    """What a good part brings beyond its casting, in the mean over the part types, money, 0 or more."""
    return margin_of_mix(line)


def lost_in_shift(line: Line, operation: str, constraint: str) -> float:
    """What a shift loses with a part scrapped at an operation, money.

    Unlike `value_lost`, which values stock, it asks what would have been sold: before the constraint another casting
    takes the part's turn; from the constraint on, a part is missing at the end.

    Parameters
    ----------
    line : Line
        Of the part.
    operation : str
        Where it was scrapped.
    constraint : str
        The operation that holds back the line.

    Returns
    -------
    float
        The casting less its scrap metal, and the margin where the part had got to the constraint.
    """
    names = list(line.operations)
    has_passed = names.index(operation) >= names.index(constraint)
    return casting_price_of_mix(line) - line.casting.scrap_value + (margin(line) if has_passed else 0.0)


def cost_of_rejecting(line: Line, operation: str, gauge: Gauge) -> float:
    """What a part turned down by a gauge costs: its salvage, or what is lost with it; nothing where it is only noted.

    Parameters
    ----------
    line : Line
        Of the part.
    operation : str
        Behind which the gauge stands.
    gauge : Gauge
        That turns it down.

    Returns
    -------
    float, money
    """
    if gauge.reject == "salvage":
        return gauge.salvage_cost
    return value_lost(line, operation) if gauge.reject == "scrap" else 0.0


def rejecting_gauge(line: Line, feature: str, component: str) -> tuple[str, str] | None:
    """Operation and name of the last gauge of a line that turns parts down for a component of a feature.

    Parameters
    ----------
    line : Line
    feature : str
        Name of one of its features.
    component : str
        Entry of the feature: size, roughness, position, squareness, parallelism or form.

    Returns
    -------
    tuple of str, or None
        What it lets pass is what leaves the line, so it counts where several read the same; None if there is none.
    """
    word = "tilt" if component in _TILT else component
    gauges = [
        (operation, name)
        for operation, spec in line.operations.items()
        for name, gauge in spec.gauges.items()
        if gauge.feature == feature and gauge.reject != "pass" and word in gauge.reads
    ]
    return gauges[-1] if gauges else None


def with_losses_as_rejected(works: Works) -> Works:
    """The works with an amount for each loss at a limit that is to be as much as rejecting costs there.

    Parameters
    ----------
    works : Works
        With or without such losses.

    Returns
    -------
    Works
        A copy where there are any. Where no gauge turns parts down for the component, a finished part is what is lost.
    """
    lines = {name: _priced(line) for name, line in works.lines.items()}
    if all(lines[name] is line for name, line in works.lines.items()):
        return works
    return works.model_copy(update={"lines": lines})


def _priced(line: Line) -> Line:
    features = {name: _with_loss(line, name, feature) for name, feature in line.features.items()}
    if all(features[name] is feature for name, feature in line.features.items()):
        return line
    return line.model_copy(update={"features": features})


def _with_loss(line: Line, name: str, feature: Feature) -> Feature:
    changes: dict[str, Any] = {}
    for component in ENTRIES:
        asked: Size | Roughness | Limited | None = getattr(feature, component)
        if asked is not None and isinstance(asked.loss_at_limit, AsRejected):
            loss = AsRejected(_cost_there(line, name, component))
            changes[component] = asked.model_copy(update={"loss_at_limit": loss})
    return feature.model_copy(update=changes) if changes else feature


def _cost_there(line: Line, feature: str, component: str) -> float:
    at = rejecting_gauge(line, feature, component)
    if at is None:
        return value_lost(line, list(line.operations)[-1])
    operation, gauge = at
    return cost_of_rejecting(line, operation, line.operations[operation].gauges[gauge])
