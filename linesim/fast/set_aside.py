"""First pieces of a machine that runs on while they are gauged: what will be read, and when it is set."""

from __future__ import annotations

import math
from typing import Any

from linesim.chance import normal_from_uniform
from linesim.chance.addresses import first_reading_draw
from linesim.cutting.setting import in_steps
from linesim.fast import codes
from linesim.fast.common import four_uniforms
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    cut_at,
    feature_at,
    first_piece_at,
    kind_at,
    mount_at,
    mount_plan_at,
    operation_at,
    part_at,
    place_at,
    real_at,
    stroke_at,
)
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@inlined
def end_cut(w: World, m: Machine) -> int:
    """The cut behind the last one of the machine's operation."""
    end: int = stroke_at(w.strokes, operation_at(w.operations, m.operation).end_stroke - 1).end_cut
    return end


@compiled
def is_first(w: World, m: Machine) -> bool:
    """Whether the part at hand is a first piece; one that comes back from repair tells nothing."""
    if part_at(w.parts, m.part).rounds > 0:
        return False
    is_wanted = False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        plan = mount_plan_at(w.mount_plans, number)
        if 0 < plan.rezero_parts <= mount.parts and mount.is_rezeroed == 0 and mount.awaited == NONE:
            mount.first_left, mount.is_rezeroed = plan.first_tries, 1
        is_wanted |= mount.first_left > 0 and mount.awaited == NONE
    return is_wanted


@compiled
def read_sizes(w: World, m: Machine, cut: int, row: Any) -> tuple[bool, float, float, float]:
    """What is read of a cut of the part at hand: whether it is clean all over, mean, least and greatest size."""
    spec, part = cut_at(w.cuts, cut), part_at(w.parts, m.part)
    feature = feature_at(w.features, spec.feature)
    is_clean, total_um, least_um, most_um = True, 0.0, math.inf, -math.inf
    for place in range(feature.places):
        where = place_at(w.part_places, m.part * w.most_places + feature.first_place + place)
        size_um = where.error_um
        if row.error_um > 0.0:
            at = first_reading_draw(part.tries, place)
            first, _, _, _ = four_uniforms(w, codes.PURPOSE_FIRST_PIECE, cut, part.serial, at)
            size_um += row.error_um * normal_from_uniform(first)
        total_um += size_um
        least_um, most_um = min(least_um, size_um), max(most_um, size_um)
        is_clean &= where.is_clean != 0
    return is_clean, total_um / feature.places, least_um, most_um


@inlined
def settable_um(w: World, m: Machine, slot: int, by_um: float) -> float:
    """What can be put on an offset of what is meant to be: whole steps, as far as the machine sets it in steps."""
    return in_steps(by_um, kind_at(w.kinds, mount_at(w.mounts, m.first_mount + slot).kind).setting_step_um)


@compiled
def fate_of(w: World, m: Machine) -> int:
    """Read the first piece at hand: its fate and what each offset is moved by. Returns why it is turned down."""
    row, part = first_piece_at(w.first_pieces, m.operation), part_at(w.parts, m.part)
    part.fate, part.is_corrected = NONE, 0
    left_on = NONE
    for cut in range(m.first_cut, end_cut(w, m)):
        spec = cut_at(w.cuts, cut)
        mount = mount_at(w.mounts, m.first_mount + spec.slot)
        if not spec.is_read_first or mount.first_left == 0 or mount.awaited != NONE:
            continue
        is_clean, mean_um, least_um, most_um = read_sizes(w, m, cut, row)
        off_um = mean_um + (spec.rezero_aim_um if mount.is_rezeroed else spec.aim_um)
        by_um = settable_um(w, m, spec.slot, off_um) if abs(off_um) > row.accept_um else 0.0
        real_at(w.first_offs, m.first_offset + cut - m.first_cut).value = by_um
        part.is_corrected |= 1 if by_um != 0.0 else 0
        feature, cause = feature_at(w.features, spec.feature), NONE
        if not is_clean:
            cause = codes.CAUSE_NOT_CLEANED_UP
        elif least_um < feature.low_um:
            cause = codes.CAUSE_CUT_AWAY
        elif most_um > feature.high_um and left_on == NONE:
            left_on = spec.feature
        if cause != NONE and part.fate == NONE:
            part.fate, part.fate_feature = cause, spec.feature
    if part.fate == NONE and left_on != NONE:
        part.fate, part.fate_feature = codes.CAUSE_METAL_LEFT, left_on
    if row.bad == codes.REJECT_PASS:
        part.fate = NONE
    return int(part.fate)


@compiled
def is_put_aside(w: World, m: Machine) -> bool:
    """Whether the part at hand is a first piece that is gauged while the machine runs on; then it is read."""
    if not is_first(w, m):
        return False
    fate_of(w, m)
    part = part_at(w.parts, m.part)
    part.first_try = m.is_first_try
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.first_left > 0 and mount.awaited == NONE:
            mount.awaited = part.serial
    return True


@compiled
def dial_in(w: World, m: Machine) -> None:
    """Before the next part is cut, set what is known by now of those that were put aside."""
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.answered_min < w.now:
            is_off = False
            for cut in range(m.first_cut, end_cut(w, m)):
                spec = cut_at(w.cuts, cut)
                if spec.is_read_first and spec.slot == number - m.first_mount:
                    off_um = real_at(w.first_offs, m.first_offset + cut - m.first_cut).value
                    real_at(w.offsets, m.first_offset + cut - m.first_cut).value += off_um
                    is_off |= off_um != 0.0
            mount.first_left = mount.first_left - 1 if is_off else 0
            mount.awaited, mount.answered_min = NONE, math.inf
