"""What one cut does to one place on a part: the law that both engines call.

The state of a place is four numbers: error (metal left on beyond the surface intended, per side; minus means cut away
too much), roughness, scratch, and whether its last cut cleaned it up.
"""

from __future__ import annotations

import math

from linesim.chance import Purpose, normal_from_uniform, uniforms
from linesim.cutting.form import copying_factor
from linesim.cutting.life import wear_growth
from linesim.cutting.surface import scratch_left_um, worn_ra_um
from linesim.law import law

_CUT = int(Purpose.CUT)


@law
def cut_place(
    error_um: float, roughness_um: float, scratch_um: float, is_clean: bool,  # noqa: ARG001 (see below)
    life_share: float, offset_um: float, shift_um: float,
    normal_repeat: float, normal_stress: float, normal_roughness: float,
    depth_mm: float, radial_force_n: float, cutting_stiffness_n_um: float, stiffness_n_um: float,
    force_growth: float, wear_limit_mm: float, wear_b: float, wear_tau: float, wear_gamma: float,
    tan_clearance: float, repeatability_um: float, stress_um: float,
    sharp_roughness_um: float, roughness_growth: float, roughness_power: float,
    roughness_sigma: float, roughness_floor_um: float,
) -> tuple[float, float, float, bool]:  # fmt: skip
    """State of a place after a cut, from its state before.

    Parameters
    ----------
    error_um, roughness_um, scratch_um : float, µm
        State before the cut.
    is_clean : bool
        State before the cut. A cut decides it afresh, so it does not bear on the result.
    life_share : float
        w of the edge: cutting minutes since sharp over its life, 0 or more.
    offset_um : float, µm
        Correction given to the tool, plus means it cuts deeper.
    shift_um : float, µm
        Displacement of the part in its fixture (a chip below it), plus leaves more metal on.
    normal_repeat, normal_stress, normal_roughness : float
        Standard normal draws for repeatability, stress let go, and roughness.
    depth_mm : float, mm
        Depth of cut a, above 0.
    radial_force_n : float, N
        Normal force of the sharp edge at this depth, F_r.
    cutting_stiffness_n_um, stiffness_n_um : float, N/µm
        k_c of the sharp edge, 0 or more; k_m of machine, fixture and part, above 0, infinite allowed.
    force_growth : float
        c_F, rise of the force by w = 1, as a share.
    wear_limit_mm : float, mm
        Wear land at w = 1.
    wear_b, wear_tau, wear_gamma : float
        Wear curve, see `linesim.cutting.life.wear_growth`.
    tan_clearance : float
        Tangent of the clearance angle.
    repeatability_um, stress_um : float, µm
        Standard deviations of repeatability and of the stress let go by this depth.
    sharp_roughness_um, roughness_growth, roughness_power, roughness_floor_um : float
        Roughness against wear, see `linesim.cutting.surface.worn_ra_um`.
    roughness_sigma : float
        Standard deviation of the logarithm of roughness; the scatter has mean 1.

    Returns
    -------
    tuple of float, float, float, bool
        Error, roughness and scratch after the cut in µm, and True. Where the metal is not there
        (1000 a + error <= 0) the cut does not clean up: the old surface now lies at 1000 a + error from the new
        intended one and keeps its roughness and scratch, and the last item is False.

    Notes
    -----
    With g = g(w) and k = k_c (1 + c_F g): error' = error k / (k + k_m) + F_r c_F g / k_m + 1000 VB tan(alpha)
    - offset + shift + scatter; Ra' = max(floor, sharp (1 + c_R g**q) exp(sigma z - sigma**2 / 2));
    scratch' = max(0, scratch - 1000 a). Sources: those of `form`, `life` and `surface`.
    """
    found_um = 1000.0 * depth_mm + error_um
    if found_um <= 0.0:
        return found_um, roughness_um, scratch_um, False
    growth = wear_growth(life_share, wear_b, wear_tau, wear_gamma)
    left_um, rough_um, scratch_left = place_after_cut(
        error_um, scratch_um, growth, offset_um, shift_um,
        normal_repeat, normal_stress, normal_roughness,
        depth_mm, radial_force_n, cutting_stiffness_n_um, stiffness_n_um,
        force_growth, wear_limit_mm, tan_clearance, repeatability_um, stress_um,
        sharp_roughness_um, roughness_growth, roughness_power,
        roughness_sigma, roughness_floor_um,
    )  # fmt: skip
    return left_um, rough_um, scratch_left, True


