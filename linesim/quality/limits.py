"""From the drawing's figures to those of the model, and what missing them costs: the one place where this is done.

The model counts metal left on, e, µm per side; the drawing gives a size. With S the drawing's scale, a place measures
aim + S e / 1000 mm: a bore loses 2 µm of diameter for each µm left on per side, a face stands as much higher, a
pocket is as much shallower. A run-out reads 2 |e|, whichever side the axis has moved to.

Quality loss is Taguchi's: k (deviation)², k = A / Δ², with A the loss at the limit Δ away from the aim. Source:
Taguchi, Elsayed and Hsiang, *Quality Engineering in Production Systems*, McGraw-Hill 1989 (from memory).
"""

from __future__ import annotations

import math

from linesim.cutting.component import Component
from linesim.quality.taguchi import mean_weighted_square, nominal_factor, weighted_square
from linesim.works.features import Feature, Roughness, Scratch, Size
from linesim.works.placing import Limited

__all__ = [
    "aim_mm",
    "asked_of",
    "asked_square_um2",
    "cap_um2",
    "drawing_scale",
    "limits_um",
    "loss_factor",
    "loss_factor_roughness",
    "loss_factor_scratch",
    "loss_factor_size",
    "mean_roughness_loss",
    "per_side",
    "roughness_cap_um2",
    "roughness_weights",
    "scratch_cap_um2",
    "size_cap_um2",
]

_SCALE = {"bore": -2.0, "face": 1.0, "depth": -1.0, "position": 1.0, "run-out": 2.0}


def drawing_scale(feature: Feature) -> float:
    """How much the drawing's size grows for each µm of metal left on per side; signed.

    Returns
    -------
    float
        Bore -2, face +1, depth -1, position +1, run-out 2 (of the error's size).

    >>> drawing_scale(Feature(kind="bore"))
    -2.0
    """
    return _SCALE[feature.kind]


def aim_mm(feature: Feature) -> float:
    """Size that the line sets out to make, mm as the drawing reads it.

    Returns
    -------
    float, mm
        The aim given, else the middle of the limits; 0 for a run-out, and for a feature without a size.
    """
    if feature.size is None or feature.kind == "run-out":
        return 0.0
    low, high = feature.size.limits
    return (low + high) / 2.0 if feature.size.aim is None else feature.size.aim


def per_side(feature: Feature, limits_mm: tuple[float, float], aim_mm: float) -> tuple[float, float]:
    """Limits of the error, from those of the drawing.

    Parameters
    ----------
    feature : Feature
        Its kind says how the drawing reads it.
    limits_mm : tuple of two float, mm
        Lower and upper limit as the drawing gives them; of a run-out only the upper one counts.
    aim_mm : float, mm
        Size at which the error is 0.

    Returns
    -------
    tuple of two float, µm per side
        Least (cut away) and greatest (metal left on) error allowed.

    >>> low_um, high_um = per_side(Feature(kind="bore"), (87.992, 88.008), 88.0)
    >>> round(low_um, 6), round(high_um, 6)
    (-4.0, 4.0)
    """
    if feature.kind == "run-out":
        half_um = 1000.0 * limits_mm[1] / 2.0
        return -half_um, half_um
    first, second = (1000.0 * (limit - aim_mm) / drawing_scale(feature) for limit in limits_mm)
    return min(first, second), max(first, second)


def _distance_um(feature: Feature) -> float:
    """Distance from the aim to the limit at which the loss is reckoned, µm per side.

    That is the nearer limit; where the aim lies on one limit, the other.
    """
    assert feature.size is not None
    low_um, high_um = per_side(feature, feature.size.limits, aim_mm(feature))
    nearer, farther = sorted((-low_um, high_um))
    return nearer if nearer > 0.0 else farther


def loss_factor_size(feature: Feature) -> float:
    """Quality loss of one place for each square µm of error per side: k = A / Δ².

    Returns
    -------
    float, money per µm²
        Δ is the distance from the aim to the nearer limit (to the other one, if the aim lies on a limit; to the limit
        of a run-out), per side; 0 for a feature without a size.
    """
    return 0.0 if feature.size is None else nominal_factor(feature.size.loss_at_limit, _distance_um(feature))


def _roughness_factors(asked: Roughness) -> tuple[float, float]:
    """Loss for each square µm of Ra below and above its aim, money per µm²."""
    above = nominal_factor(asked.loss_at_limit, asked.high - asked.best)
    if asked.limits is None:
        return above, above
    smooth = asked.loss_at_limit if asked.loss_at_low_limit is None else asked.loss_at_low_limit
    return nominal_factor(smooth, asked.best - asked.low), above


