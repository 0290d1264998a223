"""Which part types a line makes, in which shares, and for which of them its features, operations and cuts are."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.works.model import Line
from linesim.works.operations import Gauge, Operation, Stroke
from linesim.works.part_types import PartType

__all__ = [
    "casting_price_of_mix", "casting_prices", "cut_types", "feature_types", "gauge_types", "has_worth", "margin_of_mix",
    "names_for", "shares_of", "type_names", "worth_of_mix", "worths", "worths_shipped_out",
]  # fmt: skip


def type_names(line: Line) -> tuple[str, ...]:
    """Names of the part types of a line; one without a name where all parts are alike."""
    return tuple(line.parts) or ("",)


def _types(line: Line) -> list[PartType]:
    return list(line.parts.values()) or [PartType()]


def shares_of(line: Line) -> list[float]:
    """Share of each part type in the castings of a line, as given or by the batches; they add up to 1."""
    types = _types(line)
    weights = [float(each.batch or 0) or each.share or 0.0 for each in types]
    total = sum(weights)
    return [weight / total for weight in weights] if total > 0.0 else [1.0 / len(types)] * len(types)


def worths(line: Line) -> list[float]:
    """What a good finished part of each type is worth, money."""
    return [line.worth if each.worth is None else each.worth for each in _types(line)]


def worths_shipped_out(line: Line) -> list[float]:
    """What a part of each type shipped out of the drawing is worth, money."""
    if isinstance(line.worth_out_of_drawing, str):
        return worths(line) if line.worth_out_of_drawing == "full" else [0.0] * len(_types(line))
    return [line.worth_out_of_drawing] * len(_types(line))


def casting_prices(line: Line) -> list[float]:
    """Price of one casting of each type, money."""
    return [line.casting.price if each.casting_price is None else each.casting_price for each in _types(line)]


def worth_of_mix(line: Line) -> float:
    """What a good finished part of a line is worth in the mean over its types, money."""
    return sum(share * worth for share, worth in zip(shares_of(line), worths(line), strict=True))


def casting_price_of_mix(line: Line) -> float:
    """Price of a casting of a line in the mean over its types, money."""
    return sum(share * price for share, price in zip(shares_of(line), casting_prices(line), strict=True))


def margin_of_mix(line: Line) -> float:
    """What a good part brings beyond its casting in the mean over the types, money; 0 for a type that brings less."""
    each = zip(shares_of(line), worths(line), casting_prices(line), strict=True)
    return sum(share * max(worth - price, 0.0) for share, worth, price in each)


def has_worth(line: Line) -> bool:
    """Whether a part of any type is worth anything."""
    return any(worth > 0.0 for worth in worths(line))


def names_for(line: Line, *only: Sequence[str]) -> tuple[str, ...]:
    """Types for which something is that lies within others; each says for which types it is, or nothing for all."""
    return tuple(name for name in type_names(line) if all(name in each for each in only if each))


def feature_types(line: Line, feature: str) -> tuple[str, ...]:
    """Types that have a feature."""
    return names_for(line, line.features[feature].only)


def cut_types(line: Line, operation: Operation, stroke: Stroke, cut: str) -> tuple[str, ...]:
    """Types for which a cut of an operation is made."""
    spec = stroke.cuts[cut]
    return names_for(line, operation.only, stroke.only, spec.only, line.features[spec.feature].only)


def gauge_types(line: Line, operation: Operation, gauge: Gauge) -> tuple[str, ...]:
    """Types that a gauge of an operation reads."""
    return names_for(line, operation.only, gauge.only, line.features[gauge.feature].only)
