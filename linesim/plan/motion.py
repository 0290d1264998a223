"""How a cut moves: spindle speed, feed rate, minutes of a pass, power and forces of a sharp edge."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.cutting.force import milling_chip_thickness_mm
from linesim.cutting.kinematics import (
    cutting_minutes,
    feed_rate_mm_min,
    full_face_approach_mm,
    milling_engagement_rad,
    milling_feed_rate_mm_min,
    spindle_speed_rpm,
    stock_removal_minutes,
    teeth_in_cut,
)
from linesim.cutting.power import drilling_power_kw, milling_power_kw, turning_power_kw
from linesim.handbook import Abrasive, Grade, Material
from linesim.plan.chips import Chip, chip_of
from linesim.plan.cut_setting import Complain, CutSetting, own_or_usual

__all__ = ["Motion", "motion_of"]


@dataclass(frozen=True)
class Motion:
    """Speeds, time and forces of one pass with a sharp edge; units as in the plan, power at the motor, kW."""

    pass_min: float
    spindle_rpm: float = 0.0
    feed_rate_mm_min: float = 0.0
    power_kw: float = 0.0
    cutting_force_n: float = 0.0
    radial_force_n: float = 0.0
    slope_n_um: float = 0.0
    chip: Chip | None = None
    """Of one edge; None for abrasives."""
    edges_cutting: float = 1.0
    """Edges whose cutting forces add up."""
    edges_pressing: float = 1.0
    """Edges whose forces into the work add up: the blades of one head hold each other in balance."""


def motion_of(setting: CutSetting, material: Material, wear: Grade | Abrasive, complain: Complain) -> Motion | None:
    """Speeds, time and forces of one pass of a cut.

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
    Motion or None
        None if something is wrong, after complaining. All but the minutes are 0 where only the time is known.
    """
    cut = setting.cut
    if isinstance(wear, Abrasive):
        removal = own_or_usual(cut.removal, wear.removal_um_min)
        spark_out = cut.spark_out if cut.spark_out > 0.0 else wear.spark_out_min
        minutes = own_or_usual(cut.minutes, stock_removal_minutes(1000.0 * cut.depth, removal, spark_out))
        return Motion(minutes)
    if cut.process in ("honing", "grinding"):
        complain("cutter", f'"{cut.cutter}" is not an abrasive of the handbook, but the cut is {cut.process}')
        return None
    if cut.speed is None or cut.feed is None or (cut.length is None and cut.minutes is None):
        return _timed_only(setting, material, wear, complain)
    diameter_mm = _diameter(setting)
    if diameter_mm is None:
        complain("cutter", f'"{cut.cutter}" needs a diameter to work out the spindle speed')
        return None
    if cut.process == "milling":
        return _milling(setting, material, wear, diameter_mm, complain)
    return _round_tool(setting, material, wear, diameter_mm)


def _timed_only(setting: CutSetting, material: Material, wear: Grade, complain: Complain) -> Motion | None:
    """A cut of which only the minutes are known: no force can be worked out, and the life must be given."""
    cut = setting.cut
    missing = " and ".join(name for name in ("speed", "feed", "length") if getattr(cut, name) is None)
    if cut.minutes is None:
        complain("process", f"{cut.process} needs {missing}, or minutes if the time of a pass is known")
        return None
    if setting.cutter.life_min is None:
        complain("cutter", f'without {missing} the life of "{cut.cutter}" cannot be worked out; give its life')
        return None
    return Motion(cut.minutes, chip=chip_of(setting, material, wear, 0.0))


def _diameter(setting: CutSetting) -> float | None:
    """Cutting diameter, mm: the cutter's, or that of the bore."""
    if setting.cutter.diameter is not None:
        return setting.cutter.diameter
    if setting.feature.diameter is not None:
        return setting.feature.diameter
    if setting.feature.kind == "bore" and setting.feature.size is not None:
        return sum(setting.feature.size.limits) / 2.0
    return None


def _milling(
    setting: CutSetting, material: Material, wear: Grade, diameter_mm: float, complain: Complain
) -> Motion | None:
    """Face milling with a centred cutter that runs clear of the face; force normal to the face on the teeth in cut."""
    cut, cutter = setting.cut, setting.cutter
    width_mm = cut.width
    if width_mm is None or width_mm > diameter_mm:
        fault = "no width is given" if width_mm is None else f"the width of cut is {width_mm:g} mm"
        complain("width", f"{fault}; a width up to the cutter's diameter ({diameter_mm:g} mm) was expected")
        return None
    speed, feed, depth_mm = float(cut.speed or 0.0), float(cut.feed or 0.0), cut.depth
    rpm = spindle_speed_rpm(speed, diameter_mm)
    rate = milling_feed_rate_mm_min(feed, float(cutter.teeth), rpm)
    clear_mm = full_face_approach_mm(diameter_mm)
    # The mean over the engagement; what the nose and the lead angle make of it is the chip's own affair.
    chip = chip_of(setting, material, wear, milling_chip_thickness_mm(feed, 90.0, width_mm, diameter_mm))
    teeth = teeth_in_cut(float(cutter.teeth), milling_engagement_rad(width_mm, diameter_mm))
    power = milling_power_kw(depth_mm, width_mm, rate, chip.specific_n_mm2, setting.operation.efficiency)
    force = milling_power_kw(depth_mm, width_mm, rate, chip.specific_n_mm2, 1.0) * 60_000.0 / speed
    minutes = own_or_usual(
        cut.minutes, cutting_minutes(float(cut.length or 0.0), clear_mm + cut.approach, clear_mm + cut.overrun, rate)
    )
    pressing, slope = teeth * chip.radial_n, teeth * chip.slope_n_um
    return Motion(minutes, rpm, rate, power, force, pressing, slope, chip, teeth, teeth)


def _round_tool(setting: CutSetting, material: Material, wear: Grade, diameter_mm: float) -> Motion:
    """Boring, drilling and reaming: feed per revolution, shared by the blades."""
    cut, cutter = setting.cut, setting.cutter
    speed, feed, depth_mm = float(cut.speed or 0.0), float(cut.feed or 0.0), cut.depth
    rpm = spindle_speed_rpm(speed, diameter_mm)
    rate = feed_rate_mm_min(feed, rpm)
    blades = float(cutter.teeth)
    lips = 2.0 if cut.process == "drilling" else blades
    chip = chip_of(setting, material, wear, feed / lips)
    specific = chip.specific_n_mm2
    if cut.process == "boring":
        power = turning_power_kw(speed, depth_mm, feed, specific, setting.operation.efficiency)
    else:
        hole_mm = max(diameter_mm - 2.0 * depth_mm, 0.0)
        power = drilling_power_kw(specific, speed, feed, diameter_mm, hole_mm, setting.operation.efficiency)
    force = power * setting.operation.efficiency * 60_000.0 / speed
    minutes = own_or_usual(cut.minutes, cutting_minutes(float(cut.length or 0.0), cut.approach, cut.overrun, rate))
    # What bends the bar is the force of one blade, as those of one head hold each other in balance.
    return Motion(minutes, rpm, rate, power, force, chip.radial_n, chip.slope_n_um, chip, lips)
