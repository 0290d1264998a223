"""From a cut as the scenario describes it to all the figures that follow from it, once for the whole run."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.cutting.form import copying_factor
from linesim.cutting.life import extended_taylor_life_min
from linesim.cutting.wheel import STIFFENING
from linesim.handbook import Abrasive, Grade, Material
from linesim.handbook.processes import usual
from linesim.plan.additions import Additions, additions_of
from linesim.plan.chip_load import breaking_of_cut
from linesim.plan.coefficients import Coefficients
from linesim.plan.cut_setting import Complain, CutSetting, own_or_usual, unheard
from linesim.plan.finish import finish_of
from linesim.plan.motion import Motion, motion_of
from linesim.plan.stiffness import stiffness_of
from linesim.works.crib import Cutter

__all__ = ["USUAL_WEAR_LIMIT_MM", "CutFigures", "figures_at_depth", "figures_of"]

USUAL_WEAR_LIMIT_MM = 0.3
"""Uniform wear land at which an edge counts as dull where nothing else is said: ISO 3685, ISO 8688 (from memory)."""

NOTHING_ADDED = Additions()


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
    wear_force_n: float
    wear_slope_n_um: float
    wear_cutting_n: float
    least_metal_um: float
    least_metal_rise_um: float
    wear_limit_mm: float
    wear_b: float
    wear_tau: float
    wear_gamma: float
    tan_clearance: float
    stress_um: float
    roughness_growth: float
    roughness_power: float
    roughness_past: float
    roughness_floor_um: float
    mounted_sigma: float
    life_cv: float
    break_shape: float
    break_scale: float
    assumed: tuple[str, ...]
    """What was taken from the handbook because the scenario does not say."""
    additions: Additions = NOTHING_ADDED
    in_skin: bool = False
    """Whether it runs in the casting's skin."""

    @property
    def force_growth(self) -> float:
        """Rise of the force into the work by the end of life, as a share of the sharp edge's; 0 where not known."""
        return self.wear_force_n / self.radial_force_n if self.radial_force_n > 0.0 else 0.0


def figures_of(setting: CutSetting, coefficients: Coefficients, complain: Complain) -> CutFigures | None:
    """All figures of one cut.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    coefficients : Coefficients
        Handbook and the shop's own figures.
    complain : callable
        Called with what is wrong, entry by entry.

    Returns
    -------
    CutFigures or None
        None if something is wrong, after complaining.
    """
    material = coefficients.materials[str(setting.line.material)]
    wear = _wear_entry(setting, material, coefficients, complain)
    if wear is None:
        return None
    motion = motion_of(setting, material, wear, complain)
    if motion is None:
        return None
    stiffness_n_um, assumed = stiffness_of(setting)
    slope, copying = _copying(setting, motion, stiffness_n_um, wear)
    passes = math.ceil(setting.feature.places / setting.cut.at_once)
    finish = finish_of(setting, material, wear, complain)
    curve, breaking = _wear_curve(setting.cutter, wear), breaking_of_cut(setting, motion, wear)
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
        life_min=_life(setting, wear),
        sharp_roughness_um=finish.sharp_um,
        **_worn(setting, motion, slope, wear, curve["wear_limit_mm"]),
        **curve,
        stress_um=_stress(setting, material),
        roughness_growth=wear.roughness_growth,
        roughness_power=wear.roughness_power,
        roughness_floor_um=finish.floor_um,
        mounted_sigma=finish.mounted_sigma,
        life_cv=own_or_usual(setting.cutter.life_cv, wear.life_cv),
        break_shape=breaking[0],
        break_scale=breaking[1],
        assumed=assumed + finish.assumed + breaking[2],
        additions=additions_of(setting, wear, motion.pass_min, finish.sharp_um, complain),
        in_skin=setting.in_skin,
    )


def _wear_curve(cutter: Cutter, wear: Grade | Abrasive) -> dict[str, float]:
    """Wear land against life share, and how it draws the edge back.

    Stones and wheels have no wear land; how dull they look is given on the same scale, so that a check can speak of it,
    in proportion to the life share and without drawing anything back.
    """
    if isinstance(wear, Abrasive):
        limit = own_or_usual(cutter.wear_limit, USUAL_WEAR_LIMIT_MM)
        return {"wear_limit_mm": limit, "wear_b": 0.0, "wear_tau": 1.0, "wear_gamma": 1.0, "tan_clearance": 0.0}
    clearance_deg = own_or_usual(cutter.clearance_angle, wear.clearance_deg)
    return {
        "wear_limit_mm": own_or_usual(cutter.wear_limit, wear.wear_limit_mm),
        "wear_b": wear.wear_b,
        "wear_tau": wear.wear_tau,
        "wear_gamma": wear.wear_gamma,
        "tan_clearance": math.tan(math.radians(clearance_deg)),
    }


