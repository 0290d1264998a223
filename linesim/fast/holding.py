"""How a part sits on its machine, how warm machine and room are, and how true the places are that it cuts."""

from __future__ import annotations

import math

from linesim.chance import lognormal_value, normal_from_uniform, normals
from linesim.cutting.error_terms import copied_share
from linesim.cutting.heat import room_kelvin, warmth_after
from linesim.cutting.locating import BOW_CV, form_of_cut_um, position_of_cut_um, size_moved_um, tilt_of_cut_um
from linesim.fast import codes
from linesim.fast.additions import printed_um
from linesim.fast.common import by_calendar
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    cut_at,
    feature_at,
    fixture_at,
    holding_at,
    part_at,
    place_at,
    placing_at,
    shape_at,
)
from linesim.fast.state import Machine, Shape, World
from linesim.plan.tables import NONE


@compiled
def sit(w: World, m: Machine) -> None:
    """Put the part on its fixture."""
    row = holding_at(w.holdings, m.operation)
    m.held_um, m.turned_um = m.own_held_um, m.own_turned_um
    if row.fixtures == 0:
        return
    number = part_at(w.parts, m.part).serial % row.fixtures
    if row.first_fixture != NONE:
        measured = fixture_at(w.fixtures, row.first_fixture + number)
        m.held_um, m.turned_um = measured.position_um + m.own_held_um, measured.tilt_um + m.own_turned_um
        return
    aside, turned, _, _ = normals(w.seed, w.replication, codes.PURPOSE_FIXTURE, row.fixture_spot, number, 0)
    m.held_um, m.turned_um = row.position_um * aside + m.own_held_um, row.tilt_um * turned + m.own_turned_um


@compiled
def feel_warmth(w: World, m: Machine, cut_min: float) -> None:
    """What a stroke that begins now feels of the warmth of machine and room; the machine warms by its minutes."""
    row = holding_at(w.holdings, m.operation)
    if row.swing_k != 0.0:
        m.room_k = room_kelvin(by_calendar(w, m.now), row.swing_k, row.swing_min)
    if row.rise_um == 0.0:
        return
    began_cold = math.floor(by_calendar(w, m.now) / row.cold_min)
    warmth = 0.0
    if began_cold == m.began_cold:
        warmth = warmth_after(m.warmth, max(m.now - m.warm_until_min, 0.0), 0.0, row.cool_min)
    m.warmth = warmth_after(warmth, cut_min, 1.0, row.warm_min)
    m.warm_until_min, m.began_cold = m.now + cut_min, began_cold
    m.warm_um = row.rise_um * (warmth - row.set_warm)


@compiled
def datum_place(w: World, m: Machine, feature: int, place: int) -> int:
    """Where in the part the datum of a place stands: its like where there are as many, else the first; or ``NONE``."""
    datum = holding_at(w.holdings, m.operation).datum
    if datum == NONE:
        return NONE
    row = feature_at(w.features, datum)
    if row.places == feature_at(w.features, feature).places:
        return int(row.first_place + place)
    return int(row.first_place)


@inlined
def _shape(w: World, m: Machine, where: int) -> Shape:
    return shape_at(w.part_shapes, m.part * w.most_shapes + where)


@compiled
def held_moved_um(w: World, m: Machine, cut: int, place: int) -> float:
    """What holding and warmth add to the size that a cut leaves at a place."""
    datum = datum_place(w, m, cut_at(w.cuts, cut).feature, place)
    lift_um, tilt_um = m.lift_um, 0.0
    if datum != NONE:
        lift_um += place_at(w.part_places, m.part * w.most_places + datum).scratch_um
        if feature_at(w.features, holding_at(w.holdings, m.operation).datum).carries:
            tilt_um = _shape(w, m, datum).tilt_um
    moved_um = size_moved_um(placing_at(w.placings, cut), lift_um, m.held_um, m.turned_um, tilt_um, m.room_k)
    return moved_um - m.warm_um


@compiled
def shape_place(
    w: World, m: Machine, cut: int, place: int, growth: float, stress: float, uniform: float, taken_um: float
) -> None:
    """Position, tilt and form of a place after a cut that took metal; from a normal of stress and a uniform."""
    spec, cut_row = placing_at(w.placings, cut), cut_at(w.cuts, cut)
    copied = copied_share(cut_row, growth, part_at(w.parts, m.part).heat_force)
    shape = _shape(w, m, feature_at(w.features, cut_row.feature).first_place + place)
    datum = datum_place(w, m, cut_row.feature, place)
    lift_um, tilt_um, form_um = m.lift_um + m.turned_um, 0.0, 0.0
    if datum != NONE:
        lift_um += place_at(w.part_places, m.part * w.most_places + datum).scratch_um
        of_datum = _shape(w, m, datum)
        tilt_um, form_um = of_datum.tilt_um, of_datum.form_um
    bow_factor = lognormal_value(1.0, BOW_CV, stress) if spec.bow_um > 0.0 else 0.0
    normal = normal_from_uniform(uniform)
    shape.position_um = position_of_cut_um(spec, copied, shape.position_um, lift_um, m.held_um, tilt_um, normal)
    shape.tilt_um = tilt_of_cut_um(spec, copied, shape.tilt_um, lift_um, tilt_um)
    printed = printed_um(w, m, cut, place)
    shape.form_um = form_of_cut_um(spec, copied, shape.form_um, form_um, bow_factor, printed, taken_um)
