"""Who is to blame for the error of a place: the largest term of its account to either side."""

from __future__ import annotations

from linesim.cutting.blame import stronger_term, strongest_term
from linesim.fast import codes
from linesim.fast.common import by_calendar
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import cut_at, line_at, machine_at, mount_at, visit_at
from linesim.fast.state import Machine, Note, Place, World
from linesim.fast.trouble import fault_found
from linesim.plan.tables import NONE


@inlined
def note_move(where: Place, by_um: float) -> None:
    """Something other than a cut moved the place."""
    if by_um > where.up_um:
        where.up_by, where.up_um = NONE, by_um
    if by_um < where.down_um:
        where.down_by, where.down_um = NONE, by_um


@inlined
def note_cut(w: World, m: Machine, cut: int, where: Place, before_um: float, copied: float) -> None:
    """Enter in the account of a place what a cut left of it, and what it added."""
    own_um = where.error_um - copied * before_um
    if not w.has_more:
        where.up_by, where.up_um = stronger_term(where.up_by, copied * where.up_um, cut, own_um, 1.0)
        where.down_by, where.down_um = stronger_term(where.down_by, copied * where.down_um, cut, own_um, -1.0)
        return
    own_um -= m.fault_um
    fault = w.n_cuts + m.operation
    up_by, up_um = strongest_term(where.up_by, copied * where.up_um, cut, own_um, fault, m.fault_um, 1.0)
    down_by, down_um = strongest_term(where.down_by, copied * where.down_um, cut, own_um, fault, m.fault_um, -1.0)
    where.up_by, where.up_um, where.down_by, where.down_um = up_by, up_um, down_by, down_um


@inlined
def clear_terms(where: Place) -> None:
    """Nothing is left of what was done before."""
    where.up_by = where.down_by = NONE
    where.up_um = where.down_um = 0.0


@inlined
def suspect_at(where: Place, cause: int) -> int:
    """Who is to blame for the size of a place that is turned down; for all else, who cut it last."""
    if cause == codes.CAUSE_CUT_AWAY or cause == codes.CAUSE_NOT_CLEANED_UP:  # noqa: PLR1714 - compiled, without sets
        return int(where.down_by)
    return int(where.up_by) if cause == codes.CAUSE_METAL_LEFT else NONE


@compiled
def note_suspect(w: World, m: Machine, note: Note, suspect: int, maker_operation: int, maker_slot: int) -> None:
    """Write down the edge of the cut that is to blame, the last one if none is; or the fault of a machine."""
    first_visit = m.part * w.most_operations - line_at(w.lines, m.line).first_operation
    if suspect >= w.n_cuts:
        visit = visit_at(w.visits, first_visit + suspect - w.n_cuts)
        note.fault_machine, note.fault = visit.machine, visit.fault
        return
    operation, slot = maker_operation, maker_slot
    if suspect != NONE and cut_at(w.cuts, suspect).operation <= m.operation:
        operation, slot = cut_at(w.cuts, suspect).operation, cut_at(w.cuts, suspect).slot
    if operation != NONE:
        visit = visit_at(w.visits, first_visit + operation)
        note.blamed_mount = machine_at(w.machines, visit.machine).first_mount + slot
        note.blamed_done_min = visit.done_min


@inlined
def blame(w: World, note: Note) -> None:
    """What a note says of a part that was turned down reaches the edge, or finds the fault."""
    if note.fault_machine != NONE:
        fault_found(w, note.fault_machine, note.fault, note.gauge)
    if note.blamed_mount != NONE:
        mount = mount_at(w.mounts, note.blamed_mount)
        if mount.mounted_min < by_calendar(w, note.blamed_done_min):
            mount.was_rejected = 1


@inlined
def exchange_notes(a: Note, b: Note) -> None:
    """Let two notes change places."""
    a.rank, b.rank = b.rank, a.rank
    a.gauge, b.gauge = b.gauge, a.gauge
    a.maker_mount, b.maker_mount = b.maker_mount, a.maker_mount
    a.maker_done_min, b.maker_done_min = b.maker_done_min, a.maker_done_min
    a.corrected_mount, b.corrected_mount = b.corrected_mount, a.corrected_mount
    a.corrected_done_min, b.corrected_done_min = b.corrected_done_min, a.corrected_done_min
    a.offset, b.offset = b.offset, a.offset
    a.blamed_mount, b.blamed_mount = b.blamed_mount, a.blamed_mount
    a.blamed_done_min, b.blamed_done_min = b.blamed_done_min, a.blamed_done_min
    a.fault_machine, b.fault_machine = b.fault_machine, a.fault_machine
    a.fault, b.fault = b.fault, a.fault
    a.room_machine, b.room_machine = b.room_machine, a.room_machine
    a.room_turn, b.room_turn = b.room_turn, a.room_turn
    a.room_bad, b.room_bad = b.room_bad, a.room_bad
    a.is_bad, b.is_bad = b.is_bad, a.is_bad
    a.mean_um, b.mean_um = b.mean_um, a.mean_um
    a.worst_um, b.worst_um = b.worst_um, a.worst_um
    a.roughness_um, b.roughness_um = b.roughness_um, a.roughness_um
