"""The first piece after a change: gauged before the machine is trusted, and what is read sets the offsets."""

from __future__ import annotations

from typing import Any

from linesim.fast import codes, steps
from linesim.fast.common import count, enter, wait
from linesim.fast.compiled import compiled
from linesim.fast.cutting import begin_stroke, stroke_of
from linesim.fast.drawers import (
    cut_at,
    feature_at,
    first_piece_at,
    mount_at,
    part_at,
    real_at,
    whole_at,
)
from linesim.fast.flow import count_recut, scrap
from linesim.fast.gauging import put_right
from linesim.fast.handling import put_in, to_gauges
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.set_aside import end_cut, is_first, read_sizes, settable_um
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE

_LEFT_ON = 1
_OFF = 2
"""What is marked of a cut that was read: metal was left on, its offset was moved."""


@compiled
def _ask(w: World, m: Machine) -> int:
    """Somebody is asked for, if the part that was just cut is a first piece; then the gauges come."""
    if not is_first(w, m):
        return to_gauges(w, m)
    enter(w, m, codes.STATE_FIRST_PIECE)
    return claim_gauger(w, m, steps.FIRST_GAUGE)


@compiled
def claim_gauger(w: World, m: Machine, then: int) -> int:
    """Claim whoever gauges first pieces, of a machine or its bench; at once where nobody has to."""
    return call_people(w, m, first_piece_at(w.first_pieces, m.operation).by, NONE, then)


@compiled
def gauge_piece(w: World, m: Machine, then: int) -> int:
    """The reading takes its minutes."""
    time = first_piece_at(w.first_pieces, m.operation).time
    return work(w, m, put_in(w, m, time, codes.PURPOSE_FIRST_PIECE, m.operation), then)


@compiled
def _read(w: World, m: Machine) -> int:
    """Every cut of a fresh edge is read, and its offset set; then what left metal on is cut again."""
    row = first_piece_at(w.first_pieces, m.operation)
    let_go(w, m)
    count(w.first_gauged, m.index)
    cause, lost_feature = NONE, NONE
    for cut in range(m.first_cut, end_cut(w, m)):
        spec = cut_at(w.cuts, cut)
        whole_at(w.first_marks, m.first_offset + cut - m.first_cut).value = 0
        if spec.is_read_first and mount_at(w.mounts, m.first_mount + spec.slot).first_left > 0:
            fault = _read_cut(w, m, cut, row)
            if fault != NONE and cause == NONE:
                cause, lost_feature = fault, spec.feature
    if _count_tries(w, m):
        count(w.first_corrected, m.index)
    m.cursor = m.first_cut
    if cause == NONE or row.bad == codes.REJECT_PASS:
        return steps.FIRST_RECUT
    if row.bad == codes.REJECT_SCRAP:
        count(w.first_scrapped, m.index)
        return scrap(w, m, cause)
    count(w.first_salvaged, m.index * w.n_causes + cause)
    part_at(w.parts, m.part).is_first_pass = m.is_first_try = 0
    put_right(w, m, lost_feature)
    return to_gauges(w, m)


@compiled
def _recut(w: World, m: Machine) -> int:
    """The next cut that left metal on is made again, at its new offset; then the gauges come."""
    # The spindle may have gone ahead of the others.
    if wait(w, m, 0.0, steps.FIRST_RECUT) == steps.BLOCKED:
        return steps.BLOCKED
    while m.cursor < end_cut(w, m):
        cut = m.cursor
        m.cursor += 1
        if whole_at(w.first_marks, m.first_offset + cut - m.first_cut).value & _LEFT_ON:
            enter(w, m, codes.STATE_FIRST_PIECE)
            count_recut(w, m, codes.CAUSE_METAL_LEFT)
            m.cutting = steps.FIRST_RECUT_STROKE
            return begin_stroke(w, m, stroke_of(w, m, cut), cut, cut + 1)
    return to_gauges(w, m)


@compiled
def _read_cut(w: World, m: Machine, cut: int, row: Any) -> int:
    """Read one cut, set its offset and mark it; why the piece is lost, if it is."""
    spec = cut_at(w.cuts, cut)
    mount, feature = mount_at(w.mounts, m.first_mount + spec.slot), feature_at(w.features, spec.feature)
    is_clean, mean_um, least_um, most_um = read_sizes(w, m, cut, row)
    mark = whole_at(w.first_marks, m.first_offset + cut - m.first_cut)
    off_um = mean_um + (spec.rezero_aim_um if mount.is_rezeroed else spec.aim_um)
    by_um = settable_um(w, m, spec.slot, off_um) if abs(off_um) > row.accept_um else 0.0
    if by_um != 0.0:
        real_at(w.offsets, m.first_offset + cut - m.first_cut).value += by_um
        mark.value |= _OFF
    if not is_clean:
        return codes.CAUSE_NOT_CLEANED_UP
    if least_um < feature.low_um:
        return codes.CAUSE_CUT_AWAY
    if most_um > feature.high_um:
        mark.value |= _LEFT_ON
    return NONE


@compiled
def _count_tries(w: World, m: Machine) -> bool:
    """A set whose offset was moved wants another piece, while there are tries left; whether any was."""
    any_off = False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.first_left > 0:
            is_off = False
            for cut in range(m.first_cut, end_cut(w, m)):
                if cut_at(w.cuts, cut).slot == number - m.first_mount:
                    is_off |= whole_at(w.first_marks, m.first_offset + cut - m.first_cut).value & _OFF != 0
            mount.first_left = mount.first_left - 1 if is_off else 0
            any_off |= is_off
    return any_off


@compiled
def first_piece(w: World, m: Machine, step: int) -> int:
    """Steps for the first piece after a change. Returns the step after."""
    if step == steps.FIRST_ASK:
        return _ask(w, m)
    if step == steps.FIRST_GAUGE:
        return gauge_piece(w, m, steps.FIRST_READ)
    return _read(w, m) if step == steps.FIRST_READ else _recut(w, m)
