"""When an edge breaks, by its chip load where a cutter says so."""

from __future__ import annotations

import math
from dataclasses import replace

from linesim.cutting.breaking import break_scale_factor, tooth_load
from linesim.handbook import Abrasive, Grade
from linesim.handbook.seats import SEATS, USUAL_SEAT
from linesim.plan.chips import Chip
from linesim.plan.cut_setting import CutSetting, own_or_usual
from linesim.plan.motion import Motion
from linesim.works.crib import Breaking

__all__ = ["breaking_of_cut", "chip_load"]


def breaking_of_cut(
    setting: CutSetting, motion: Motion, wear: Grade | Abrasive
) -> tuple[float, float, tuple[str, ...]]:
    """Weibull shape and scale of the life share at which an edge breaks, and what is assumed for it.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    motion : Motion
        Of the cut; its chip.
    wear : Grade or Abrasive
        The handbook's entry for the cutter.

    Returns
    -------
    tuple of float, float, tuple of str
        An infinite scale if it never breaks.
    """
    cutter = setting.cutter
    if cutter.breaking is None:
        return 1.0, math.inf, ()
    shape, scale = wear.break_shape, wear.break_scale
    if isinstance(cutter.breaking, Breaking):
        shape, scale = cutter.breaking.shape, cutter.breaking.scale
    if cutter.break_by_load == 0.0 or motion.chip is None or isinstance(wear, Abrasive) or not motion.chip.feed_mm:
        return shape, scale, ()
    load = chip_load(setting, motion.chip, wear)
    factor = break_scale_factor(load, cutter.break_by_load)
    return shape, scale * factor, (f"chip load {load:.2g} times the grade's: edges break at {factor:.2g} of the share",)


def chip_load(setting: CutSetting, chip: Chip, wear: Grade) -> float:
    """Chip load h a of the tooth that stands out, over that of a true tooth at the grade's reference feed and depth.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    chip : Chip
        Of one edge.
    wear : Grade
        The cutter's, with the reference.

    Returns
    -------
    float
        The run-out of a mill is that of its seat; blades of other cutters are set to gauge.
    """
    cut, cutter = setting.cut, setting.cutter
    is_mill = cut.process == "milling" and cutter.teeth > 1
    feed_mm = float(cut.feed or 0.0) / (1.0 if cut.process == "milling" else cutter.teeth)
    usual = replace(chip, depth_mm=wear.ref_depth_mm, feed_mm=chip.feed_mm * wear.ref_feed_mm / feed_mm)
    load = chip.thickness_mm * chip.depth_mm / (usual.thickness_mm * usual.depth_mm)
    if not is_mill:
        return load
    run_out_um = own_or_usual(cutter.run_out, SEATS[cutter.seat or USUAL_SEAT].run_out_um)
    return load * tooth_load(run_out_um / 1000.0, feed_mm)
