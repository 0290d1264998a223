"""From a cut as the scenario describes it to all the figures that follow from it, once for the whole run."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from linesim.cutting.force import (
    chip_thickness_mm,
    cutting_stiffness_n_um,
    drill_chip_thickness_mm,
    milling_chip_thickness_mm,
    radial_force_n,
    specific_force_n_mm2,
)
from linesim.cutting.form import bar_stiffness_n_um, copying_factor, line_bar_stiffness_n_um, series_stiffness_n_um
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
from linesim.cutting.life import extended_taylor_life_min
from linesim.cutting.power import drilling_power_kw, milling_power_kw, turning_power_kw
from linesim.cutting.surface import sharp_ra_um
from linesim.handbook import Abrasive, Grade, Material, machine_stiffness
from linesim.handbook.processes import usual
from linesim.plan.coefficients import Coefficients
from linesim.works.crib import Breaking, Cutter
from linesim.works.features import Feature
from linesim.works.model import Line
from linesim.works.operations import Cut, Operation

__all__ = ["USUAL_WEAR_LIMIT_MM", "CutFigures", "CutPlace", "figures_of"]

USUAL_WEAR_LIMIT_MM = 0.3
"""Uniform wear land at which an edge counts as dull where nothing else is said: ISO 3685, ISO 8688 (from memory)."""

Complain = Callable[[str, str], None]
"""Called with the name of an entry of the cut and what is wrong with it."""


@dataclass(frozen=True)
class CutPlace:
    """Where a cut stands in the works."""

    line: Line
    operation: Operation
    feature: Feature
    cutter: Cutter
    cut: Cut
    in_skin: bool


@dataclass(frozen=True)
class CutFigures:
    """What follows from a cut's conditions; units as in the plan, power at the motor, kW."""

    spindle_rpm: float
    feed_rate_mm_min: float
    pass_min: float
    passes: int
    cut_min: float
    power_kw: float
    cutting_force_n: float
    radial_force_n: float
    cutting_stiffness_n_um: float
    stiffness_n_um: float
    copying: float
    life_min: float
    sharp_roughness_um: float
    force_growth: float
    wear_limit_mm: float
    wear_b: float
    wear_tau: float
    wear_gamma: float
    tan_clearance: float
    stress_um: float
    roughness_growth: float
    roughness_power: float
    roughness_floor_um: float
    life_cv: float
    break_shape: float
    break_scale: float
    assumed: tuple[str, ...]
    """What was taken from the handbook because the scenario does not say."""


def figures_of(place: CutPlace, coefficients: Coefficients, complain: Complain) -> CutFigures | None:
    """All figures of one cut.

    Parameters
    ----------
    place : CutPlace
        The cut with its operation, feature and cutter.
    coefficients : Coefficients
        Handbook and the shop's own figures.
    complain : callable
        Told what is wrong, entry by entry.

    Returns
    -------
    CutFigures or None
        None if something is wrong, after complaining.
    """
    material = coefficients.materials[str(place.line.material)]
    wear = _wear_entry(place, material, coefficients, complain)
    if wear is None:
        return None
    motion = _motion(place, material, wear, complain)
    if motion is None:
        return None
    stiffness_n_um, assumed = _stiffness(place)
    slope, copying = _copying(place, motion, stiffness_n_um, wear)
    passes = math.ceil(place.feature.places / place.cut.at_once)
    floor_um = _or(place.cut.roughness_floor, wear.roughness_floor_um)
    breaking = _breaking(place.cutter, wear)
    return CutFigures(
        spindle_rpm=motion.spindle_rpm,
        feed_rate_mm_min=motion.feed_rate_mm_min,
        pass_min=motion.pass_min,
        passes=passes,
        cut_min=passes * motion.pass_min,
        power_kw=motion.power_kw,
        cutting_force_n=motion.cutting_force_n,
        radial_force_n=motion.radial_force_n,
        cutting_stiffness_n_um=slope,
        stiffness_n_um=stiffness_n_um,
        copying=copying,
        life_min=_life(place, wear),
        sharp_roughness_um=_sharp_roughness(place, material, wear, floor_um, complain),
        force_growth=wear.force_growth,
        **_wear_curve(place.cutter, wear),
        stress_um=_or(place.cut.stress_release, material.stress_um_mm) * place.cut.depth,
        roughness_growth=wear.roughness_growth,
        roughness_power=wear.roughness_power,
        roughness_floor_um=floor_um,
        life_cv=_or(place.cutter.life_cv, wear.life_cv),
        break_shape=breaking[0],
        break_scale=breaking[1],
        assumed=assumed,
    )


