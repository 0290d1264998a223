"""What a gauge reads of position, tilt and form on the floor."""

from __future__ import annotations

from typing import Any

from linesim.chance import Purpose
from linesim.chance.addresses import form_draw, try_draw
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause

__all__ = ["shape_faults", "shape_is_good", "tilted_by"]


def shape_faults(site: Site, gauge: int, row: Any, part: Part, place: int) -> list[Cause]:
    """Why the reading of one place of the gauge's feature turns it down: true values plus the gauge's error."""
    if not row.reads_shape:
        return []
    where = site.rows.features[row.feature].first_place + place
    at = try_draw(part.tries, place)
    _, _, aside, turned = site.timing.normals(Purpose.GAUGE, gauge, part.serial, at)
    uneven, _, _, _ = site.timing.normals(Purpose.GAUGE, gauge, part.serial, form_draw(at))
    limits = site.rows.shapes[row.feature]
    faults = []
    if row.reads_position and abs(part.position_um[where] + row.position_error_um * aside) > limits.position_limit_um:
        faults.append(Cause.OFF_PLACE)
    if row.reads_tilt and abs(part.tilt_um[where] + row.tilt_error_um * turned) > limits.tilt_limit_um:
        faults.append(Cause.TILTED)
    if row.reads_form and part.form_um[where] + row.form_error_um * uneven > limits.form_limit_um:
        faults.append(Cause.OUT_OF_FORM)
    return faults


def shape_is_good(site: Site, row: Any, part: Part, place: int) -> bool:
    """Whether what the gauge reads of the shape of a place truly is within the limits."""
    if not row.reads_shape:
        return True
    where = site.rows.features[row.feature].first_place + place
    limits = site.rows.shapes[row.feature]
    is_placed = not row.reads_position or abs(part.position_um[where]) <= limits.position_limit_um
    is_square = not row.reads_tilt or abs(part.tilt_um[where]) <= limits.tilt_limit_um
    return is_placed and is_square and (not row.reads_form or part.form_um[where] <= limits.form_limit_um)


def tilted_by(site: Site, row: Any, part: Part) -> int:
    """Who is to blame for a tilt or a position turned down: the machine of the last cut, if it was bad and tilts.

    Returns
    -------
    int
        The fault as a suspect; ``NONE`` where nobody but the last cutter is.
    """
    maker = row.maker_operation
    if maker == NONE or site.rows.operations[maker].fault_tilt_um == 0.0:
        return NONE
    is_faulty = part.faults[maker - int(site.plan.lines.first_operation[part.line])] > 0
    return len(site.rows.cuts) + int(maker) if is_faulty else NONE
