"""The equation of the error of a cut: its terms, its value, and its mean and variance.

With g = g(w), F_w what the worn edge presses with by w = 1, h the cutting force of the casting's heat over the average
and k = h (k_c + g dF_w/da): error' = error k / (k + k_m) + (h F_w g + (h - 1) F_r) / k_m + 1000 VB tan(alpha) - offset
+ shift + scatter. It is linear in the error found, so that an error that is a sum of parts stays one, and mean and
variance follow from those before the cut.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.cutting.conditions import CutConditions
from linesim.cutting.form import copying_factor
from linesim.law import law

__all__ = [
    "ErrorMoments",
    "copied_share",
    "error_after_cut",
    "error_left_um",
    "least_metal_um",
    "metal_met_um",
    "moments_after_cut",
    "pushed_um",
    "receded_um",
    "repeated_um",
    "stressed_um",
    "worn_um",
]

Floats = npt.NDArray[np.float64]


@law
def metal_met_um(cut: CutConditions, error_um: float, is_recut: bool) -> float:
    """Metal that stands before the cut, µm; 0 or less if it is not there. A recut is set no deeper than before."""
    depth_mm = 0.0 if is_recut else cut.depth_mm
    return 1000.0 * depth_mm + error_um


@law
def least_metal_um(cut: CutConditions, growth: float) -> float:
    """Metal below which the edge rubs and does not cut, µm: rises in a straight line with the wear land."""
    return cut.least_metal_um + cut.least_metal_rise_um * growth


@law
def copied_share(cut: CutConditions, growth: float, force_share: float) -> float:
    """Share of the error found that the cut leaves, µ = h k / (h k + k_m), at a wear growth g."""
    slope_n_um = (cut.cutting_stiffness_n_um + cut.wear_slope_n_um * growth) * force_share
    return copying_factor(slope_n_um, cut.stiffness_n_um)


@law
def pushed_um(cut: CutConditions, growth: float, force_share: float) -> float:
    """How far the edge is pushed away beyond a sharp one in an average casting, (h F_w g + (h - 1) F_r) / k_m, µm."""
    worn_um = cut.wear_force_n * growth / cut.stiffness_n_um
    if force_share == 1.0:
        return worn_um
    return worn_um * force_share + cut.radial_force_n * (force_share - 1.0) / cut.stiffness_n_um


@law
def receded_um(cut: CutConditions, growth: float) -> float:
    """By how much the worn edge has drawn back, 1000 VB tan(alpha), µm."""
    return 1000.0 * cut.wear_limit_mm * growth * cut.tan_clearance


@law
def worn_um(cut: CutConditions, growth: float) -> float:
    """What wear adds to the error in all, in a casting of average force, µm."""
    return pushed_um(cut, growth, 1.0) + receded_um(cut, growth)


@law
def repeated_um(cut: CutConditions, normal_repeat: float) -> float:
    """How far the machine misses its setting, µm."""
    return cut.repeatability_um * normal_repeat


@law
def stressed_um(cut: CutConditions, normal_stress: float, is_recut: bool) -> float:
    """How far the part moves as it lets go of stress, µm; a recut lets none go."""
    return (0.0 if is_recut else cut.stress_um) * normal_stress


@law
def error_after_cut(
    cut: CutConditions,
    growth: float,
    error_um: float,
    offset_um: float,
    moved_um: float,
    normal_repeat: float,
    normal_stress: float,
    is_recut: bool,
    force_share: float,
) -> float:
    """Error of a place after a cut that found metal, µm.

    Parameters
    ----------
    cut : CutConditions
        What the cut is.
    growth : float
        g(w), wear land over its limit, see `linesim.cutting.life.wear_growth`.
    error_um, offset_um, moved_um, normal_repeat, normal_stress, is_recut, force_share
        As for `linesim.cutting.step.cut_place`.
    """
    copied = copied_share(cut, growth, force_share)
    return error_left_um(
        cut, growth, copied, error_um, offset_um, moved_um, normal_repeat, normal_stress, is_recut, force_share
    )


@law
def error_left_um(
    cut: CutConditions,
    growth: float,
    copied: float,
    error_um: float,
    offset_um: float,
    moved_um: float,
    normal_repeat: float,
    normal_stress: float,
    is_recut: bool,
    force_share: float,
) -> float:
    """As `error_after_cut`, for who knows already what share of the error the cut leaves, `copied_share`; µm."""
    scatter_um = repeated_um(cut, normal_repeat) + stressed_um(cut, normal_stress, is_recut)
    pushed = pushed_um(cut, growth, force_share)
    left_um = copied * error_um + pushed + receded_um(cut, growth)
    left_um = left_um - offset_um + moved_um + scatter_um
    return min(left_um, error_um) if is_recut else left_um


class ErrorMoments(NamedTuple):
    """The error of a place over many parts."""

    mean_um: float
    variance_um2: float


def moments_after_cut(
    before: ErrorMoments,
    cut: CutConditions,
    growths: Floats,
    held_um: float | None = None,
    band_um: float = 0.0,
    added_um: Floats | None = None,
) -> ErrorMoments:
    """Mean and variance of the error after a cut that always finds metal.

    Parameters
    ----------
    before : ErrorMoments
        Before the cut.
    cut : CutConditions
        What the cut is.
    growths : array of float
        g at which the parts meet the edge, each as often as the others.
    held_um : float, optional
        Mean of what wear adds where a gauge holds it; None without a gauge.
    band_um : float
        Dead band within which a gauge leaves the error, taken as uniform from minus to plus; 0 for none.
    added_um : array of float, optional
        What else is added at each of the growths.

    Returns
    -------
    ErrorMoments

    Notes
    -----
    With b what wear adds, E e' = E µ E e + E b and Var e' = E µ² Var e + Var(µ E e + b) + s² + (ρ a)². Where a gauge
    holds the wear, b is constant.
    """
    copied = np.array([copied_share(cut, growth, 1.0) for growth in growths.tolist()])
    added = np.array([worn_um(cut, growth) for growth in growths.tolist()])
    means = copied * before.mean_um + (added if held_um is None else held_um)
    if added_um is not None:
        means = means + added_um
    carried = float((copied**2).mean()) * before.variance_um2 + float(means.var())
    scatter = cut.repeatability_um**2 + cut.stress_um**2
    return ErrorMoments(float(means.mean()), carried + band_um**2 / 3.0 + scatter)
