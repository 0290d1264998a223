"""What happens to a part besides cutting: chips under it, clamping that moves other features, scratches on the way."""

from __future__ import annotations

from typing import Any

from linesim.chance import Purpose, lognormal_value, normal_from_uniform
from linesim.chance.addresses import move_number, scratch_draw
from linesim.floor.mixing import is_for
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE

__all__ = ["befalls", "disturb", "locate", "scratch_on_the_way"]


def locate(site: Site, operation: int, part: Part) -> float:
    """Clamp a part; a chip under a pad scratches the located face and lifts the part there.

    Returns
    -------
    float, µm
        Thickness of the chip, or 0.
    """
    spec = site.rows.operations[operation]
    if spec.chip_feature == NONE or spec.chip_chance <= 0.0:
        return 0.0
    chance, _, _, where = site.timing.uniforms(Purpose.CHIP, operation, part.serial)
    if chance >= spec.chip_chance:
        return 0.0
    _, thick, deep, _ = site.timing.normals(Purpose.CHIP, operation, part.serial)
    feature = site.rows.features[spec.chip_feature]
    place = feature.first_place + int(where * feature.places)
    _scratch(part, place, lognormal_value(spec.chip_scratch_um, spec.chip_scratch_cv, deep))
    return lognormal_value(spec.chip_thickness_um, spec.chip_thickness_cv, thick)


def disturb(site: Site, operation: int, position: int, part: Part) -> None:
    """Move the features that the operation disturbs without cutting them (studs driven, caps drawn down, clamping)."""
    spec = site.rows.operations[operation]
    for number in range(spec.first_disturbance, spec.end_disturbance):
        row = site.rows.disturbances[number]
        feature = site.rows.features[row.feature]
        if not is_for(feature.types, part.type):
            continue
        for place in range(feature.places):
            uniform = site.timing.uniform(Purpose.DISTURB, row.feature, part.serial, move_number(position, place))
            by_um = row.sigma_um * normal_from_uniform(uniform)
            part.error_um[feature.first_place + place] += by_um
            part.terms[feature.first_place + place].moved(by_um)


def scratch_on_the_way(site: Site, operation: int, position: int, part: Part) -> None:
    """The move to the next operation can scratch what is already machined; after the last one there is no move."""
    lines = site.plan.lines
    if operation + 1 == int(lines.end_operation[part.line]):
        return
    for feature in range(int(lines.first_feature[part.line]), int(lines.end_feature[part.line])):
        row = site.rows.features[feature]
        if row.move_chance <= 0.0:
            continue
        for place in range(row.places):
            if part.is_machined[row.first_place + place]:
                _maybe_scratch(site, part, feature, row, place, position)


def _maybe_scratch(site: Site, part: Part, feature: int, row: Any, place: int, position: int) -> None:
    number = move_number(position, place)
    if site.timing.uniform(Purpose.MOVE, feature, part.serial, number) < row.move_chance:
        deep, _, _, _ = site.timing.normals(Purpose.MOVE, feature, part.serial, scratch_draw(number))
        _scratch(part, row.first_place + place, lognormal_value(row.move_scratch_um, row.move_scratch_cv, deep))


def _scratch(part: Part, place: int, depth_um: float) -> None:
    """Only the deepest scratch of a place counts."""
    part.scratch_um[place] = max(part.scratch_um[place], depth_um)


def befalls(site: Site, operation: int, part: Part, which: int, chance: float) -> bool:
    """Whether something befalls the part that has this chance at each doing of the operation."""
    if chance <= 0.0:
        return False
    return site.timing.uniforms(Purpose.YIELD, operation, part.serial, part.tries)[which] < chance
