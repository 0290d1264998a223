"""Gauges: reading a feature, judging the part, and telling the machine that made it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from linesim.chance import Purpose
from linesim.chance.addresses import try_draw
from linesim.floor.blame import Terms
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.reading import Reading
from linesim.floor.shape_reading import shape_faults, shape_is_good, tilted_by
from linesim.floor.site import Site
from linesim.floor.trouble import Trouble
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause

__all__ = ["Maker", "put_right", "read", "tell_maker"]


class Maker(Protocol):
    """A machine, as far as a gauge needs to know it."""

    mounts: list[Mount]
    trouble: Trouble


def read(site: Site, gauge: int, row: Any, part: Part, wandered_um: float) -> Reading:
    """Gauge one part: true values plus the gauge's error, against its limits; count right and wrong verdicts."""
    feature = site.rows.features[row.feature]
    first = feature.first_place
    faults: list[list[Cause]] = []
    sizes: list[float] = []
    total_um = roughest = 0.0
    is_good = True
    for place in range(first, first + feature.places):
        error_um, roughness_um = part.error_um[place], part.roughness_um[place]
        normal = site.timing.normals(Purpose.GAUGE, gauge, part.serial, try_draw(part.tries, place - first))
        size_um = error_um + row.error_um * normal[0] + wandered_um
        rough_um = roughness_um + row.roughness_error_um * normal[1]
        here = _faults(row, part.is_clean[place], size_um, rough_um)
        faults.append(here + shape_faults(site, gauge, row, part, place - first))
        sizes.append(size_um)
        # Added one by one: sum() carries the rounding along from Python 3.12 on, and the compiled engine does not.
        total_um += size_um
        roughest = max(roughest, rough_um)
        is_good &= _is_good(row, part.is_clean[place], error_um, roughness_um)
        is_good &= shape_is_good(site, row, part, place - first)
    causes = [min(each, key=_ORDER.index) if each else None for each in faults]
    cause = min((each for each in causes if each is not None), key=_ORDER.index, default=None)
    site.tally.readings[gauge] += 1
    site.tally.judged[gauge, 0 if is_good else 1, 0 if cause is None else 1] += 1
    suspect = NONE if cause is None else _suspect(part.terms[first + causes.index(cause)], cause)
    if cause in (Cause.TILTED, Cause.OFF_PLACE):
        suspect = tilted_by(site, row, part)
    if cause is not None:
        site.tally.charged[gauge, suspect] += 1
    worst = max(sizes, key=abs)
    return Reading(cause, total_um / len(sizes), worst, roughest if row.reads_roughness else 0.0, suspect)


_ORDER = [
    Cause.NOT_CLEANED_UP, Cause.CUT_AWAY, Cause.OFF_PLACE, Cause.TILTED, Cause.OUT_OF_FORM, Cause.ROUGH, Cause.SMOOTH,
    Cause.METAL_LEFT,
]  # fmt: skip
"""What cannot be mended comes before what can."""


def _faults(row: Any, is_clean: bool, size_um: float, roughness_um: float) -> list[Cause]:
    faults = [] if is_clean else [Cause.NOT_CLEANED_UP]
    if row.reads_size and size_um < row.low_um:
        faults.append(Cause.CUT_AWAY)
    if row.reads_size and size_um > row.high_um:
        faults.append(Cause.METAL_LEFT)
    if row.reads_roughness and roughness_um > row.roughness_limit_um:
        faults.append(Cause.ROUGH)
    if row.reads_roughness and roughness_um < row.roughness_low_um:
        faults.append(Cause.SMOOTH)
    return faults


def _suspect(terms: Terms, cause: Cause) -> int:
    """Who is to blame for the size of a place that is turned down; for all else, who cut it last."""
    if cause in (Cause.CUT_AWAY, Cause.NOT_CLEANED_UP):
        return terms.down_by
    return terms.up_by if cause is Cause.METAL_LEFT else NONE


