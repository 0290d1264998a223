"""What a card says of gauging: limits, offsets, the first part after a change."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cards.records import FirstPart, GaugeLine, Offset
from linesim.works.features import Feature
from linesim.works.gauge import Gauge
from linesim.works.model import Line
from linesim.works.operations import Operation
from linesim.works.policies import Policy

__all__ = ["first_part", "gauge_lines"]


def gauge_lines(line: Line, operation: Operation, name: str, policy: Policy) -> Iterator[GaugeLine]:
    """The gauges of an operation.

    Parameters
    ----------
    line : Line
        For its features.
    operation, name : Operation, str
        The operation.
    policy : Policy
        It may change what a gauge does with its readings.

    Yields
    ------
    GaugeLine
    """
    for key, gauge in operation.gauges.items():
        feature = line.features[gauge.feature]
        yield GaugeLine(
            key,
            gauge.feature,
            _every(gauge, name, key, policy),
            gauge.where,
            _limits(gauge, feature),
            tuple(_greatest(gauge, feature)),
            _offset(gauge, name, key, policy),
            gauge.tries,
            gauge.reject,
        )


def _limits(gauge: Gauge, feature: Feature) -> tuple[float, float] | None:
    """Limits of size at the gauge, mm."""
    limits = gauge.limits or (None if feature.size is None else feature.size.limits)
    if limits is None or "size" not in gauge.reads:
        return None
    band_mm = gauge.guard_band / 1000.0
    return limits[0] + band_mm, limits[1] - band_mm


def _greatest(gauge: Gauge, feature: Feature) -> Iterator[tuple[str, float]]:
    """What is read beside size, with the greatest figure allowed, µm."""
    if "roughness" in gauge.reads:
        own = gauge.roughness_limit or (gauge.roughness_limits or (0.0, 0.0))[1]
        asked = own or (0.0 if feature.roughness is None else feature.roughness.high)
        if asked:
            yield "Ra", asked
    if "position" in gauge.reads and feature.position is not None:
        yield "position", feature.position.limit
    if "tilt" in gauge.reads and feature.tilt is not None:
        yield ("squareness" if feature.parallelism is None else "parallelism"), feature.tilt.limit
    if "form" in gauge.reads and feature.form is not None:
        yield "form", feature.form.limit


def _every(gauge: Gauge, operation: str, name: str, policy: Policy) -> int:
    """One part in so many is read."""
    change = policy.corrections.get(f"{operation} / {name}", policy.corrections.get(name))
    return gauge.every if change is None or change.every is None else change.every


def _offset(gauge: Gauge, operation: str, name: str, policy: Policy) -> Offset | None:
    """What is put on an offset."""
    if gauge.corrects is None:
        return None
    change = policy.corrections.get(f"{operation} / {name}", policy.corrections.get(name))
    share = gauge.corrects.share if change is None or change.share is None else change.share
    band_um = gauge.corrects.dead_band if change is None or change.dead_band is None else change.dead_band
    return Offset(gauge.corrects.cut, share, band_um)


def first_part(operation: Operation) -> FirstPart | None:
    """What is done with the first part after a change; None if nothing."""
    first = operation.first_piece
    if first is None:
        return None
    after = () if first.after == "all" else tuple(first.after)
    return FirstPart(after, first.by or "", first.accept, first.tries, first.meanwhile == "stands")
