"""Heat: growth of a size, a machine that warms up while it runs, a room that swings.

Sources: expansion and first-order warming are physics; growth of spindles 10 to 60 µm with 20 to 90 min is from memory;
ISO 1 names 20 °C.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def growth_um(size_mm: float, expansion_um_m_k: float, kelvin: float) -> float:
    """Growth of a size with temperature.

    Parameters
    ----------
    size_mm : float, mm
    expansion_um_m_k : float, µm/(m K)
        10.8 for iron, 11.5 for steel, 23 for aluminium.
    kelvin : float, K

    Returns
    -------
    float, µm

    >>> round(growth_um(240.0, 10.8, 8.0), 3)
    20.736
    """
    return size_mm * expansion_um_m_k * kelvin / 1000.0


@law
def kelvin_of_cut(heat_j: float, share: float, mass_kg: float, specific_j_kg_k: float) -> float:
    """How much warmer a cut makes the part, evenly all through: V e s / (m c).

    Parameters
    ----------
    heat_j : float, J
        Work of the cut, V e: metal taken off times specific energy. Nearly all of it becomes heat.
    share : float
        Of it that goes into the part, 0 to 1; 0.05 to 0.2 (from memory), the chips take the rest away.
    mass_kg : float, kg
        Of the part, above 0.
    specific_j_kg_k : float, J/(kg K)
        Specific heat, about 500 for iron.

    Returns
    -------
    float, K

    >>> round(kelvin_of_cut(3.9 * 200.0 * 430.0 * 2.0, 0.1, 60.0, 500.0), 4)
    2.236
    """
    return heat_j * share / (mass_kg * specific_j_kg_k)


@law
def room_kelvin(minute: float, swing_k: float, period_min: float) -> float:
    """By how much the room is too warm: -swing cos(2 pi t / period), coldest when the day begins.

    Parameters
    ----------
    minute, period_min : float, min
        Worked time; of one day.
    swing_k : float, K
        Half of the difference between the warmest and the coldest hour.

    >>> room_kelvin(240.0, 3.0, 480.0)
    3.0
    """
    return -swing_k * math.cos(2.0 * math.pi * minute / period_min)


@law
def warmth_after(warmth: float, minutes: float, target: float, tau_min: float) -> float:
    """Warmth of a machine after some minutes on its way to 1 while it runs, to 0 while it stands.

    Parameters
    ----------
    warmth : float
        At the beginning, 0 to 1.
    minutes : float, min
    target : float
        1 while running, 0 while standing.
    tau_min : float, min
        Time constant, above 0.

    Returns
    -------
    float

    >>> round(30.0 * (1.0 - warmth_after(0.0, 79.305, 1.0, 60.0)), 3)
    8.0
    """
    return target + (warmth - target) * math.exp(-minutes / tau_min)
