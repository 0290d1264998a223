"""A grinding wheel between two dressings: it wears into depth and form, its face glazes, less is sparked out.

Sources: wear by the grinding ratio G (20 to 80) and the burn limit after Malkin 1978 (from memory, arithmetic
checked); a normal force that doubles to trebles between dressings (from memory). The share of the wear that goes to
form and the growth of the contact stiffness are assumptions.
"""

from __future__ import annotations

import math

from linesim.law import law

FORM_SHARE = 0.3
"""Share of a wheel's wear that shows as form (assumed)."""

STIFFENING = 2.0
"""By how much the contact stiffness has grown when the wheel has done its life, as a share (assumed): k0 (1 + 2 w)."""


@law
def wheel_wear_um(removed_mm3: float, g_ratio: float, diameter_mm: float, width_mm: float) -> float:
    """Radial wear of a wheel over the width that cuts: V / (G pi D b).

    Parameters
    ----------
    removed_mm3 : float, mm³
        Metal ground since it was dressed.
    g_ratio : float
        Metal ground over wheel lost.
    diameter_mm, width_mm : float, mm
        Of the wheel; of the ground band.

    Returns
    -------
    float, µm

    >>> round(wheel_wear_um(28.274, 20.0, 45.0, 1.5), 3)
    6.667
    """
    return 1000.0 * removed_mm3 / (g_ratio * math.pi * diameter_mm * width_mm)


@law
def left_by_spark_out(minutes: float, tau_min: float, life_share: float) -> float:
    """Share of the deflection that sparking out leaves: exp(-t / tau), tau growing with the wheel's force.

    Parameters
    ----------
    minutes, tau_min : float, min
        Of sparking out; time constant of a fresh wheel, above 0.
    life_share : float
        Metal ground since dressing over the wheel's life between dressings.

    Returns
    -------
    float

    >>> round(left_by_spark_out(3.0, 1.0, 0.0), 6)
    0.049787
    """
    return math.exp(-minutes / (tau_min * (1.0 + 0.5 * STIFFENING * life_share)))


@law
def not_sparked_out_um(infeed_um_min: float, minutes: float, tau_min: float, life_share: float) -> float:
    """Metal left on because the wheel has not sparked out, beyond what a fresh wheel leaves, which is set out: µm.

    Parameters
    ----------
    infeed_um_min : float, µm/min
        Rate at which the wheel was fed before.
    minutes, tau_min, life_share
        As for `left_by_spark_out`; a time constant of 0 leaves nothing.

    Notes
    -----
    At a steady infeed the wheel lags by rate x time constant, which is its force over the stiffness (derived).

    >>> not_sparked_out_um(120.0, 0.05, 1.0 / 60.0, 0.0)
    0.0
    """
    if tau_min <= 0.0:
        return 0.0
    lag_um = infeed_um_min * tau_min
    glazed_um = lag_um * (1.0 + 0.5 * STIFFENING * life_share) * left_by_spark_out(minutes, tau_min, life_share)
    return glazed_um - lag_um * left_by_spark_out(minutes, tau_min, 0.0)


@law
def ground_ra_um(dressed_um: float, glazed_um: float, life_share: float, settling_share: float) -> float:
    """Roughness along a wheel's life: from the dressed figure to the glazed one, R_s + (R_d - R_s) exp(-V / V0).

    Parameters
    ----------
    dressed_um, glazed_um : float, µm
    life_share, settling_share : float
        Metal ground since dressing, and V0 above 0, both over the wheel's life between dressings.

    Returns
    -------
    float, µm

    >>> round(ground_ra_um(0.5, 0.8, 1.0, 1.0), 5)
    0.68964
    """
    return glazed_um + (dressed_um - glazed_um) * math.exp(-life_share / settling_share)


@law
def glazed_until(energy_j_mm3: float, dressed_j_mm3: float) -> float:
    """Life share of a wheel at which it takes a specific energy, which grows with the flats on its grits (assumed).

    Parameters
    ----------
    energy_j_mm3, dressed_j_mm3 : float, J/mm³
        The energy asked about; that of the freshly dressed wheel, above 0.

    Returns
    -------
    float
        0 where it takes as much from the beginning. From dressed to glazed the energy doubles, as the force does.

    >>> glazed_until(40.0, 20.0)
    1.0
    """
    return max(0.0, (energy_j_mm3 / dressed_j_mm3 - 1.0) / (0.5 * STIFFENING))


@law
def burn_energy_j_mm3(diameter_mm: float, depth_mm: float, work_mm_s: float) -> float:
    """Specific energy over which steel burns: 6.2 + 7.2 d**0.25 a**-0.75 v**-0.5; a warning only, iron burns less.

    Parameters
    ----------
    diameter_mm, depth_mm : float, mm
        Equivalent wheel diameter; depth of a pass.
    work_mm_s : float, mm/s
        Speed of the work.

    Returns
    -------
    float, J/mm³

    >>> round(burn_energy_j_mm3(200.0, 0.02, 200.0), 1)
    42.2
    """
    return float(6.2 + 7.2 * diameter_mm**0.25 * depth_mm**-0.75 * work_mm_s**-0.5)
