"""Cutting force by Kienzle's rule.

Kienzle: F_c = kc1.1 b h**(1 - m_c) with b the width and h the thickness of the chip. Source: O. Kienzle,
"Die Bestimmung von Kräften und Leistungen an spanenden Werkzeugen", VDI-Z 94 (1952), 299-305.
"""

from __future__ import annotations

import math

from linesim.law import law

THIN_CHIP_MM = 0.05
"""Chip thickness below which Kienzle's straight line in log-log runs low."""

THIN_CHIP_EXPONENT = 0.4
"""Least exponent below that thickness. Common practice after W. König and K. Essel, *Spezifische Schnittkraftwerte*
(1973), who give the range of thin chips an exponent of its own, about twice the usual one; from memory."""


@law
def milling_chip_thickness_mm(
    feed_mm_tooth: float, lead_angle_deg: float, width_mm: float, diameter_mm: float
) -> float:
    """Mean chip thickness of a centred face mill: fz sin(kappa) 2 ae / (D phi), phi = 2 asin(ae / D).

    Parameters
    ----------
    feed_mm_tooth : float, mm/tooth
        Feed per tooth fz.
    lead_angle_deg : float, degrees
        Angle kappa between edge and feed, above 0 to 90.
    width_mm, diameter_mm : float, mm
        Width of cut ae, above 0 to D, and cutter diameter D.

    Returns
    -------
    float, mm

    Notes
    -----
    Source: Palbit milling catalogue p. 128, as 360 fz ae sin(kappa) / (pi D phi in degrees).

    >>> round(milling_chip_thickness_mm(0.2, 45.0, 80.0, 125.0), 5)
    0.13032
    """
    engagement_rad = 2.0 * math.asin(width_mm / diameter_mm)
    full_mm = feed_mm_tooth * math.sin(math.radians(lead_angle_deg))
    return full_mm * 2.0 * width_mm / (diameter_mm * engagement_rad)


@law
def specific_force_n_mm2(kc11_n_mm2: float, mc: float, chip_thickness_mm: float) -> float:
    """Cutting force per area of chip: kc = kc1.1 h**(-m_c), steeper for thin chips.

    Parameters
    ----------
    kc11_n_mm2 : float, N/mm2
        Value for a chip of 1 mm by 1 mm.
    mc : float
        Kienzle's exponent, 0 to 1.
    chip_thickness_mm : float, mm
        Thickness h, above 0.

    Returns
    -------
    float, N/mm2

    Notes
    -----
    Below `THIN_CHIP_MM` the line bends without a jump: kc(0.05) (0.05 / h)**max(m_c, `THIN_CHIP_EXPONENT`). A
    clamp at 0.05 mm would make the force lower still, where it is known to be higher.

    >>> round(specific_force_n_mm2(1350.0, 0.28, 0.2), 1)
    2118.6
    """
    if chip_thickness_mm >= THIN_CHIP_MM:
        return kc11_n_mm2 * math.pow(chip_thickness_mm, -mc)
    at_bend_n_mm2 = kc11_n_mm2 * math.pow(THIN_CHIP_MM, -mc)
    return at_bend_n_mm2 * math.pow(THIN_CHIP_MM / chip_thickness_mm, max(mc, THIN_CHIP_EXPONENT))


@law
def cutting_force_n(specific_n_mm2: float, chip_width_mm: float, chip_thickness_mm: float) -> float:
    """Cutting force of one edge: kc b h.

    Parameters
    ----------
    specific_n_mm2 : float, N/mm2
        Specific force kc at this thickness.
    chip_width_mm, chip_thickness_mm : float, mm
        b and h.

    Returns
    -------
    float, N

    >>> cutting_force_n(2000.0, 3.0, 0.25)
    1500.0
    """
    return specific_n_mm2 * chip_width_mm * chip_thickness_mm
