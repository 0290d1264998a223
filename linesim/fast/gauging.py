"""Gauges: reading a feature, judging the part, and telling the machine that made it."""

from __future__ import annotations

from typing import Any

from linesim.chance import normal_from_uniform
from linesim.chance.addresses import try_draw
from linesim.chance.numbers import four_of
from linesim.cutting.setting import in_steps
from linesim.fast import codes, steps
from linesim.fast.blame import blame, clear_terms, exchange_notes, note_suspect, suspect_at
from linesim.fast.common import NO_BLOCK, block, by_calendar, count, enter
from linesim.fast.compiled import compiled, inlined
from linesim.fast.cutting import begin_stroke
from linesim.fast.drawers import (
    cut_at,
    feature_at,
    gauge_at,
    kind_at,
    line_at,
    machine_at,
    mount_at,
    note_at,
    operation_at,
    part_at,
    place_at,
    real_at,
    stroke_at,
    visit_at,
    whole_at,
)
from linesim.fast.flow import count_recut, scrap
from linesim.fast.handling import spend, unload
from linesim.fast.mastering import reads_off_um, see_to_master
from linesim.fast.mixing import is_for
from linesim.fast.room_side import hear
from linesim.fast.roughness import settle_roughness
from linesim.fast.shape_reading import (
    FAULT_PLACE,
    FAULT_TILT,
    put_shape_right,
    shape_fault,
    shape_is_good,
    tilted_by,
)
from linesim.fast.state import Machine, Note, World
from linesim.fast.verdict import cause_of, fault_at, is_good_at
from linesim.plan.tables import NONE

# --- the round of a gauge ------------------------------------------------------------------------------------------


@compiled
def next_gauge(w: World, m: Machine) -> int:
    """The next gauge of the operation whose turn it is: those from the spindle before the part is unloaded."""
    operation = operation_at(w.operations, m.operation)
    while m.cursor < operation.end_gauge:
        row = gauge_at(w.gauges, m.cursor)
        if row.in_spindle != m.is_probing or not is_for(row.types, part_at(w.parts, m.part).type):
            m.cursor += 1
            continue
        turn = whole_at(w.gauged, m.first_gauged + m.cursor - operation.first_gauge)
        turn.value += 1
        if turn.value % row.every == 0:
            if row.in_room == 0:
                m.recuts = 0
                return steps.GAUGE
            m.sampled |= 1 << (m.cursor - operation.first_gauge)
        m.cursor += 1
    if m.is_probing:
        m.is_probing = 0
        return unload(w, m)
    return steps.PASS_ON if m.test == NONE else steps.TEST


@compiled
def gauge(w: World, m: Machine) -> int:
    """A gauge is mastered where it is time; then the reading takes its minutes."""
    if m.attends and m.is_probing == 0:
        return steps.GAUGE_ATTENDED
    enter(w, m, codes.STATE_GAUGING)
    see_to_master(w, m)
    return spend(w, m, gauge_at(w.gauges, m.cursor).time, codes.PURPOSE_GAUGE, reading_spot(w, m), steps.READ)


@inlined
def reading_spot(w: World, m: Machine) -> int:
    """Where the minutes of a reading are drawn; spots below the number of gauges belong to the errors of readings."""
    return int(w.n_gauges * (1 + part_at(w.parts, m.part).tries) + m.cursor)


@compiled
def read(w: World, m: Machine) -> int:
    """Read the gauge; recut, salvage or scrap what is turned down."""
    row = gauge_at(w.gauges, m.cursor)
    cause = read_part(w, m, row)
    if cause == NONE:
        m.cursor += 1
        return steps.GAUGE_NEXT
    if cause != codes.CAUSE_METAL_LEFT or m.recuts >= row.tries or row.recut_stroke == NONE:
        return _turned_down(w, m, row, cause)
    m.recuts += 1
    count_recut(w, m, cause)
    m.cutting = steps.RECUT_STROKE
    return begin_stroke(w, m, row.recut_stroke, row.recut_cut, row.recut_cut + 1)


@compiled
def _turned_down(w: World, m: Machine, row: Any, cause: int) -> int:
    """What becomes of a part that a gauge turns down for good."""
    if row.reject == codes.REJECT_SCRAP:
        return scrap(w, m, cause)
    if row.reject == codes.REJECT_SALVAGE:
        count(w.salvaged, m.cursor * w.n_causes + cause)
        part_at(w.parts, m.part).is_first_pass = m.is_first_try = 0
        put_right(w, m, row.feature)
    m.cursor += 1
    return steps.GAUGE_NEXT


@inlined
def put_right(w: World, m: Machine, number: int) -> None:
    """The salvage bench brings the feature to the middle of its limits and to the nearest finish allowed."""
    feature = feature_at(w.features, number)
    for place in range(feature.first_place, feature.first_place + feature.places):
        where = place_at(w.part_places, m.part * w.most_places + place)
        where.error_um = 0.0
        settle_roughness(w, where)
        where.roughness_um = max(min(where.roughness_um, feature.roughness_limit_um), feature.roughness_low_um)
        where.is_clean = 1
        clear_terms(where)
    if feature.carries:
        put_shape_right(w, m, number)


# --- reading ------------------------------------------------------------------------------------------------------


