"""Form and size: how stiffness, cutting force and the wear of the edge show on the part."""

from __future__ import annotations

import math

from linesim.law import law


@law
def series_stiffness_n_um(first_n_um: float, second_n_um: float) -> float:
    """Stiffness of two springs one behind the other: 1 / (1/k1 + 1/k2).

    Parameters
    ----------
    first_n_um, second_n_um : float, N/µm
        Above 0; infinite for a rigid member.

    Returns
    -------
    float, N/µm

    >>> series_stiffness_n_um(20.0, 20.0), series_stiffness_n_um(20.0, math.inf)
    (10.0, 20.0)
    """
    give_um_n = 1.0 / first_n_um + 1.0 / second_n_um
    return math.inf if give_um_n == 0.0 else 1.0 / give_um_n


@law
def round_section_mm4(diameter_mm: float) -> float:
    """Second moment of area of a round bar: pi d**4 / 64.

    Parameters
    ----------
    diameter_mm : float, mm
        Diameter d.

    Returns
    -------
    float, mm4

    >>> round(round_section_mm4(25.4), 1)
    20431.7
    """
    square_mm2 = diameter_mm * diameter_mm
    return math.pi * square_mm2 * square_mm2 / 64.0


@law
def bar_stiffness_n_um(diameter_mm: float, overhang_mm: float, modulus_n_mm2: float) -> float:
    """Stiffness at the end of a bar held at the other end: 3 E I / L**3.

    Parameters
    ----------
    diameter_mm, overhang_mm : float, mm
        Diameter d and free length L, above 0.
    modulus_n_mm2 : float, N/mm2
        Modulus of elasticity E.

    Returns
    -------
    float, N/µm

    Notes
    -----
    Source: beam theory; E. Isakov, *Cutting Tool Engineering*, July 2019, for boring bars.

    >>> round(bar_stiffness_n_um(25.0, 100.0, 210000.0), 2)
    12.08
    """
    cube_mm3 = overhang_mm * overhang_mm * overhang_mm
    return 3.0 * modulus_n_mm2 * round_section_mm4(diameter_mm) / cube_mm3 / 1000.0


@law
def line_bar_stiffness_n_um(diameter_mm: float, span_mm: float, modulus_n_mm2: float, are_ends_fixed: bool) -> float:
    """Stiffness at mid-span of a line-boring bar carried at both ends: 48 E I / L**3, or 192 with fixed ends.

    Parameters
    ----------
    diameter_mm, span_mm : float, mm
        Diameter d and distance L between the bearings.
    modulus_n_mm2 : float, N/mm2
        Modulus of elasticity E.
    are_ends_fixed : bool
        False for ends free to tilt in their bearings.

    Returns
    -------
    float, N/µm

    Notes
    -----
    Source: beam theory (from memory).

    >>> line_bar_stiffness_n_um(60.0, 800.0, 2e5, False) == 16.0 * bar_stiffness_n_um(60.0, 800.0, 2e5)
    True
    """
    factor = 64.0 if are_ends_fixed else 16.0
    return factor * bar_stiffness_n_um(diameter_mm, span_mm, modulus_n_mm2)


@law
def copying_factor(cutting_stiffness_n_um: float, stiffness_n_um: float) -> float:
    """Share of an error in the blank that a cut leaves behind: k_c / (k_c + k_m).

    Parameters
    ----------
    cutting_stiffness_n_um : float, N/µm
        Rise of the normal force with depth of cut k_c, 0 or more; infinite where the error found stays whole.
    stiffness_n_um : float, N/µm
        Static stiffness k_m of machine, fixture, tool and part together; above 0.

    Returns
    -------
    float
        0 to 1.

    Notes
    -----
    From y = F/k_m and F = k_c (a - y). Source: A. P. Sokolovsky (1946-52), A. A. Matalin, *Tekhnologiya
    mashinostroeniya*, "copying of blank errors" (both from memory).

    >>> copying_factor(5.0, 20.0)
    0.2
    """
    if math.isinf(cutting_stiffness_n_um):
        return 1.0
    return cutting_stiffness_n_um / (cutting_stiffness_n_um + stiffness_n_um)
