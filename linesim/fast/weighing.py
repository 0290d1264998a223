"""How far a part is from its drawing, as tests and the field weigh it; and what of it fails in the field."""

from __future__ import annotations

from typing import Any

from linesim.fast import codes
from linesim.fast.common import add
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import feature_at, part_at, place_at, shape_at, test_at, test_term_at
from linesim.fast.roughness import settle_roughness
from linesim.fast.state import World
from linesim.quality.consequences import chance_of_reject, over_limit

__all__ = ["amount_of", "count_field_failures", "deviation_of"]


@inlined
def _value_of(w: World, number: int, component: int, shape: int) -> float:
    """One component of a place; ``shape`` is the number of its position, tilt and form, if it carries them."""
    where = place_at(w.part_places, number)
    if component == codes.OF_SIZE:
        return where.error_um
    if component == codes.OF_ROUGHNESS:
        settle_roughness(w, where)
        return where.roughness_um
    if component == codes.OF_SCRATCH:
        return where.scratch_um
    if component == codes.OF_POSITION:
        return shape_at(w.part_shapes, shape).position_um
    if component == codes.OF_TILT:
        return shape_at(w.part_shapes, shape).tilt_um
    return shape_at(w.part_shapes, shape).form_um


@compiled
def amount_of(w: World, term: int, part: int) -> float:
    """Weighted deviation of one term; of like places the worst counts."""
    row = test_term_at(w.test_terms, term)
    feature = feature_at(w.features, row.feature)
    worst = 0.0
    for place in range(feature.places):
        at = feature.first_place + place
        value = _value_of(w, part * w.most_places + at, row.component, part * w.most_shapes + at)
        worst = max(worst, over_limit(value, row.aim_um, row.below_um, row.above_um))
    return float(row.weight * worst)


@compiled
def deviation_of(w: World, row: Any, part: int) -> float:
    """Sum of the weighted deviations of a test."""
    total = 0.0
    for term in range(row.first_term, row.end_term - 1):
        total += amount_of(w, term, part)
    return total


@compiled
def count_field_failures(w: World, part: int, first_test: int, end_test: int) -> None:
    """Add the chance that a shipped part fails in the field, shared out over the terms by their amounts."""
    for test in range(first_test, end_test):
        row = test_at(w.tests, test)
        total = deviation_of(w, row, part)
        add(w.field_chance, row.end_term - 1, row.floor)
        if (part_at(w.parts, part).put_right >> row.cause) & 1:
            continue
        by_surfaces = chance_of_reject(total, row.strength, row.strength_sd, row.floor) - row.floor
        if total <= 0.0:
            add(w.field_chance, row.end_term - 1, by_surfaces)
            continue
        for term in range(row.first_term, row.end_term - 1):
            add(w.field_chance, term, by_surfaces * amount_of(w, term, part) / total)