def _wear_curve(cutter: Cutter, wear: Grade | Abrasive) -> dict[str, float]:
    """Wear land against life share, and how it draws the edge back.

    Stones and wheels have no wear land; how dull they look is told on the same scale, so that a check can speak of it,
    in proportion to the life share and without drawing anything back.
    """
    if isinstance(wear, Abrasive):
        limit = _or(cutter.wear_limit, USUAL_WEAR_LIMIT_MM)
        return {"wear_limit_mm": limit, "wear_b": 0.0, "wear_tau": 1.0, "wear_gamma": 1.0, "tan_clearance": 0.0}
    clearance_deg = _or(cutter.clearance_angle, wear.clearance_deg)
    return {
        "wear_limit_mm": _or(cutter.wear_limit, wear.wear_limit_mm),
        "wear_b": wear.wear_b,
        "wear_tau": wear.wear_tau,
        "wear_gamma": wear.wear_gamma,
        "tan_clearance": math.tan(math.radians(clearance_deg)),
    }


@dataclass(frozen=True)
class _Motion:
    """Speeds, time and forces of one pass with a sharp edge."""

    spindle_rpm: float
    feed_rate_mm_min: float
    pass_min: float
    power_kw: float
    cutting_force_n: float
    radial_force_n: float
    slope_n_um: float


def _or(own: float | None, usual_value: float) -> float:
    return usual_value if own is None else own


def _wear_entry(
    place: CutPlace, material: Material, coefficients: Coefficients, complain: Complain
) -> Grade | Abrasive | None:
    """The handbook's entry for how the cutter wears."""
    name = place.cutter.grade
    if name in coefficients.abrasives:
        return coefficients.abrasives[str(name)]
    grade = None if name is None else coefficients.grade(name, str(place.line.material))
    if grade is None:
        families = ", ".join(coefficients.grade_families(str(name))) or "none"
        complain(
            "cutter",
            f'"{place.cut.cutter}" is of grade "{name}", for which there are no figures on {material.name} '
            f"({material.family}); there are for: {families}",
        )
    return grade


def _motion(place: CutPlace, material: Material, wear: Grade | Abrasive, complain: Complain) -> _Motion | None:
    cut = place.cut
    if isinstance(wear, Abrasive):
        removal = _or(cut.removal, wear.removal_um_min)
        spark_out = cut.spark_out if cut.spark_out > 0.0 else wear.spark_out_min
        minutes = _or(cut.minutes, stock_removal_minutes(1000.0 * cut.depth, removal, spark_out))
        return _Motion(0.0, 0.0, minutes, 0.0, 0.0, 0.0, 0.0)
    if cut.process in ("honing", "grinding"):
        complain("cutter", f'"{cut.cutter}" is not an abrasive of the handbook, but the cut is {cut.process}')
        return None
    if cut.speed is None or cut.feed is None or (cut.length is None and cut.minutes is None):
        return _timed_only(place, complain)
    diameter_mm = _diameter(place)
    if diameter_mm is None:
        complain("cutter", f'"{cut.cutter}" needs a diameter to work out the spindle speed')
        return None
    if cut.process == "milling":
        return _milling(place, material, wear, diameter_mm, complain)
    return _round_tool(place, material, wear, diameter_mm)


