"""Where a cut comes to lie on the part: what lies under a locating pad, what the datum passes on, what clamping bends.

A place has, beside its size, a position (off its axis or datum, one direction), a tilt (over its length) and a form
(roundness and taper, flatness). A chip under one of two pads tilts what is cut; it does not change a bore's size.

Sources: three-pad locating in the form of Zhou, Huang and Shi, IEEE Trans. Robotics Autom. 19 (2003) 296 (abstract
read), held against the three-station part of Abellan-Nebot et al., J. Manuf. Sci. Eng. 134 (2012) 021002 (within 1 µm
of its printed predictions; 8 to 19 µm from what was measured). What each process corrects is from the trade: boring
corrects an axis, a reamer follows it (read in trade pages); shares other than 1 and the copying factor are assumed.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def tilt_by_pad_um(lift_um: float, length_mm: float, pads_mm: float) -> float:
    """Tilt over a feature's length from one pad lifted: h l / L.

    Parameters
    ----------
    lift_um : float, µm
        What lies under one locating pad.
    length_mm, pads_mm : float, mm
        Length of the feature; distance of the pads L, above 0.

    Returns
    -------
    float, µm

    >>> tilt_by_pad_um(40.0, 165.0, 300.0)
    22.0
    """
    return lift_um * length_mm / pads_mm


@law
def shift_by_pad_um(lift_um: float, height_mm: float, pads_mm: float) -> float:
    """Sideways shift of an axis at a height above the pads: h H / L."""
    return lift_um * height_mm / pads_mm


@law
def lift_in_middle_um(lift_um: float) -> float:
    """How far the middle of three pads is lifted by what lies under one of them: a third."""
    return lift_um / 3.0


@law
def placed_after_cut_um(before_um: float, left: float, moved_um: float, scatter_um: float) -> float:
    """Position or tilt of a place after a cut: what the process leaves of it, what locating adds, and scatter.

    Parameters
    ----------
    before_um : float, µm
        Position or tilt before the cut, signed.
    left : float
        Share that the process leaves: the copying factor for boring and milling, 1 for what follows the hole.
    moved_um, scatter_um : float, µm
        From pads, datum and fixture; the drawn scatter.

    Returns
    -------
    float, µm
    """
    return left * before_um + moved_um + scatter_um


@law
def form_after_cut_um(before_um: float, left: float, own_um: float, unsteady_um: float) -> float:
    """Form of a place after a cut: the root of the sum of squares of what is left of the old and what is new.

    Parameters
    ----------
    before_um : float, µm
        Form before, 0 or more.
    left : float
        Share that the process leaves.
    own_um : float, µm
        Of the process, clamping and stress let go together, see `own_form_um`.
    unsteady_um : float, µm
        Printed by the unsteady force of a leading blade, see `linesim.cutting.bar.unsteady_um`.

    Returns
    -------
    float, µm
    """
    kept_um = left * before_um
    return math.sqrt(kept_um * kept_um + own_um * own_um + unsteady_um * unsteady_um)


@law
def own_form_um(process_um: float, clamp_um: float, bow_um: float) -> float:
    """New form of a cut whatever it found: of the process, of the clamp, and of stress let go, root of squares."""
    return math.sqrt(process_um * process_um + clamp_um * clamp_um + bow_um * bow_um)


@law
def clamp_bend_um(force_n: float, stiffness_n_um: float) -> float:
    """How far a part springs back when it is let go: cut true while bent, F / k.

    Parameters
    ----------
    force_n : float, N
        Clamping force.
    stiffness_n_um : float, N/µm
        Of the part where it is clamped, above 0.

    Returns
    -------
    float, µm
        Typically 5 to 30 (from memory).

    >>> clamp_bend_um(8000.0, 800.0)
    10.0
    """
    return force_n / stiffness_n_um


@law
def bow_um(stress_n_mm2: float, depth_mm: float, length_mm: float, height_mm: float, modulus_n_mm2: float) -> float:
    """Bow of a part when the stress in a layer taken off one side is let go: 3/4 sigma a F**2 / (E H**2).

    Parameters
    ----------
    stress_n_mm2 : float, N/mm²
        Residual stress of the casting; 20 to 60 in unaged iron (from memory).
    depth_mm, length_mm, height_mm : float, mm
        Layer taken off; length of the face; height of the part, well above the layer.
    modulus_n_mm2 : float, N/mm²
        About 110 000 for grey iron.

    Returns
    -------
    float, µm
        Beam theory for a thin layer; 10 % too small for 3 mm off 95 mm.

    >>> round(bow_um(30.0, 3.0, 430.0, 240.0, 110000.0), 4)
    1.9698
    """
    over = length_mm / height_mm
    return 1000.0 * 0.75 * stress_n_mm2 * depth_mm * over * over / modulus_n_mm2


@law
def spindle_hollow_um(tilt_um_per_m: float, diameter_mm: float, width_mm: float) -> float:
    """Hollow that a tilted mill leaves: alpha (D/2 - sqrt(D**2/4 - a_e**2/4)).

    Parameters
    ----------
    tilt_um_per_m : float, µm/m
    diameter_mm, width_mm : float, mm
        Of the mill; of the cut, at most the diameter.

    Returns
    -------
    float, µm

    >>> round(spindle_hollow_um(100.0, 250.0, 200.0), 6)
    5.0
    """
    half_mm = 0.5 * diameter_mm
    return tilt_um_per_m * (half_mm - math.sqrt(half_mm * half_mm - 0.25 * width_mm * width_mm)) / 1000.0
