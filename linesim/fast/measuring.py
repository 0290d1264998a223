"""Shipped parts as they truly are: sums over the places of every feature."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.fast import codes
from linesim.fast.common import add, count
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import feature_at, place_at, real_at, shape_at, shape_of, whole_at
from linesim.fast.roughness import settle_roughness
from linesim.fast.state import Place, World
from linesim.quality.taguchi import weighted_square

_EACH = len(Component)


@compiled
def measure(w: World, part: int, feature: int) -> bool:
    """Add the places of one feature to the tally; tell whether any is out of limits."""
    row = feature_at(w.features, feature)
    first = part * w.most_places + row.first_place
    least = greatest = place_at(w.part_places, first).error_um
    unclean = 0
    is_out = False
    for place in range(row.places):
        where = place_at(w.part_places, first + place)
        least, greatest = min(least, where.error_um), max(greatest, where.error_um)
        settle_roughness(w, where)
        unclean += 1 - where.is_clean
        is_out |= _count_place(w, feature, where)
    if row.carries:
        is_out |= _count_shape(w, part, feature)
    whole_at(w.places, feature).value += row.places
    whole_at(w.unclean, feature).value += unclean
    add(w.range_total, feature, greatest - least)
    return is_out or unclean > 0


@inlined
def _count_place(w: World, feature: int, where: Place) -> bool:
    row = feature_at(w.features, feature)
    at = feature * _EACH
    is_out = _count(w, at + codes.OF_SIZE, where.error_um, row.low_um, row.high_um)
    is_out |= _count(w, at + codes.OF_ROUGHNESS, where.roughness_um, row.roughness_low_um, row.roughness_limit_um)
    is_out |= _count(w, at + codes.OF_SCRATCH, where.scratch_um, 0.0, row.scratch_limit_um)
    finish_um2 = weighted_square(where.roughness_um, row.roughness_aim_um, row.smooth_weight, row.rough_weight)
    add(w.capped, at + codes.OF_SIZE, min(where.error_um * where.error_um, row.size_cap_um2))
    add(w.capped, at + codes.OF_ROUGHNESS, min(finish_um2, row.roughness_cap_um2))
    add(w.capped, at + codes.OF_SCRATCH, min(where.scratch_um * where.scratch_um, row.scratch_cap_um2))
    return is_out


@compiled
def _count_shape(w: World, part: int, feature: int) -> bool:
    """Position, tilt and form of all places of a feature."""
    row, limits = feature_at(w.features, feature), shape_of(w.shapes, feature)
    at, is_out = feature * _EACH, False
    position, tilt, form = limits.position_limit_um, limits.tilt_limit_um, limits.form_limit_um
    for place in range(row.places):
        shape = shape_at(w.part_shapes, part * w.most_shapes + row.first_place + place)
        is_out |= _count(w, at + codes.OF_POSITION, shape.position_um, -position, position)
        is_out |= _count(w, at + codes.OF_TILT, shape.tilt_um, -tilt, tilt)
        is_out |= _count(w, at + codes.OF_FORM, shape.form_um, 0.0, form)
        add(w.capped, at + codes.OF_POSITION, min(shape.position_um * shape.position_um, limits.position_cap_um2))
        add(w.capped, at + codes.OF_TILT, min(shape.tilt_um * shape.tilt_um, limits.tilt_cap_um2))
        add(w.capped, at + codes.OF_FORM, min(shape.form_um * shape.form_um, limits.form_cap_um2))
    return is_out


@inlined
def _count(w: World, at: int, value: float, low: float, high: float) -> bool:
    add(w.total, at, value)
    add(w.square, at, value * value)
    least, greatest = real_at(w.least, at), real_at(w.greatest, at)
    least.value = min(least.value, value)
    greatest.value = max(greatest.value, value)
    if value < low:
        count(w.below, at)
    if value > high:
        count(w.above, at)
    return value < low or value > high