def _timed_only(place: CutPlace, complain: Complain) -> _Motion | None:
    """A cut of which only the minutes are known: no force can be worked out, and the life must be given."""
    cut = place.cut
    missing = " and ".join(name for name in ("speed", "feed", "length") if getattr(cut, name) is None)
    if cut.minutes is None:
        complain("process", f"{cut.process} needs {missing}, or minutes if the time of a pass is known")
        return None
    if place.cutter.life is None:
        complain("cutter", f'without {missing} the life of "{cut.cutter}" cannot be worked out; give its life')
        return None
    return _Motion(0.0, 0.0, cut.minutes, 0.0, 0.0, 0.0, 0.0)


def _diameter(place: CutPlace) -> float | None:
    """Cutting diameter, mm: the cutter's, or that of the bore."""
    if place.cutter.diameter is not None:
        return place.cutter.diameter
    if place.feature.diameter is not None:
        return place.feature.diameter
    if place.feature.kind == "bore" and place.feature.size is not None:
        return sum(place.feature.size.limits) / 2.0
    return None


def _milling(
    place: CutPlace, material: Material, wear: Grade, diameter_mm: float, complain: Complain
) -> _Motion | None:
    """Face milling with a centred cutter that runs clear of the face; force normal to the face on the teeth in cut."""
    cut, cutter = place.cut, place.cutter
    width_mm = cut.width
    if width_mm is None or width_mm > diameter_mm:
        found = "no width is given" if width_mm is None else f"the width of cut is {width_mm:g} mm"
        complain("width", f"{found}; a width up to the cutter's diameter ({diameter_mm:g} mm) was expected")
        return None
    speed, feed, depth_mm = float(cut.speed or 0.0), float(cut.feed or 0.0), cut.depth
    rpm = spindle_speed_rpm(speed, diameter_mm)
    rate = milling_feed_rate_mm_min(feed, float(cutter.teeth), rpm)
    clear_mm = full_face_approach_mm(diameter_mm)
    thickness = milling_chip_thickness_mm(feed, cutter.lead_angle, width_mm, diameter_mm)
    specific = specific_force_n_mm2(material.kc11_n_mm2, material.mc, thickness)
    teeth = teeth_in_cut(float(cutter.teeth), milling_engagement_rad(width_mm, diameter_mm))
    power = milling_power_kw(depth_mm, width_mm, rate, specific, place.operation.efficiency)
    force = milling_power_kw(depth_mm, width_mm, rate, specific, 1.0) * 60_000.0 / speed
    slope = teeth * cutting_stiffness_n_um(
        material.kc11_n_mm2, material.mc, thickness, cutter.lead_angle, wear.radial_ratio
    )
    minutes = _or(
        cut.minutes, cutting_minutes(float(cut.length or 0.0), clear_mm + cut.approach, clear_mm + cut.overrun, rate)
    )
    return _Motion(rpm, rate, minutes, power, force, 1000.0 * slope * depth_mm, slope)


def _round_tool(place: CutPlace, material: Material, wear: Grade, diameter_mm: float) -> _Motion:
    """Boring, drilling and reaming: feed per revolution, shared by the blades."""
    cut, cutter = place.cut, place.cutter
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
        power = turning_power_kw(speed, depth_mm, feed, specific, place.operation.efficiency)
    else:
        hole_mm = max(diameter_mm - 2.0 * depth_mm, 0.0)
        power = drilling_power_kw(specific, speed, feed, diameter_mm, hole_mm, place.operation.efficiency)
    force = power * place.operation.efficiency * 60_000.0 / speed
    # The blades of one head hold each other in balance; what bends the bar is the force of one.
    slope = cutting_stiffness_n_um(material.kc11_n_mm2, material.mc, thickness, cutter.lead_angle, wear.radial_ratio)
    radial = radial_force_n(wear.radial_ratio, force / blades)
    minutes = _or(cut.minutes, cutting_minutes(float(cut.length or 0.0), cut.approach, cut.overrun, rate))
    return _Motion(rpm, rate, minutes, power, force, radial, slope)


