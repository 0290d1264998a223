"""What the cuts of a works lean on where it does not say, cut by cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from linesim.cutting.bar import UNSTEADY, UNSTEADY_IN_SKIN
from linesim.desk.assumed_words import Assumed, figure, of_entry
from linesim.handbook import Abrasive, Grade, Material
from linesim.handbook.bodies import body_of, corrects
from linesim.handbook.processes import usual
from linesim.handbook.seats import SEATS, USUAL_SEAT
from linesim.plan.coefficients import Coefficients
from linesim.plan.cut_setting import CutSetting
from linesim.plan.figures import CutKey
from linesim.works.carried import carried
from linesim.works.crib import Cutter

__all__ = ["assumed_of_cuts"]

_ALSO = frozenset({"edge_radius_um", "stress_n_mm2", "modulus_n_mm2"})
"""Figures from memory that are listed with the assumptions, as much hangs on them."""

_LEAST_CHIP = (
    "memory",
    "0.2 to 0.4 of the edge radius after Sokolovsky, L'vov, Brammertz, Albrecht; the tenth is assumed",
)
_RUBBED = ("assumption", "That rubbing wears an edge fast is trade knowledge, without a figure")

_EXPONENTS = ("n", "p", "q")
_WEAR = ("wear_b", "wear_tau", "wear_gamma")
_FORCES = ("thrust_ratio", "wear_pressure_n_mm2", "wear_drag_n_mm2")
_ROUGHER = ("roughness_growth", "roughness_power", "roughness_past")


def assumed_of_cuts(settings: Mapping[CutKey, CutSetting], coefficients: Coefficients) -> Iterator[Assumed]:
    """Typical figures that stand in for what is not said of the cuts.

    Parameters
    ----------
    settings : dict of CutSetting
        Every cut with what surrounds it, by line, operation, stroke and cut.
    coefficients : Coefficients
        The handbook with the works' own figures over it.

    Yields
    ------
    Assumed
        As often as it is used.
    """
    before: dict[tuple[str, str, str, str], CutSetting] = {}
    for (line, operation, stroke, name), setting in settings.items():
        material = coefficients.materials[str(setting.line.material)]
        grade, abrasive = setting.cutter.grade, coefficients.abrasives.get(str(setting.cutter.grade))
        wear = abrasive or coefficients.grade(str(grade), str(setting.line.material))
        if isinstance(wear, Grade):
            yield from _of_grade(setting, wear)
            yield from _of_finish(setting, material)
        elif isinstance(wear, Abrasive):
            yield from of_entry(wear, _of_abrasive(setting), str(grade), _ALSO)
        yield from _of_seat(setting)
        yield from _of_part(setting, material, name)
        ahead = before.get((line, operation, stroke, setting.cut.feature))
        if ahead is not None and _share_a_bar(ahead, setting):
            yield _unsteady(ahead)
        before[line, operation, stroke, setting.cut.feature] = setting


def _of_breaking(cutter: Cutter, of_life: tuple[str, ...]) -> list[str]:
    """Figures of life, its scatter and breaking that the cutter does not give."""
    names = [*of_life] if cutter.life_min is None else []
    names += ["life_cv"] if cutter.life_cv is None else []
    return names + (["break_shape", "break_scale"] if cutter.breaking == "by grade" else [])


def _of_grade(setting: CutSetting, wear: Grade) -> Iterator[Assumed]:
    """Figures of a grade that a cut uses."""
    cutter, cut = setting.cutter, setting.cut
    if cutter.life_min is None:
        yield from _of_life(wear, str(cutter.grade))
    names = _of_breaking(cutter, (*_EXPONENTS, *(("skin_factor",) if setting.in_skin else ())))
    names += ["break_load"] if cutter.breaking is not None else []
    names += [*_WEAR, *(("wear_limit_mm",) if cutter.wear_limit is None else ())]
    names += [*_FORCES] if cut.feed is not None else []
    names += ["edge_radius_um"] if cut.feed is not None and cutter.edge_radius is None else []
    names += _ROUGHER
    names += ["roughness_floor_um"] if cut.roughness_floor is None else []
    yield from of_entry(wear, names, str(cutter.grade), _ALSO)
    if cut.feed is None:
        return
    if cutter.nose_radius is None:
        yield from _of_process(setting, "nose_radius_mm")
    grade = str(cutter.grade)
    yield Assumed("thinnest chip that is cut and not rubbed", "0.3 (edge radius + 0.1 wear land)", grade, *_LEAST_CHIP)
    yield Assumed("wear of an edge that rubs, times that of one that cuts,", "3", grade, *_RUBBED)


def _of_life(wear: Grade, grade: str) -> Iterator[Assumed]:
    """The cut for which a grade's life is stated, as one figure."""
    for known in of_entry(wear, ["ref_speed_m_min"], grade, _ALSO):
        at = f"{wear.ref_speed_m_min:g} m/min, {wear.ref_feed_mm:g} mm of feed and {wear.ref_depth_mm:g} mm of depth"
        yield known._replace(figure="edge life", value=f"{wear.ref_life_min:g} min at {at}")


