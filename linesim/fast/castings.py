"""Castings as they come into a line."""

from __future__ import annotations

from linesim.chance import normal_from_uniform
from linesim.chance.numbers import number_of
from linesim.fast import codes, steps
from linesim.fast.blame import clear_terms
from linesim.fast.common import NO_BLOCK, block, count
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import feature_at, line_at, part_at, place_at, shape_at, visit_at
from linesim.fast.heats import cast_from_heat
from linesim.fast.mixing import is_for, type_of
from linesim.fast.shapes import cast_shape
from linesim.fast.standing import account_line, new_part
from linesim.fast.state import Part, World
from linesim.floor.circles import MOST_INSIDE
from linesim.plan.tables import NONE


@compiled
def casting(w: World, line: int) -> int:
    """The next casting, with its own unevenness in every place of every feature."""
    account_line(w, line)
    row = line_at(w.lines, line)
    number = new_part(w)
    part = part_at(w.parts, number)
    part.serial, part.line, part.came_min = row.serial, line, w.now
    part.is_first_pass, part.tries = 1, 0
    if w.has_more:
        part.heat_life = part.heat_force = 1.0
    if row.heat_castings > 0 or row.heat_min > 0.0:
        cast_from_heat(w, row, part)
    part.rounds = part.repairs = 0
    part.put_right = part.recalled = 0
    part.back = NONE
    part.failed_test = part.blamed = NONE
    row.serial += 1
    row.inside += 1
    if row.inside > MOST_INSIDE and w.trouble == 0:
        w.trouble, w.culprit = steps.CROWDED, line
    count(w.castings, line)
    part.type = 0
    if row.has_types:
        part.type = type_of(w, line, part.serial)
        count(w.castings_of_type, row.first_type + part.type)
    if row.keeps_visits:
        _clear_visits(w, number)
        if row.fellows:
            part.fellow, part.is_apart, part.is_lost, part.is_delivered = NONE, 0, 0, 0
    for feature in range(row.first_feature, row.end_feature):
        if is_for(feature_at(w.features, feature).types, part.type):
            _cast(w, number, part, feature)
        else:
            _leave_out(w, number, feature)
    return number


@inlined
def _cast(w: World, number: int, part: Part, feature: int) -> None:
    row, words = feature_at(w.features, feature), NO_BLOCK
    for place in range(row.places):
        where = place_at(w.part_places, number * w.most_places + row.first_place + place)
        normal = 0.0
        if row.spread_um > 0.0:
            if place & 7 == 0:
                words = block(w, codes.PURPOSE_CASTING, feature, part.serial, place >> 3)
            normal = normal_from_uniform(number_of(words, place))
        where.error_um = row.spread_um * normal
        where.roughness_um = row.cast_roughness_um
        where.scratch_um = 0.0
        where.is_clean = 1
        where.is_machined = 0
        where.rough_cut = NONE
        where.up_by = where.down_by = NONE
        where.up_um, where.down_um = max(where.error_um, 0.0), min(where.error_um, 0.0)
    if row.carries:
        cast_shape(w, number, part.serial, feature)


@compiled
def _leave_out(w: World, number: int, feature: int) -> None:
    """A feature that parts of this type do not have is as it should be, so that it tells nothing."""
    row = feature_at(w.features, feature)
    for place in range(row.places):
        where = place_at(w.part_places, number * w.most_places + row.first_place + place)
        where.error_um, where.roughness_um, where.scratch_um = 0.0, row.roughness_aim_um, 0.0
        where.is_clean, where.is_machined, where.rough_cut = 1, 0, NONE
        clear_terms(where)
        if row.carries:
            shape = shape_at(w.part_shapes, number * w.most_shapes + row.first_place + place)
            shape.position_um = shape.tilt_um = shape.form_um = 0.0


@inlined
def _clear_visits(w: World, number: int) -> None:
    for position in range(w.most_operations):
        visit = visit_at(w.visits, number * w.most_operations + position)
        visit.spent_min = 0.0
        visit.done_min = 0.0
        visit.fault = 0
        visit.machine = NONE
        visit.turn = 0