@compiled
def read_part(w: World, m: Machine, row: Any) -> int:
    """Gauge one part: true values plus the gauge's error; count right and wrong verdicts. Returns why it fails."""
    feature = feature_at(w.features, row.feature)
    part = part_at(w.parts, m.part)
    fault, suspect, is_good = 0, NONE, True
    words, held = NO_BLOCK, NONE
    wandered_um = reads_off_um(w, m, row)
    if row.in_spindle:
        wandered_um += m.warm_um
    total_um = worst_um = roughest_um = 0.0
    for place in range(feature.places):
        where = place_at(w.part_places, m.part * w.most_places + feature.first_place + place)
        if row.reads_roughness:
            settle_roughness(w, where)
        size_um, rough_um = where.error_um, where.roughness_um
        if row.error_um > 0.0 or row.roughness_error_um > 0.0:
            at = try_draw(part.tries, place)
            if at >> 1 != held:
                words, held = block(w, codes.PURPOSE_GAUGE, m.cursor, part.serial, at >> 1), at >> 1
            first, second, _, _ = four_of(words, at)
            size_um += row.error_um * normal_from_uniform(first)
            if row.roughness_error_um > 0.0:
                rough_um += row.roughness_error_um * normal_from_uniform(second)
        size_um += wandered_um
        here = fault_at(row, where, size_um, rough_um)
        if row.reads_shape:
            here = max(here, shape_fault(w, m, row, place))
            is_good = is_good and shape_is_good(w, m, row, place)
        if here > fault:
            fault, suspect = here, suspect_at(where, cause_of(here))
        is_good = is_good and is_good_at(row, where)
        total_um += size_um
        roughest_um = max(roughest_um, rough_um)
        if place == 0 or abs(size_um) > abs(worst_um):
            worst_um = size_um
    count(w.readings, m.cursor)
    count(w.judged, m.cursor * 4 + (0 if is_good else 2) + (1 if fault else 0))
    roughness_um = roughest_um if row.reads_roughness else 0.0
    note = _leave_note(w, m, row, total_um / feature.places, worst_um, roughness_um)
    note.is_bad = 1 if fault else 0
    if FAULT_TILT <= fault <= FAULT_PLACE:
        suspect = tilted_by(w, m, row)
    if fault:
        others = w.n_cuts + w.n_operations
        count(w.charged, m.cursor * (others + 1) + (others if suspect == NONE else suspect))
        note_suspect(w, m, note, suspect, row.maker_operation, row.maker_slot)
    return cause_of(fault)


# --- telling the maker --------------------------------------------------------------------------------------------


@compiled
def _leave_note(w: World, m: Machine, row: Any, mean_um: float, worst_um: float, roughness_um: float) -> Note:
    """Leave a note for the machines that made the feature, to be read when the instant has settled."""
    note = note_at(w.notes, w.n_notes)
    w.n_notes += 1
    note.rank, note.gauge = m.rank, m.cursor
    note.mean_um, note.worst_um, note.roughness_um = mean_um, worst_um, roughness_um
    note.maker_mount = note.corrected_mount = note.blamed_mount = note.fault_machine = note.room_machine = NONE
    first_visit = m.part * w.most_operations - line_at(w.lines, m.line).first_operation
    if row.maker_operation != NONE:
        visit = visit_at(w.visits, first_visit + row.maker_operation)
        note.maker_mount = machine_at(w.machines, visit.machine).first_mount + row.maker_slot
        note.maker_done_min = visit.done_min
    if row.corrects_cut != NONE:
        visit = visit_at(w.visits, first_visit + row.corrects_operation)
        maker = machine_at(w.machines, visit.machine)
        note.corrected_mount = maker.first_mount + cut_at(w.cuts, row.corrects_cut).slot
        note.corrected_done_min = visit.done_min
        operation = operation_at(w.operations, maker.operation)
        note.offset = maker.first_offset + row.corrects_cut - stroke_at(w.strokes, operation.first_stroke).first_cut
    return note


@compiled
def read_notes(w: World) -> None:
    """All notes of the instant, downstream first, then by machine number."""
    for at in range(1, w.n_notes):
        _sink(w, at)
    for at in range(w.n_notes):
        note = note_at(w.notes, at)
        if note.maker_mount != NONE:
            _write_on_edge(w, note)
        blame(w, note)
        if note.room_machine != NONE:
            hear(w, note)
        if note.corrected_mount != NONE:
            _correct(w, note)
    w.n_notes = 0


@inlined
def _sink(w: World, at: int) -> None:
    """Move a note before those of higher rank."""
    while at > 0 and note_at(w.notes, at - 1).rank > note_at(w.notes, at).rank:
        exchange_notes(note_at(w.notes, at - 1), note_at(w.notes, at))
        at -= 1


@inlined
def _write_on_edge(w: World, note: Note) -> None:
    """The reading belongs to the edge that cut the part; if that has been changed since, it says nothing."""
    mount = mount_at(w.mounts, note.maker_mount)
    if mount.mounted_min < by_calendar(w, note.maker_done_min):
        mount.size_read_um = note.worst_um
        mount.roughness_read_um = note.roughness_um
        mount.is_seen |= mount.is_broken & note.is_bad


@inlined
def _correct(w: World, note: Note) -> None:
    """Move the offset of a cut by a share of the error read."""
    row = gauge_at(w.gauges, note.gauge)
    mount = mount_at(w.mounts, note.corrected_mount)
    if abs(note.mean_um) <= row.dead_band_um or mount.mounted_min >= by_calendar(w, note.corrected_done_min):
        return
    step_um = kind_at(w.kinds, mount.kind).setting_step_um
    by_um = in_steps(row.correction_share * note.mean_um, step_um)
    if by_um == 0.0 and step_um > 0.0:
        return
    real_at(w.offsets, note.offset).value += by_um
    count(w.corrections, note.gauge)