def _of_finish(setting: CutSetting, material: Material) -> Iterator[Assumed]:
    """How the Ra of a sharp edge follows from teeth and nose, where it is not given."""
    cutter, cut = setting.cutter, setting.cut
    if cutter.sharp_roughness is not None or cutter.nose_radius is None or cut.feed is None:
        return
    is_milled = cut.process == "milling"
    torn = "torn_milled_um" if is_milled else "torn_bored_um"
    yield from of_entry(material, [torn], str(setting.line.material), _ALSO)
    yield from _of_process(setting, "rougher_by_depth")


def _of_process(setting: CutSetting, name: str) -> Iterator[Assumed]:
    process = usual(setting.cut.process)
    if getattr(process, name):
        yield figure(name, float(getattr(process, name)), setting.cut.cutter, *process.sources[name])


def _of_seat(setting: CutSetting) -> Iterator[Assumed]:
    """Run-out, tilt of the lands and setting error by the seat of the inserts."""
    cutter, cut = setting.cutter, setting.cut
    seat = SEATS[cutter.seat or USUAL_SEAT]
    where = f", by its seat ({cutter.seat})" if cutter.seat else f", no seat being named that of a {USUAL_SEAT}"
    is_milled = cut.process == "milling" and cutter.nose_radius is not None and cutter.sharp_roughness is None
    names = ["run_out_um"] if is_milled and cutter.run_out is None else []
    names += ["tilt_mrad"] if is_milled and cutter.land is not None else []
    names += ["setting_um"] if cutter.seat is not None and cutter.setting.error is None else []
    for name in names:
        taken = figure(name, getattr(seat, name), cut.cutter, *seat.sources[name])
        yield taken._replace(value=f"{taken.value}{where}")


def _of_abrasive(setting: CutSetting) -> list[str]:
    """Figures of an abrasive that a cut uses."""
    cutter, cut = setting.cutter, setting.cut
    names = _of_breaking(cutter, ("life_min",))
    names += ["removal_um_min"] if cut.removal is None and cut.minutes is None else []
    names += ["spark_out_min"] if cut.spark_out <= 0.0 and cut.minutes is None else []
    names += ["copying_factor"] if cut.copying is None and cut.stops is None else []
    names += ["roughness_sharp_um"] if cutter.sharp_roughness is None else []
    names += ["roughness_growth", "roughness_power"]
    names += ["force_growth"] if cutter.wheel is None else []
    return names


def _of_part(setting: CutSetting, material: Material, name: str) -> Iterator[Assumed]:
    """What the part does: movement let go or the stress behind it; what the process leaves of place and form."""
    cut, feature = setting.cut, setting.feature
    if feature.thickness is not None:
        names = ("stress_n_mm2", "modulus_n_mm2")
        yield from of_entry(body_of(material.family), names, f"part of {setting.line.material}", _ALSO)
    elif cut.stress_release is None:
        yield from of_entry(material, ["stress_um_mm"], str(setting.line.material), _ALSO)
    if cut.copying is None and cut.stops is None:
        yield from _of_process(setting, "copying")
    if cut.feature in carried(setting.line):
        own = {"position": cut.leaves.position, "tilt": cut.leaves.tilt, "form": cut.leaves.form}
        own["own_form_um"] = cut.leaves.own_form
        process = corrects(cut.process)
        names_left = [name for name, value in own.items() if value is None and getattr(process, name) > 0.0]
        yield from of_entry(process, names_left, f"{cut.process}, {name}", _ALSO)


def _share_a_bar(ahead: CutSetting, setting: CutSetting) -> bool:
    """Whether two cuts of one feature in one stroke sit on one bar."""
    bar, other = setting.cut.bar, ahead.cut.bar
    return bar is not None and other is not None and bar.is_same(other)


def _unsteady(ahead: CutSetting) -> Assumed:
    """Of two blades on one bar the first shakes the second."""
    share, where = (UNSTEADY_IN_SKIN, "in skin") if ahead.in_skin else (UNSTEADY, "in sound metal")
    words = f"unsteady share of the force of a blade that leads on one bar, {where},"
    return Assumed(
        words, f"{share:g}", ahead.cut.cutter, "assumption", "Within what shops see; no source for the figure"
    )
