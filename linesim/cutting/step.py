"""What one cut does to one place on a part: the law that both engines call.

The state of a place is four numbers: error (metal left on beyond the surface intended, per side; minus means cut away
too much), roughness, scratch, and whether its last cut cleaned it up. The terms of the equation of the error, its value
and its moments stand in `error_terms`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.cutting.conditions import CutConditions
from linesim.cutting.error_terms import error_after_cut, least_metal_um, metal_met_um
from linesim.cutting.life import wear_growth
from linesim.cutting.surface import scratch_left_um, worn_ra_um
from linesim.cutting.teeth import torn_share_left
from linesim.cutting.wheel import ground_ra_um
from linesim.law import law

__all__ = [
    "PlaceState",
    "cut_place",
    "cut_place_by_numbers",
    "roughness_after_cut",
    "rubs",
    "scratch_after_cut",
    "takes",
    "worn_ra_of",
]


class PlaceState(NamedTuple):
    """One place of a feature between two cuts."""

    error_um: float
    roughness_um: float
    scratch_um: float
    is_clean: bool
    """The last cut found metal all over."""


@law
def cut_place(
    before: PlaceState,
    cut: CutConditions,
    life_share: float,
    finish_factor: float,
    offset_um: float,
    moved_um: float,
    normal_repeat: float,
    normal_stress: float,
    normal_roughness: float,
    is_recut: bool,
    force_share: float,
) -> PlaceState:
    """State of a place after a cut, from its state before.

    Parameters
    ----------
    before : PlaceState
        State before the cut. Whether it is clean the cut decides afresh, so that does not bear on the result.
    cut : CutConditions
        What the cut is.
    life_share : float
        w of the edge: cutting minutes since sharp over its life, 0 or more.
    finish_factor : float
        What this mounted cutter's roughness is multiplied by, as its teeth happen to stand; mean 1.
    offset_um : float, µm
        Correction given to the tool, plus means it cuts deeper.
    moved_um : float, µm
        Displacement of the part in its fixture (a chip below it), plus leaves more metal on.
    normal_repeat, normal_stress, normal_roughness : float
        Standard normal draws for repeatability, stress let go, and roughness.
    is_recut : bool
        The cut is made again at the same setting: it takes only what stands above, never adds metal, lets no stress go
        and takes no scratch out.
    force_share : float
        Cutting force of the heat that the casting is of, over the average; 1 without heats.

    Returns
    -------
    PlaceState
        After the cut. Where the metal is not there (1000 a + error <= 0), or less of it than the edge can cut, so that
        it rubs, the cut does not clean up: the old surface now lies at 1000 a + error from the new intended one and
        keeps its roughness and scratch. A recut that cuts nothing leaves everything as it was.

    Notes
    -----
    Error by `error_terms.error_after_cut`; roughness by `roughness_after_cut`, but not finer than what is left of a
    layer torn before, `linesim.cutting.teeth.torn_share_left`; scratch' = max(0, scratch - 1000 a). Sources: those of
    `form`, `life`, `nose`, `surface` and `teeth`.
    """
    met_um = metal_met_um(cut, before.error_um, is_recut)
    growth = wear_growth(life_share, cut.wear_b, cut.wear_tau, cut.wear_gamma)
    if not takes(cut, growth, met_um):
        if is_recut:
            return before
        return PlaceState(met_um, before.roughness_um, before.scratch_um, False)
    error_um = error_after_cut(
        cut, growth, before.error_um, offset_um, moved_um, normal_repeat, normal_stress, is_recut, force_share
    )
    rough_um = roughness_after_cut(cut, growth, finish_factor, normal_roughness)
    rough_um = max(rough_um, torn_share_left(met_um, before.roughness_um) * before.roughness_um)
    return PlaceState(error_um, rough_um, scratch_after_cut(cut, before.scratch_um, is_recut), True)


@law
def takes(cut: CutConditions, growth: float, met_um: float) -> bool:
    """Whether an edge worn so far cuts so much metal, and does not just rub or run in the air."""
    return met_um > 0.0 and met_um >= least_metal_um(cut, growth)


@law
def rubs(cut: CutConditions, growth: float, met_um: float) -> bool:
    """Whether an edge worn so far meets metal, but less of it than it can cut."""
    return met_um > 0.0 and not takes(cut, growth, met_um)


@law
def roughness_after_cut(cut: CutConditions, growth: float, finish_factor: float, normal_roughness: float) -> float:
    """Roughness of a place after a cut that found metal, µm: mean of the worn edge x cutter as mounted x scatter.

    Parameters
    ----------
    cut : CutConditions
        What the cut is.
    growth : float
        g(w), wear land over its limit, see `linesim.cutting.life.wear_growth`.
    finish_factor : float
        Of this mounted cutter, see `cut_place`.
    normal_roughness : float
        Standard normal draw.
    """
    sigma = cut.roughness_sigma
    scatter = math.exp(sigma * normal_roughness - 0.5 * sigma * sigma)
    return max(cut.roughness_floor_um, worn_ra_of(cut, growth) * finish_factor * scatter)


@law
def worn_ra_of(cut: CutConditions, growth: float) -> float:
    """Mean roughness that a cut leaves with its edge or wheel as it is, µm.

    See `linesim.cutting.surface.worn_ra_um` and `linesim.cutting.wheel.ground_ra_um`.
    """
    if cut.glazed_roughness_um > 0.0:
        return ground_ra_um(cut.sharp_roughness_um, cut.glazed_roughness_um, growth, cut.settling_share)
    return worn_ra_um(
        cut.sharp_roughness_um, cut.roughness_growth, growth, cut.roughness_power, cut.roughness_past, 0.0
    )


@law
def scratch_after_cut(cut: CutConditions, scratch_um: float, is_recut: bool) -> float:
    """Depth of a scratch after a cut that found metal, µm; a recut takes none out."""
    return scratch_left_um(scratch_um, 0.0 if is_recut else cut.depth_mm)


@law
def cut_place_by_numbers(
    state: tuple[float, float, float, bool],
    life_share: float,
    finish_factor: float,
    offset_um: float,
    moved_um: float,
    normal_repeat: float,
    normal_stress: float,
    normal_roughness: float,
    is_recut: bool,
    force_share: float,
    *conditions: float,
) -> tuple[float, float, float, bool]:
    """As `cut_place`, for callers in Python: numbers go into compiled code four times as fast as named tuples.

    Parameters
    ----------
    state : tuple of float, float, float, bool
        Of `PlaceState` before the cut.
    life_share ... force_share
        As for `cut_place`.
    *conditions : float
        Those of `CutConditions`, in its order.

    Returns
    -------
    tuple of float, float, float, bool
        The `PlaceState` after the cut.
    """
    error_um, roughness_um, scratch_um, is_clean = state
    after = cut_place(
        PlaceState(error_um, roughness_um, scratch_um, is_clean),
        CutConditions(*conditions),
        life_share,
        finish_factor,
        offset_um,
        moved_um,
        normal_repeat,
        normal_stress,
        normal_roughness,
        is_recut,
        force_share,
    )
    return after.error_um, after.roughness_um, after.scratch_um, after.is_clean