def figures_at_depth(setting: CutSetting, coefficients: Coefficients, depth_mm: float) -> CutFigures:
    """Figures of a cut that can be made, set to another depth: its minutes, force and life follow from that."""
    figures = figures_of(setting.at_depth(depth_mm), coefficients, unheard)
    assert figures is not None
    return figures


def _worn(
    setting: CutSetting, motion: Motion, slope_n_um: float, wear: Grade | Abrasive, limit_mm: float
) -> dict[str, float]:
    """What wear adds to the forces, and to the roughness past the limit, and the least metal that the edge can cut.

    Of stones and wheels only the rise of the force is known, as a share.
    """
    names = ("wear_force_n", "wear_slope_n_um", "wear_cutting_n", "least_metal_um", "least_metal_rise_um")
    worn, chip = dict.fromkeys((*names, "roughness_past"), 0.0), motion.chip
    if isinstance(wear, Abrasive):
        growth = wear.force_growth if setting.cutter.wheel is None else STIFFENING
        return worn | {"wear_slope_n_um": 0.0 if math.isinf(slope_n_um) else slope_n_um * growth}
    if chip is None:
        return worn
    worn["roughness_past"] = wear.roughness_past
    worn["wear_force_n"] = motion.edges_pressing * chip.worn_radial_n(limit_mm)
    worn["wear_slope_n_um"] = motion.edges_pressing * chip.worn_slope_n_um(limit_mm)
    worn["wear_cutting_n"] = motion.edges_cutting * chip.worn_cutting_n(limit_mm)
    if chip.feed_mm > 0.0:
        radius_um = own_or_usual(setting.cutter.edge_radius, wear.edge_radius_um)
        worn["least_metal_um"] = chip.least_metal_um(radius_um, 0.0)
        worn["least_metal_rise_um"] = chip.least_metal_um(radius_um, limit_mm) - worn["least_metal_um"]
    return worn


def _wear_entry(
    setting: CutSetting, material: Material, coefficients: Coefficients, complain: Complain
) -> Grade | Abrasive | None:
    """The handbook's entry for how the cutter wears."""
    name = setting.cutter.grade
    if name in coefficients.abrasives:
        return coefficients.abrasives[str(name)]
    grade = None if name is None else coefficients.grade(name, str(setting.line.material))
    if grade is None:
        families = ", ".join(coefficients.grade_families(str(name))) or "none"
        complain(
            "cutter",
            f'"{setting.cut.cutter}" is of grade "{name}", for which there are no figures on {material.name} '
            f"({material.family}); there are for: {families}",
        )
    return grade


def _copying(setting: CutSetting, motion: Motion, stiffness_n_um: float, wear: Grade | Abrasive) -> tuple[float, float]:
    """Slope of the radial force against depth (N/µm) and the copying factor of a sharp edge.

    A copying factor that is known beforehand is turned into the slope that gives it with this stiffness.
    """
    known = setting.cut.copying
    if setting.cut.stops is not None:
        known = 1.0 if setting.cut.stops == "by time" else 0.0
    elif known is None:
        known = wear.copying_factor if isinstance(wear, Abrasive) else usual(setting.cut.process).copying
    if known == 1.0:
        return math.inf, known
    if known is not None:
        return known * stiffness_n_um / (1.0 - known), known
    return motion.slope_n_um, copying_factor(motion.slope_n_um, stiffness_n_um)


def _life(setting: CutSetting, wear: Grade | Abrasive) -> float:
    """Cutting minutes to the wear limit at this cut's conditions."""
    if setting.cutter.life_min is not None:
        return setting.cutter.life_min
    if isinstance(wear, Abrasive):
        return wear.life_min
    cut = setting.cut
    # Teeth of a face mill take the feed per tooth; blades on one head share the feed of a revolution.
    feed = float(cut.feed or 0.0) / (1.0 if cut.process == "milling" else setting.cutter.teeth)
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
        wear.skin_factor if setting.in_skin else 1.0,
    )


def _stress(setting: CutSetting, material: Material) -> float:
    """Scatter of the size by stress let go, µm; none where a thickness says how the part bows, which is form."""
    if setting.feature.thickness is not None:
        return 0.0
    return own_or_usual(setting.cut.stress_release, material.stress_um_mm) * setting.cut.depth
