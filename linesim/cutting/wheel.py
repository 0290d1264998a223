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
"""By how much the contact stiffness has grown when the wheel has done its life, as a share (assumed)."""


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
def glazed_stiffness_n_um(dressed_n_um: float, life_share: float) -> float:
    """Contact stiffness of a wheel as it glazes, N/µm: k0 (1 + 2 V/V_life)."""
    return dressed_n_um * (1.0 + STIFFENING * life_share)


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
def ground_ra_um(dressed_um: float, glazed_um: float, removed_mm3: float, settling_mm3: float) -> float:
    """Roughness along a wheel's life: from the dressed figure to the glazed one, R_s + (R_d - R_s) exp(-V / V0).

    Parameters
    ----------
    dressed_um, glazed_um : float, µm
    removed_mm3, settling_mm3 : float, mm³
        Ground since dressing; V0, above 0.

    Returns
    -------
    float, µm

    >>> round(ground_ra_um(0.5, 0.8, 1.0, 1.0), 5)
    0.68964
    """
    return glazed_um + (dressed_um - glazed_um) * math.exp(-removed_mm3 / settling_mm3)


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
