"""What the spread of a characteristic means in the engine: clearance, compression ratio, lips of a face."""

from __future__ import annotations

from typing import NamedTuple

from linesim.errors import StudyError
from linesim.quality.engine import compression_ratio_slope, cylinder_volume_cm3, piston_clearance_mm

__all__ = ["Cylinder", "Effect", "compression_effect", "piston_effect"]

_MOST_OF_ALL = 1.959963984540054
"""Standard deviations to either side within which 95 % of a normal distribution lie."""


class Cylinder(NamedTuple):
    """What must be known of the engine; no scenario says it.

    Attributes
    ----------
    bore_mm, stroke_mm : float
        Above 0.
    ratio : float
        Compression ratio as designed; above 1.
    """

    bore_mm: float
    stroke_mm: float
    ratio: float


class Effect(NamedTuple):
    """A figure of the engine, in the mean, and between what limits 95 in 100 engines lie (normal distribution)."""

    mean: float
    low: float
    high: float


def compression_effect(cylinder: Cylinder, mean_off_mm: float, sd_mm: float) -> Effect:
    """Compression ratio from the height of a deck, or the depth of a chamber, that is off its aim.

    Parameters
    ----------
    cylinder : Cylinder
        The engine as designed.
    mean_off_mm, sd_mm : float, mm
        How much too high the face is in the mean (too much room above the piston), and its standard deviation.

    Returns
    -------
    Effect

    Raises
    ------
    StudyError
        There is no such engine.

    Notes
    -----
    In first order: the slope of the ratio against the clearance volume, times bore area times height.

    >>> found = compression_effect(Cylinder(88.0, 100.0, 17.0), 0.0, 0.01)
    >>> round(found.mean, 2), round(found.high - found.mean, 3)
    (17.0, 0.05)
    """
    if min(cylinder.bore_mm, cylinder.stroke_mm) <= 0.0 or cylinder.ratio <= 1.0:
        raise StudyError("bore and stroke above 0 and a compression ratio above 1 were expected")
    swept = cylinder_volume_cm3(cylinder.bore_mm, cylinder.stroke_mm)
    slope = compression_ratio_slope(swept, swept / (cylinder.ratio - 1.0))
    per_mm = slope * cylinder_volume_cm3(cylinder.bore_mm, 1.0)
    mean, half = cylinder.ratio + per_mm * mean_off_mm, abs(per_mm) * _MOST_OF_ALL * sd_mm
    return Effect(mean, mean - half, mean + half)


def piston_effect(bore_mean_mm: float, bore_sd_mm: float, piston_mm: float) -> Effect:
    """Clearance of a piston, mm on the diameter; pistons are taken to be all alike.

    >>> round(piston_effect(88.0, 0.002, 87.92).mean, 4)
    0.08
    """
    mean, half = piston_clearance_mm(bore_mean_mm, piston_mm), _MOST_OF_ALL * bore_sd_mm
    return Effect(mean, mean - half, mean + half)
