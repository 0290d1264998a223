"""The conditions of a cut: all that the law of the cut needs to know of it."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["CutConditions"]


class CutConditions(NamedTuple):
    """One cut of one feature. The compiled engine hands over its own record of the cut, with fields of these names."""

    depth_mm: float
    """Depth of cut a, above 0."""
    radial_force_n: float
    """Normal force of the sharp edge at this depth, F_r."""
    cutting_stiffness_n_um: float
    """k_c of the sharp edge, 0 or more."""
    stiffness_n_um: float
    """k_m of machine, fixture and part, above 0; infinite allowed."""
    wear_force_n: float
    """What the worn edge presses on the work with by w = 1, beside the force of the chip."""
    wear_limit_mm: float
    """Wear land at w = 1."""
    wear_b: float
    """Wear curve, see `linesim.cutting.life.wear_growth`."""
    wear_tau: float
    wear_gamma: float
    tan_clearance: float
    """Tangent of the clearance angle."""
    repeatability_um: float
    """Standard deviation of the machine's return."""
    stress_um: float
    """Standard deviation of the stress let go by this depth."""
    sharp_roughness_um: float
    """Ra of the sharp edge."""
    roughness_growth: float
    """Roughness against wear, see `linesim.cutting.surface.worn_ra_um`."""
    roughness_power: float
    roughness_sigma: float
    """Standard deviation of the logarithm of roughness; the scatter has mean 1."""
    roughness_floor_um: float
    """Finest Ra that the process gives."""
    glazed_roughness_um: float = 0.0
    """Grinding: Ra of the glazed wheel; 0 where roughness follows the wear of an edge."""
    settling_share: float = 1.0
    """Grinding: life share by which roughness has gone 63 % of the way to the glazed figure."""
    wear_slope_n_um: float = 0.0
    """By how much the worn edge's press grows with the depth, by w = 1."""
    roughness_past: float = 0.0
    """Second term of the rise of roughness, past the limit."""
    least_metal_um: float = 0.0
    """Metal below which a sharp edge rubs and does not cut; 0 where it always cuts."""
    least_metal_rise_um: float = 0.0
    """By how much that rises by w = 1."""