def _is_good(row: Any, is_clean: bool, error_um: float, roughness_um: float) -> bool:
    """Whether the place truly is within the limits, the gauge's error and guard band left aside."""
    size_is_good = not row.reads_size or row.true_low_um <= error_um <= row.true_high_um
    finish_is_good = not row.reads_roughness or row.roughness_low_um <= roughness_um <= row.roughness_limit_um
    return is_clean and size_is_good and finish_is_good


def put_right(site: Site, number: int, part: Part) -> None:
    """The salvage bench brings the feature to the middle of its limits and to the nearest finish allowed, at a cost."""
    feature = site.rows.features[number]
    for place in range(feature.first_place, feature.first_place + feature.places):
        part.error_um[place] = 0.0
        not_rough = min(part.roughness_um[place], feature.roughness_limit_um)
        part.roughness_um[place] = max(not_rough, feature.roughness_low_um)
        part.is_clean[place] = True
        part.position_um[place] = part.tilt_um[place] = 0.0
        part.form_um[place] = min(part.form_um[place], site.rows.shapes[number].form_limit_um)
        part.terms[place].clear()


def tell_maker(
    site: Site,
    machines: Mapping[int, Maker],
    rank: tuple[int, ...],
    gauge: int,
    row: Any,
    part: Part,
    reading: Reading,
) -> None:
    """Tell the machine that made the feature what the gauge says, once the instant has settled."""
    first = int(site.plan.lines.first_operation[part.line])

    def note() -> None:
        if row.maker_operation != NONE:
            maker = machines[part.machines[row.maker_operation - first]]
            done_min = site.by_calendar(part.done_min[row.maker_operation - first])
            _write_on_edge(maker.mounts[row.maker_slot], done_min, reading)
        if reading.cause is not None:
            _blame(site, machines, gauge, row, part, reading.suspect)
        if row.corrects_cut != NONE:
            maker = machines[part.machines[row.corrects_operation - first]]
            done_min = site.by_calendar(part.done_min[row.corrects_operation - first])
            site.tally.corrections[gauge] += _correct(site, maker, row, done_min, reading.mean_um)

    site.foreman.leave_note(rank, note)


def _write_on_edge(mount: Mount, done_min: float, reading: Reading) -> None:
    """The reading belongs to the edge that cut the part; if that has been changed since, it says nothing."""
    if mount.edge.mounted_min < done_min:
        mount.edge.size_read_um = reading.worst_um
        mount.edge.roughness_read_um = reading.roughness_um
        mount.is_seen |= mount.is_broken and reading.cause is not None


def _blame(site: Site, machines: Mapping[int, Maker], gauge: int, row: Any, part: Part, suspect: int) -> None:
    """Charge the edge of the cut that is to blame, the last one if none is; or find the fault of a machine."""
    first = int(site.plan.lines.first_operation[part.line])
    cuts = len(site.rows.cuts)
    if suspect >= cuts:
        position = suspect - cuts - first
        machines[part.machines[position]].trouble.report(part.faults[position], gauge)
        return
    operation, slot = row.maker_operation, row.maker_slot
    # What a repaired part met further down belongs to an earlier round, of which nobody speaks any more.
    if suspect != NONE and site.rows.cuts[suspect].operation - first <= part.position:
        operation, slot = site.rows.cuts[suspect].operation, site.rows.cuts[suspect].slot
    if operation != NONE:
        mount = machines[part.machines[operation - first]].mounts[slot]
        mount.edge.was_rejected |= mount.edge.mounted_min < site.by_calendar(part.done_min[operation - first])


def _correct(site: Site, maker: Maker, row: Any, done_min: float, mean_um: float) -> int:
    """Move the offset of a cut by a share of the error read; 1 if it was moved."""
    mount = maker.mounts[site.rows.cuts[row.corrects_cut].slot]
    if abs(mean_um) <= row.dead_band_um or mount.edge.mounted_min >= done_min:
        return 0
    by_um = mount.settable_um(row.correction_share * mean_um)
    if by_um == 0.0 < mount.kind.setting_step_um:
        return 0
    mount.offsets[row.corrects_cut] = mount.offsets.get(row.corrects_cut, 0.0) + by_um
    return 1
