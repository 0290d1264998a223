"""How a cut moves: spindle speed, feed rate, minutes of a pass, power and forces of a sharp edge."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.cutting.force import (
    chip_thickness_mm,
    cutting_stiffness_n_um,
    drill_chip_thickness_mm,
    milling_chip_thickness_mm,
    radial_force_n,
    specific_force_n_mm2,
)
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
from linesim.plan.cut_setting import Complain, CutSetting, own_or_usual

__all__ = ["Motion", "motion_of"]


@dataclass(frozen=True)
class Motion:
    """Speeds, time and forces of one pass with a sharp edge; units as in the plan, power at the motor, kW."""

    spindle_rpm: float
    feed_rate_mm_min: float
    pass_min: float
    power_kw: float
    cutting_force_n: float
    radial_force_n: float
    slope_n_um: float


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
        return Motion(0.0, 0.0, minutes, 0.0, 0.0, 0.0, 0.0)
    if cut.process in ("honing", "grinding"):
        complain("cutter", f'"{cut.cutter}" is not an abrasive of the handbook, but the cut is {cut.process}')
        return None
    if cut.speed is None or cut.feed is None or (cut.length is None and cut.minutes is None):
        return _timed_only(setting, complain)
    diameter_mm = _diameter(setting)
    if diameter_mm is None:
        complain("cutter", f'"{cut.cutter}" needs a diameter to work out the spindle speed')
        return None
    if cut.process == "milling":
        return _milling(setting, material, wear, diameter_mm, complain)
    return _round_tool(setting, material, wear, diameter_mm)


def _timed_only(setting: CutSetting, complain: Complain) -> Motion | None:
    """A cut of which only the minutes are known: no force can be worked out, and the life must be given."""
    cut = setting.cut
    missing = " and ".join(name for name in ("speed", "feed", "length") if getattr(cut, name) is None)
    if cut.minutes is None:
        complain("process", f"{cut.process} needs {missing}, or minutes if the time of a pass is known")
        return None
    if setting.cutter.life is None:
        complain("cutter", f'without {missing} the life of "{cut.cutter}" cannot be worked out; give its life')
        return None
    return Motion(0.0, 0.0, cut.minutes, 0.0, 0.0, 0.0, 0.0)


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
    thickness = milling_chip_thickness_mm(feed, cutter.lead_angle, width_mm, diameter_mm)
    specific = specific_force_n_mm2(material.kc11_n_mm2, material.mc, thickness)
    teeth = teeth_in_cut(float(cutter.teeth), milling_engagement_rad(width_mm, diameter_mm))
    power = milling_power_kw(depth_mm, width_mm, rate, specific, setting.operation.efficiency)
    force = milling_power_kw(depth_mm, width_mm, rate, specific, 1.0) * 60_000.0 / speed
    slope = teeth * cutting_stiffness_n_um(
        material.kc11_n_mm2, material.mc, thickness, cutter.lead_angle, wear.radial_ratio
    )
    minutes = own_or_usual(
        cut.minutes, cutting_minutes(float(cut.length or 0.0), clear_mm + cut.approach, clear_mm + cut.overrun, rate)
    )
    return Motion(rpm, rate, minutes, power, force, 1000.0 * slope * depth_mm, slope)


def _round_tool(setting: CutSetting, material: Material, wear: Grade, diameter_mm: float) -> Motion:
    """Boring, drilling and reaming: feed per revolution, shared by the blades."""
    cut, cutter = setting.cut, setting.cutter
    speed, feed, depth_mm = float(cut.speed or 0.0), float(cut.feed or 0.0), cut.depth
    rpm = spindle_speed_rpm(speed, diameter_mm)
    rate = feed_rate_mm_min(feed, rpm)
    blades = float(cutter.teeth)
    if cut.process == "drilling":
        thickness = drill_chip_thickness_mm(feed, cutter.lead_angle)
    else:
        thickness = chip_thickness_mm(feed / blades, cutter.lead_angle)
    specific = specific_force_n_mm2(material.kc11_n_mm2, material.mc, thickness)
    if cut.process == "boring":
        power = turning_power_kw(speed, depth_mm, feed, specific, setting.operation.efficiency)
    else:
        hole_mm = max(diameter_mm - 2.0 * depth_mm, 0.0)
        power = drilling_power_kw(specific, speed, feed, diameter_mm, hole_mm, setting.operation.efficiency)
    force = power * setting.operation.efficiency * 60_000.0 / speed
    # The blades of one head hold each other in balance; what bends the bar is the force of one.
    slope = cutting_stiffness_n_um(material.kc11_n_mm2, material.mc, thickness, cutter.lead_angle, wear.radial_ratio)
    radial = radial_force_n(wear.radial_ratio, force / blades)
    minutes = own_or_usual(cut.minutes, cutting_minutes(float(cut.length or 0.0), cut.approach, cut.overrun, rate))
    return Motion(rpm, rate, minutes, power, force, radial, slope)
