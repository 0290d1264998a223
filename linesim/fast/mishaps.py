"""What happens to a part besides cutting: chips under it, clamping that moves other features, scratches on the way."""

from __future__ import annotations

from linesim.chance import lognormal_value, normal_from_uniform, normals
from linesim.chance.addresses import move_number, scratch_draw
from linesim.chance.numbers import number_of
from linesim.fast import codes
from linesim.fast.blame import note_move
from linesim.fast.common import NO_BLOCK, block, first_normal, four_uniforms
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import disturbance_at, feature_at, line_at, operation_at, part_at, place_at
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, Place, World
from linesim.plan.tables import NONE


@compiled
def locate(w: World, m: Machine) -> float:
    """Clamp a part; a chip under a pad scratches the located face and lifts the part there.

    Returns
    -------
    float, µm
        Thickness of the chip, or 0.
    """
    spec = operation_at(w.operations, m.operation)
    if spec.chip_feature == NONE or spec.chip_chance <= 0.0:
        return 0.0
    serial = part_at(w.parts, m.part).serial
    chance, _, _, where = four_uniforms(w, codes.PURPOSE_CHIP, m.operation, serial, 0)
    if chance >= spec.chip_chance:
        return 0.0
    _, thick, deep, _ = normals(w.seed, w.replication, codes.PURPOSE_CHIP, m.operation, serial, 0)
    feature = feature_at(w.features, spec.chip_feature)
    place = feature.first_place + int(where * feature.places)
    at = place_at(w.part_places, m.part * w.most_places + place)
    _scratch(at, lognormal_value(spec.chip_scratch_um, spec.chip_scratch_cv, deep))
    return lognormal_value(spec.chip_thickness_um, spec.chip_thickness_cv, thick)


@compiled
def disturb(w: World, m: Machine) -> None:
    """Move the features that the operation disturbs without cutting them."""
    spec = operation_at(w.operations, m.operation)
    serial = part_at(w.parts, m.part).serial
    for at in range(spec.first_disturbance, spec.end_disturbance):
        row = disturbance_at(w.disturbances, at)
        feature = feature_at(w.features, row.feature)
        if not is_for(feature.types, part_at(w.parts, m.part).type):
            continue
        words = block(w, codes.PURPOSE_DISTURB, row.feature, serial, move_number(m.position, 0) >> 3)
        for place in range(feature.places):
            number = move_number(m.position, place)
            if place > 0 and number & 7 == 0:
                words = block(w, codes.PURPOSE_DISTURB, row.feature, serial, number >> 3)
            where = place_at(w.part_places, m.part * w.most_places + feature.first_place + place)
            by_um = row.sigma_um * normal_from_uniform(number_of(words, number))
            where.error_um += by_um
            note_move(where, by_um)


@compiled
def scratch_on_the_way(w: World, m: Machine) -> None:
    """The move to the next operation can scratch what is already machined; after the last one there is no move."""
    line = line_at(w.lines, m.line)
    if m.operation + 1 == line.end_operation:
        return
    for feature in range(line.first_feature, line.end_feature):
        row = feature_at(w.features, feature)
        if row.move_chance > 0.0:
            _scratch_some(w, m, feature)


@inlined
def _scratch_some(w: World, m: Machine, feature: int) -> None:
    """Scratch those machined places of a feature that chance has it for."""
    row, serial = feature_at(w.features, feature), part_at(w.parts, m.part).serial
    words, held = NO_BLOCK, NONE
    for place in range(row.places):
        where = place_at(w.part_places, m.part * w.most_places + row.first_place + place)
        if where.is_machined:
            number = move_number(m.position, place)
            if number >> 3 != held:
                words, held = block(w, codes.PURPOSE_MOVE, feature, serial, number >> 3), number >> 3
            if number_of(words, number) < row.move_chance:
                deep = first_normal(w, codes.PURPOSE_MOVE, feature, serial, scratch_draw(number))
                _scratch(where, lognormal_value(row.move_scratch_um, row.move_scratch_cv, deep))


@inlined
def _scratch(where: Place, depth_um: float) -> None:
    """Only the deepest scratch of a place counts."""
    where.scratch_um = max(where.scratch_um, depth_um)
