"""Roughness that a sharp cutter leaves, as its teeth and its nose are, and how that scatters from one to the next."""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.chance import lognormal_sigma
from linesim.cutting.nose import least_chip_mm
from linesim.cutting.surface import theoretical_ra_um
from linesim.cutting.teeth import (
    depth_factor,
    iron_ra_um,
    is_land_wide_enough,
    milled_ra_land_um,
    milled_ra_round_um,
    spread_of_teeth_um,
    thin_chip_ra_um,
)
from linesim.handbook import Abrasive, Grade, Material
from linesim.handbook.processes import usual
from linesim.handbook.seats import SEATS, USUAL_SEAT
from linesim.plan.cut_setting import Complain, CutSetting, own_or_usual

__all__ = ["Finish", "finish_of"]


class Finish(NamedTuple):
    """Roughness of a sharp cutter.

    Attributes
    ----------
    sharp_um : float, µm
        Mean Ra.
    floor_um : float, µm
        Finest that the process gives.
    mounted_sigma : float
        Standard deviation of the logarithm of the factor that each mounted cutter has.
    assumed : tuple of str
        What was taken for want of an entry.
    """

    sharp_um: float
    floor_um: float
    mounted_sigma: float = 0.0
    assumed: tuple[str, ...] = ()


def finish_of(setting: CutSetting, material: Material, wear: Grade | Abrasive, complain: Complain) -> Finish:
    """Ra of a sharp edge: as given, or by the teeth, the nose and the material, or the floor of the process.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    material, wear : Material, Grade or Abrasive
        The handbook's entries for the part and for the cutter.
    complain : callable
        Called with what is wrong, entry by entry.

    Returns
    -------
    Finish
    """
    floor_um = own_or_usual(setting.cut.roughness_floor, wear.roughness_floor_um)
    if setting.cutter.sharp_roughness is not None:
        return Finish(setting.cutter.sharp_roughness, floor_um)
    if isinstance(wear, Abrasive):
        return Finish(wear.roughness_sharp_um, floor_um)
    nose_mm, feed = setting.cutter.nose_radius, setting.cut.feed
    if nose_mm is None or feed is None:
        return Finish(floor_um, floor_um)
    if feed > 2.0 * nose_mm:
        complain("feed", f"a feed of {feed:g} mm is too coarse for a nose radius of {nose_mm:g} mm")
        return Finish(floor_um, floor_um)
    if setting.cut.process == "milling":
        return _milled(setting, material, nose_mm, feed, floor_um)
    cusp_um = material.roughness_ratio * theoretical_ra_um(feed, nose_mm)
    if setting.cutter.edge_radius is not None:
        # The ratio is what thin chips and the rest make of the ideal as a rule; only what goes beyond it counts. With
        # radii from tables the term foretells two to three times what open turning tests measured at fine feeds.
        least_mm = least_chip_mm(setting.cutter.edge_radius, 0.0)
        cusp_um = max(cusp_um, thin_chip_ra_um(feed, nose_mm, least_mm))
    ra_um = iron_ra_um(cusp_um, 0.0, material.torn_bored_um, _by_depth(setting))
    return Finish(max(floor_um, ra_um), floor_um)


def _by_depth(setting: CutSetting) -> float:
    return depth_factor(setting.cut.depth, usual(setting.cut.process).rougher_by_depth)


def _milled(setting: CutSetting, material: Material, nose_mm: float, feed: float, floor_um: float) -> Finish:
    """A mill with its teeth as they stand; its land makes the face where it is wide enough for a revolution."""
    cutter, process = setting.cutter, usual(setting.cut.process)
    seat = SEATS[cutter.seat or USUAL_SEAT]
    run_out_um = own_or_usual(cutter.run_out, seat.run_out_um)
    assumed: tuple[str, ...] = ()
    if cutter.seat is None and cutter.run_out is None:
        assumed = (f"run-out {run_out_um:g} µm, that of a {USUAL_SEAT}",)
    teeth = float(cutter.teeth)
    spread_um, land_mm = spread_of_teeth_um(run_out_um, teeth), cutter.land or 0.0
    if is_land_wide_enough(feed * teeth, land_mm):
        cusp_um = milled_ra_land_um(feed * teeth, nose_mm, land_mm, seat.tilt_mrad, spread_um)
        added_um, cv = 0.0, process.mounted_cv_land
    else:
        ideal_um = theoretical_ra_um(feed, nose_mm)
        added_um = math.sqrt(max(0.0, milled_ra_round_um(feed, nose_mm, teeth, spread_um) ** 2 - ideal_um**2))
        cusp_um, cv = material.roughness_ratio * ideal_um, process.mounted_cv
    ra_um = iron_ra_um(cusp_um, added_um, material.torn_milled_um, _by_depth(setting))
    # The scatter is that of simulated teeth; graphite is torn out alike however they stand.
    by_teeth = cusp_um * cusp_um + added_um * added_um
    share = by_teeth / (by_teeth + material.torn_milled_um**2)
    return Finish(max(floor_um, ra_um), floor_um, share * lognormal_sigma(cv), assumed)