def loss_factor_roughness(feature: Feature) -> float:
    """Quality loss of one place for each square µm of Ra's distance from its aim, money per µm².

    Returns
    -------
    float
        That of the rough side; of the smooth one where only that costs anything; 0 without a limit. What each side
        counts against it is `roughness_weights`. Where smaller is better, the aim is 0.
    """
    if feature.roughness is None:
        return 0.0
    below, above = _roughness_factors(feature.roughness)
    return above if above > 0.0 else below


def roughness_weights(feature: Feature) -> tuple[float, float]:
    """What a square below and above the aim of Ra counts, against `loss_factor_roughness`.

    >>> roughness_weights(Feature.model_validate({"roughness": {"limits": [1.0, 4.0], "aim": 3.0, "loss_at_limit": 1}}))
    (0.25, 1.0)
    """
    if feature.roughness is None or feature.roughness.limits is None:
        return 1.0, 1.0
    below, above = _roughness_factors(feature.roughness)
    if above > 0.0:
        return below / above, 1.0
    return 1.0, 0.0


def mean_roughness_loss(feature: Feature, mean_um: float, sigma: float) -> float:
    """Mean quality loss of one place whose Ra is lognormal.

    Parameters
    ----------
    feature : Feature
        With or without a limit.
    mean_um, sigma : float
        Of Ra, 0 or more; standard deviation of its logarithm.

    Returns
    -------
    float, money
        Without a cap.
    """
    if feature.roughness is None:
        return 0.0
    factor = loss_factor_roughness(feature)
    if feature.roughness.limits is None:
        return factor * mean_um**2 * math.exp(sigma**2)
    return factor * mean_weighted_square(mean_um, sigma, feature.roughness.best, *roughness_weights(feature))


def loss_factor_scratch(feature: Feature) -> float:
    """Quality loss of one place for each square µm of scratch depth, money per µm²; 0 without a limit."""
    asked = feature.scratch
    return 0.0 if asked is None else nominal_factor(asked.loss_at_limit, asked.limit)


def _cap_um2(cap: float | None, factor: float) -> float:
    return math.inf if cap is None or factor == 0.0 else cap / factor


def size_cap_um2(feature: Feature) -> float:
    """Square of the error, µm² per side, at which the loss of a place reaches its cap; infinite without one."""
    return _cap_um2(feature.size.loss_cap if feature.size else None, loss_factor_size(feature))


def roughness_cap_um2(feature: Feature) -> float:
    """Weighted square of Ra's distance from its aim, µm², at which the loss reaches its cap; infinite without one."""
    return _cap_um2(feature.roughness.loss_cap if feature.roughness else None, loss_factor_roughness(feature))


def scratch_cap_um2(feature: Feature) -> float:
    """Square of the scratch's depth, µm², at which the loss of a place reaches its cap; infinite without one."""
    return _cap_um2(feature.scratch.loss_cap if feature.scratch else None, loss_factor_scratch(feature))


def asked_of(feature: Feature, of: Component) -> Size | Roughness | Scratch | Limited | None:
    """What the drawing asks of a component of a feature; None where it asks for nothing."""
    asked = (feature.size, feature.roughness, feature.scratch, feature.position, feature.tilt, feature.form)
    return asked[of]


def limits_um(feature: Feature, of: Component) -> tuple[float, float]:
    """Limits of a component in the model's own terms: µm, of the size per side.

    Returns
    -------
    tuple of two float, µm
        Infinite where the drawing gives none; the lower one of what cannot be negative is 0.
    """
    asked = asked_of(feature, of)
    if isinstance(asked, Size):
        return per_side(feature, asked.limits, aim_mm(feature))
    if isinstance(asked, Roughness):
        return asked.low, asked.high
    high_um = math.inf if asked is None else asked.limit
    return (-high_um if of.is_signed else 0.0), high_um


def loss_factor(feature: Feature, of: Component) -> float:
    """Quality loss of one place for each square µm of a component, money per µm²; 0 where the drawing asks nothing."""
    asked = asked_of(feature, of)
    if isinstance(asked, Size):
        return loss_factor_size(feature)
    if isinstance(asked, Roughness):
        return loss_factor_roughness(feature)
    return 0.0 if asked is None else nominal_factor(asked.loss_at_limit, asked.limit)


def asked_square_um2(feature: Feature, of: Component, value_um: float) -> float:
    """Square of a component's distance from its aim, µm², as it counts against `loss_factor`."""
    if of is Component.ROUGHNESS and feature.roughness is not None:
        return weighted_square(value_um, feature.roughness.best, *roughness_weights(feature))
    return value_um * value_um


def cap_um2(feature: Feature, of: Component) -> float:
    """Square of a component, µm², at which the loss of a place reaches its cap; infinite without one."""
    asked = asked_of(feature, of)
    return _cap_um2(None if asked is None else asked.loss_cap, loss_factor(feature, of))
