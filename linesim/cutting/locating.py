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
from typing import NamedTuple

from linesim.cutting.sizing import honed_form_um
from linesim.law import law

__all__ = [
    "BOW_CV",
    "Placing",
    "bow_um",
    "clamp_bend_um",
    "form_of_cut_um",
    "lift_in_middle_um",
    "own_form_um",
    "position_of_cut_um",
    "shift_by_pad_um",
    "size_moved_um",
    "spindle_hollow_um",
    "tilt_by_pad_um",
    "tilt_of_cut_um",
]


BOW_CV = 0.4
"""Scatter of the stress that layers of like depth let go, standard deviation over mean (assumed)."""


class Placing(NamedTuple):
    """What a cut does to how true a place lies. The compiled engine hands over a record with fields of these names.

    Every amount of a lift, a held fixture or a datum counts per µm of it. Only what the process sets anew moves with
    the part: where it follows the hole by a share, the rest of that share does.
    """

    left_position: float
    """Share of the position left; negative for the copying factor of the cut. Of tilt and form likewise."""
    left_tilt: float
    left_form: float
    lift_to_size: float
    """Size by which what lies under one pad cuts away too much; 0 for a bore."""
    lift_to_position: float
    """H / L for a bore."""
    lift_to_tilt: float
    """l / L."""
    held_to_size: float
    held_to_position: float
    """How far a fixture's error in position counts: for size or for position."""
    turned_to_size: float
    """How far a fixture's tilt over the pads counts for size; for position and tilt it counts as a lift."""
    datum_to_size: float
    datum_to_position: float
    datum_to_tilt: float
    datum_to_form: float
    """How far the tilt of the datum, or its form, counts."""
    own_position_um: float
    own_form_um: float
    bow_um: float
    room_um_k: float
    """Size cut away too much for each kelvin that the room is too warm."""
    led_form_um: float
    """Printed by the unsteady force of a blade that leads, where it cut the place in the same stroke."""
    wheel_form_um_min: float
    """Printed by a worn wheel, for each minute that it has ground since it was dressed."""
    honed_share: float
    """Form that a stone cannot but leave, see `linesim.cutting.sizing.honed_form_um`: how much of each µm taken it
    takes out at most; infinite where no stone cuts."""


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
def _left(share: float, copied: float) -> float:
    return copied if share < 0.0 else share


@law
def _set_anew(share: float) -> float:
    """Share of what moves the part that the cut takes over: all where it copies, the rest of what follows the hole."""
    return 1.0 if share < 0.0 else 1.0 - share


@law
def size_moved_um(
    cut: Placing, lift_um: float, held_um: float, turned_um: float, datum_tilt_um: float, room_k: float
) -> float:
    """What locating adds to the size: minus where the part stands too far into the cut.

    Parameters
    ----------
    cut : Placing
    lift_um : float, µm
        What lies under one pad.
    held_um, turned_um : float, µm
        Position and tilt of the fixture.
    datum_tilt_um : float, µm
        Tilt of the datum at this place.
    room_k : float, K
        By how much the room is warmer than it should be.

    Returns
    -------
    float, µm
    """
    held = cut.lift_to_size * lift_um + cut.held_to_size * held_um + cut.turned_to_size * turned_um
    return -(held + cut.datum_to_size * datum_tilt_um + cut.room_um_k * room_k)


@law
def position_of_cut_um(
    cut: Placing, copied: float, before_um: float, lift_um: float, held_um: float, datum_tilt_um: float, normal: float
) -> float:
    """Position after a cut: what the process leaves of it, what locating adds, and scatter.

    Parameters
    ----------
    cut : Placing
    copied : float
        Copying factor of the cut at the wear of its edge.
    before_um : float, µm
        Before the cut, signed.
    lift_um : float, µm
        What lies under one pad, the fixture's tilt over the pads with it.
    held_um, datum_tilt_um : float, µm
        Position of the fixture; tilt of the datum.
    normal : float
        Standard normal draw of the scatter.

    Returns
    -------
    float, µm
        p' = c p + h H/L + d + s z (three-pad locating, linear).
    """
    moved = cut.lift_to_position * lift_um + cut.held_to_position * held_um + cut.datum_to_position * datum_tilt_um
    left = _left(cut.left_position, copied) * before_um
    return left + _set_anew(cut.left_position) * moved + cut.own_position_um * normal


@law
def tilt_of_cut_um(cut: Placing, copied: float, before_um: float, lift_um: float, datum_tilt_um: float) -> float:
    """Tilt after a cut, t' = c t + h l/L + d; arguments as for `position_of_cut_um`."""
    moved = cut.lift_to_tilt * lift_um + cut.datum_to_tilt * datum_tilt_um
    return _left(cut.left_tilt, copied) * before_um + _set_anew(cut.left_tilt) * moved


@law
def form_of_cut_um(
    cut: Placing,
    copied: float,
    before_um: float,
    datum_form_um: float,
    bow_factor: float,
    printed_um: float,
    taken_um: float,
) -> float:
    """Form after a cut: the root of the sum of squares of what is left of the old and what is new.

    Parameters
    ----------
    cut : Placing
    copied : float
        Copying factor of the cut at the wear of its edge.
    before_um, datum_form_um : float, µm
        Form before, 0 or more; form of the datum, from which the part springs back.
    bow_factor : float
        By how much more or less stress is let go than on the average.
    printed_um : float, µm
        By a leading blade or a worn wheel, see `printed_form_um`.
    taken_um : float, µm
        Metal taken off here.

    Returns
    -------
    float, µm
    """
    kept_um = _left(cut.left_form, copied) * before_um
    if not math.isinf(cut.honed_share):
        kept_um = honed_form_um(before_um, taken_um, cut.honed_share, kept_um)
    sprung_um = cut.datum_to_form * datum_form_um
    new_um = own_form_um(cut.own_form_um, sprung_um, cut.bow_um * bow_factor)
    return math.sqrt(kept_um * kept_um + new_um * new_um + printed_um * printed_um)


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