@law
def place_after_cut(
    error_um: float, scratch_um: float, growth: float, offset_um: float, shift_um: float,
    normal_repeat: float, normal_stress: float, normal_roughness: float,
    depth_mm: float, radial_force_n: float, cutting_stiffness_n_um: float, stiffness_n_um: float,
    force_growth: float, wear_limit_mm: float, tan_clearance: float, repeatability_um: float, stress_um: float,
    sharp_roughness_um: float, roughness_growth: float, roughness_power: float,
    roughness_sigma: float, roughness_floor_um: float,
) -> tuple[float, float, float]:  # fmt: skip
    """State of a place at which the cut found metal, once it is known how far the edge's wear has grown.

    Parameters
    ----------
    growth : float
        g(w), wear land over its limit, see `linesim.cutting.life.wear_growth`.
    error_um ... roughness_floor_um
        As for `cut_place`.

    Returns
    -------
    tuple of float, float, float
        Error, roughness and scratch after the cut, µm.
    """
    left_um = error_after_cut(
        error_um, growth, offset_um, shift_um, normal_repeat, normal_stress,
        radial_force_n, cutting_stiffness_n_um, stiffness_n_um,
        force_growth, wear_limit_mm, tan_clearance, repeatability_um, stress_um,
    )  # fmt: skip
    rough_um = roughness_after_cut(
        growth, normal_roughness, sharp_roughness_um, roughness_growth, roughness_power,
        roughness_sigma, roughness_floor_um,
    )  # fmt: skip
    return left_um, rough_um, scratch_left_um(scratch_um, depth_mm)


@law
def error_after_cut(
    error_um: float, growth: float, offset_um: float, shift_um: float, normal_repeat: float, normal_stress: float,
    radial_force_n: float, cutting_stiffness_n_um: float, stiffness_n_um: float,
    force_growth: float, wear_limit_mm: float, tan_clearance: float, repeatability_um: float, stress_um: float,
) -> float:  # fmt: skip
    """Error of a place after a cut that found metal, µm; arguments as for `place_after_cut`."""
    worn_n_um = cutting_stiffness_n_um * (1.0 + force_growth * growth)
    copied_um = copying_factor(worn_n_um, stiffness_n_um) * error_um
    pushed_um = radial_force_n * force_growth * growth / stiffness_n_um
    receded_um = 1000.0 * wear_limit_mm * growth * tan_clearance
    scatter_um = repeatability_um * normal_repeat + stress_um * normal_stress
    return copied_um + pushed_um + receded_um - offset_um + shift_um + scatter_um


@law
def roughness_after_cut(
    growth: float, normal_roughness: float, sharp_roughness_um: float, roughness_growth: float,
    roughness_power: float, roughness_sigma: float, roughness_floor_um: float,
) -> float:  # fmt: skip
    """Roughness of a place after a cut that found metal, µm; arguments as for `place_after_cut`."""
    scatter = math.exp(roughness_sigma * normal_roughness - 0.5 * roughness_sigma * roughness_sigma)
    rough_um = worn_ra_um(sharp_roughness_um, roughness_growth, growth, roughness_power, 0.0) * scatter
    return max(roughness_floor_um, rough_um)


@law
def cut_place_drawn(
    seed: int, replication: int, cut: int, serial: int, part: int,
    error_um: float, roughness_um: float, scratch_um: float, is_clean: bool,
    life_share: float, offset_um: float, shift_um: float,
    depth_mm: float, radial_force_n: float, cutting_stiffness_n_um: float, stiffness_n_um: float,
    force_growth: float, wear_limit_mm: float, wear_b: float, wear_tau: float, wear_gamma: float,
    tan_clearance: float, repeatability_um: float, stress_um: float,
    sharp_roughness_um: float, roughness_growth: float, roughness_power: float,
    roughness_sigma: float, roughness_floor_um: float,
) -> tuple[float, float, float, bool]:  # fmt: skip
    """As `cut_place`, with its three normals drawn for this cut of this part.

    Parameters
    ----------
    seed, replication : int
        Key of the run.
    cut : int
        Number of the cut in the routing.
    serial : int
        Serial number of the part.
    part : int
        Which place of the cut on this part (bore 0, 1, 2 ...), 0 or more.
    error_um ... roughness_floor_um
        As for `cut_place`.

    Returns
    -------
    tuple of float, float, float, bool
        As `cut_place`.

    Notes
    -----
    The first three of ``normals(seed, replication, Purpose.CUT, cut, serial, part)``, in the order repeatability,
    stress, roughness.
    """
    repeat, stress, rough, _ = uniforms(seed, replication, _CUT, cut, serial, part)
    return cut_place(
        error_um, roughness_um, scratch_um, is_clean,
        life_share, offset_um, shift_um,
        normal_from_uniform(repeat), normal_from_uniform(stress), normal_from_uniform(rough),
        depth_mm, radial_force_n, cutting_stiffness_n_um, stiffness_n_um,
        force_growth, wear_limit_mm, wear_b, wear_tau, wear_gamma,
        tan_clearance, repeatability_um, stress_um,
        sharp_roughness_um, roughness_growth, roughness_power,
        roughness_sigma, roughness_floor_um,
    )  # fmt: skip
