"""What machined sizes mean in the engine: volumes, compression ratio, clearances, the line of a row of bores.

Sources: geometry; compression ratio (Vd + Vc) / Vc as in Heywood, *Internal Combustion Engine Fundamentals* (from
memory) and in any engine builder's handbook. Volumes are in cm³; a ratio of volumes takes any one unit.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

__all__ = [
    "clearance_volume_cm3",
    "compression_ratio",
    "compression_ratio_slope",
    "cylinder_volume_cm3",
    "largest_step_um",
    "off_line_um",
    "piston_clearance_mm",
    "spherical_cap_cm3",
]


def cylinder_volume_cm3(diameter_mm: float, height_mm: float) -> float:
    """Volume of a cylinder: swept volume from bore and stroke; gasket or deck gap from bore and height; a facing cut.

    Parameters
    ----------
    diameter_mm : float, mm
        0 or more.
    height_mm : float, mm
        Negative for what is taken away.

    Returns
    -------
    float, cm³

    >>> round(cylinder_volume_cm3(88.0, 94.0), 2)
    571.72
    """
    return math.pi / 4.0 * diameter_mm**2 * height_mm / 1000.0


def spherical_cap_cm3(radius_mm: float, depth_mm: float) -> float:
    """Volume of a chamber or dish cut as part of a sphere: π h² (3 r - h) / 3.

    Parameters
    ----------
    radius_mm : float, mm
        Radius of the sphere, above 0.
    depth_mm : float, mm
        Depth of the cap, 0 up to twice the radius.

    Returns
    -------
    float, cm³
        Elementary geometry: a depth of r is half the sphere.

    >>> round(spherical_cap_cm3(10.0, 20.0), 4) == round(4.0 / 3.0 * math.pi, 4)
    True
    """
    return math.pi * depth_mm**2 * (3.0 * radius_mm - depth_mm) / 3000.0


def clearance_volume_cm3(
    chamber: float, gasket: float = 0.0, deck_gap: float = 0.0, dish: float = 0.0, dome: float = 0.0
) -> float:
    """Volume left above the piston at the top: chamber + gasket + deck gap + dish - dome.

    Parameters
    ----------
    chamber, gasket, deck_gap, dish, dome : float, cm³
        The deck gap is negative if the piston stands proud.

    Returns
    -------
    float, cm³

    >>> clearance_volume_cm3(50.0, gasket=5.0, deck_gap=1.0, dish=2.0, dome=3.0)
    55.0
    """
    return chamber + gasket + deck_gap + dish - dome


def compression_ratio(swept: float, clearance: float) -> float:
    """Compression ratio (Vd + Vc) / Vc.

    Parameters
    ----------
    swept, clearance : float
        Swept and clearance volume in one unit; clearance above 0.

    >>> compression_ratio(90.0, 10.0)
    10.0
    """
    return (swept + clearance) / clearance


def compression_ratio_slope(swept: float, clearance: float) -> float:
    """Change of the compression ratio for each unit of clearance volume: -Vd / Vc².

    >>> compression_ratio_slope(90.0, 10.0)
    -0.9
    """
    return -swept / (clearance * clearance)


def piston_clearance_mm(bore_mm: float, piston_mm: float) -> float:
    """Clearance of a piston in its bore, mm on the diameter; negative if it does not go in.

    >>> piston_clearance_mm(88.0, 87.75)
    0.25
    """
    return bore_mm - piston_mm


def off_line_um(offsets_um: Sequence[float]) -> float:
    """How far the worst of a row of evenly spaced bores lies from the line through the two outer ones.

    Parameters
    ----------
    offsets_um : sequence of float, µm
        Where the axis of each bore lies against the intended line, in the order of the bores, in one direction.

    Returns
    -------
    float, µm
        0 for fewer than three bores.

    >>> off_line_um([0.0, 5.0, 4.0])
    3.0
    """
    last = len(offsets_um) - 1
    if last < 2:
        return 0.0
    first_um, slope = offsets_um[0], (offsets_um[-1] - offsets_um[0]) / last
    return max(abs(offset - first_um - slope * index) for index, offset in enumerate(offsets_um))


def largest_step_um(offsets_um: Sequence[float]) -> float:
    """Largest difference between neighbours of a row of bores, µm; 0 for fewer than two.

    >>> largest_step_um([0.0, 5.0, 4.0])
    5.0
    """
    return max((abs(after - before) for before, after in itertools.pairwise(offsets_um)), default=0.0)
