"""What a gauge reads of position, tilt and form; as `linesim.floor.shape_reading`."""

from __future__ import annotations

from typing import Any

from linesim.chance import normals
from linesim.chance.addresses import form_draw, try_draw
from linesim.fast import codes
from linesim.fast.compiled import compiled
from linesim.fast.drawers import feature_at, line_at, operation_at, part_at, shape_at, shape_of, visit_at
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE

__all__ = [
    "FAULT_FORM", "FAULT_PLACE", "FAULT_TILT", "put_shape_right", "shape_fault", "shape_is_good", "tilted_by",
]  # fmt: skip

FAULT_FORM = 4
FAULT_TILT = 5
FAULT_PLACE = 6
"""How bad these faults are among those that `linesim.fast.gauging` knows."""


@compiled
def shape_fault(w: World, m: Machine, row: Any, place: int) -> int:
    """The worst that is read of the shape of a place of the gauge's feature, 0 for nothing."""
    part, limits = part_at(w.parts, m.part), shape_of(w.shapes, row.feature)
    shape = shape_at(w.part_shapes, m.part * w.most_shapes + feature_at(w.features, row.feature).first_place + place)
    at = try_draw(part.tries, place)
    _, _, aside, turned = normals(w.seed, w.replication, codes.PURPOSE_GAUGE, m.cursor, part.serial, at)
    uneven, _, _, _ = normals(w.seed, w.replication, codes.PURPOSE_GAUGE, m.cursor, part.serial, form_draw(at))
    if row.reads_position and abs(shape.position_um + row.position_error_um * aside) > limits.position_limit_um:
        return FAULT_PLACE
    if row.reads_tilt and abs(shape.tilt_um + row.tilt_error_um * turned) > limits.tilt_limit_um:
        return FAULT_TILT
    if row.reads_form and shape.form_um + row.form_error_um * uneven > limits.form_limit_um:
        return FAULT_FORM
    return 0


@compiled
def shape_is_good(w: World, m: Machine, row: Any, place: int) -> bool:
    """Whether what the gauge reads of the shape of a place truly is within the limits."""
    limits = shape_of(w.shapes, row.feature)
    shape = shape_at(w.part_shapes, m.part * w.most_shapes + feature_at(w.features, row.feature).first_place + place)
    if row.reads_position and abs(shape.position_um) > limits.position_limit_um:
        return False
    if row.reads_tilt and abs(shape.tilt_um) > limits.tilt_limit_um:
        return False
    return bool(row.reads_form == 0 or shape.form_um <= limits.form_limit_um)


@compiled
def put_shape_right(w: World, m: Machine, feature: int) -> None:
    """The salvage bench brings a feature to its place and to the form allowed."""
    row, limit_um = feature_at(w.features, feature), shape_of(w.shapes, feature).form_limit_um
    for place in range(row.first_place, row.first_place + row.places):
        shape = shape_at(w.part_shapes, m.part * w.most_shapes + place)
        shape.position_um = shape.tilt_um = 0.0
        shape.form_um = min(shape.form_um, limit_um)


@compiled
def tilted_by(w: World, m: Machine, row: Any) -> int:
    """Who is to blame for a tilt or a position turned down: the machine of the last cut, if it was bad and tilts.

    Returns
    -------
    int
        The fault as a suspect; ``NONE`` where nobody but the last cutter is.
    """
    maker = row.maker_operation
    if maker == NONE or operation_at(w.operations, maker).fault_tilt_um == 0.0:
        return NONE
    position = maker - line_at(w.lines, m.line).first_operation
    is_faulty = visit_at(w.visits, m.part * w.most_operations + position).fault > 0
    return int(w.n_cuts + maker) if is_faulty else NONE