def _stiffness(place: CutPlace) -> tuple[float, tuple[str, ...]]:
    """Stiffness at the cut, N/µm, a bar in series with the machine; and what was assumed for it."""
    own = place.cut.stiffness if place.cut.stiffness is not None else place.operation.stiffness
    assumed: tuple[str, ...] = ()
    if own is None:
        machine = usual(place.cut.process).machine
        own = machine_stiffness()[machine].value
        assumed = (f"stiffness {own:g} N/µm, typical of a {machine}",)
    bar = place.cut.bar
    if bar is None:
        return own, assumed
    if bar.held == "one end":
        of_bar = bar_stiffness_n_um(bar.diameter, bar.overhang, bar.modulus)
    else:
        of_bar = line_bar_stiffness_n_um(bar.diameter, bar.overhang, bar.modulus, False)
    return series_stiffness_n_um(own, of_bar), assumed


def _copying(place: CutPlace, motion: _Motion, stiffness_n_um: float, wear: Grade | Abrasive) -> tuple[float, float]:
    """Slope of the radial force against depth (N/µm) and the copying factor of a sharp edge.

    A copying factor that is known beforehand is turned into the slope that gives it with this stiffness.
    """
    known = place.cut.copying
    if known is None:
        known = wear.copying_factor if isinstance(wear, Abrasive) else usual(place.cut.process).copying
    if known is not None:
        return known * stiffness_n_um / (1.0 - known), known
    return motion.slope_n_um, copying_factor(motion.slope_n_um, stiffness_n_um)


def _life(place: CutPlace, wear: Grade | Abrasive) -> float:
    """Cutting minutes to the wear limit at this cut's conditions."""
    if place.cutter.life is not None:
        return place.cutter.life
    if isinstance(wear, Abrasive):
        return wear.life_min
    cut = place.cut
    # Teeth of a face mill take the feed per tooth; blades on one head share the feed of a revolution.
    feed = float(cut.feed or 0.0) / (1.0 if cut.process == "milling" else place.cutter.teeth)
    return extended_taylor_life_min(
        float(cut.speed or 0.0),
        feed,
        cut.depth,
        wear.ref_life_min,
        wear.ref_speed_m_min,
        wear.ref_feed_mm,
        wear.ref_depth_mm,
        wear.n,
        wear.p,
        wear.q,
        wear.skin_factor if place.in_skin else 1.0,
    )


def _sharp_roughness(
    place: CutPlace, material: Material, wear: Grade | Abrasive, floor_um: float, complain: Complain
) -> float:
    """Ra of a sharp edge, µm: given, or kinematic times the material's ratio, or the process's floor."""
    if place.cutter.sharp_roughness is not None:
        return place.cutter.sharp_roughness
    if isinstance(wear, Abrasive):
        return wear.roughness_sharp_um
    nose_mm, feed = place.cutter.nose_radius, place.cut.feed
    if nose_mm is None or feed is None:
        return floor_um
    if feed > 2.0 * nose_mm:
        complain("feed", f"a feed of {feed:g} mm is too coarse for a nose radius of {nose_mm:g} mm")
        return floor_um
    return sharp_ra_um(feed, nose_mm, material.roughness_ratio, floor_um)


def _breaking(cutter: Cutter, wear: Grade | Abrasive) -> tuple[float, float]:
    """Weibull shape and scale of the life share at which an edge breaks; an infinite scale if it never does."""
    if cutter.breaking is None:
        return 1.0, math.inf
    if isinstance(cutter.breaking, Breaking):
        return cutter.breaking.shape, cutter.breaking.scale
    return wear.break_shape, wear.break_scale
