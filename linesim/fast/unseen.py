"""Edges that break unseen, and how that comes to be known; as `linesim.floor.unseen`."""

from __future__ import annotations

import math

from linesim.chance.addresses import finding_spot
from linesim.fast import codes
from linesim.fast.additions import minutes_of_cut
from linesim.fast.common import count, four_uniforms
from linesim.fast.compiled import compiled
from linesim.fast.drawers import cut_at, kind_at, mount_at, mount_plan_at, operation_at, part_at
from linesim.fast.edges import minutes_to_break
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, World


@compiled
def goes_unseen(w: World, number: int) -> bool:
    """Whether the edge of this mount breaks without anybody seeing it."""
    return bool(kind_at(w.kinds, mount_at(w.mounts, number).kind).seen_after > 0)


@compiled
def break_unseen(w: World, m: Machine, first_cut: int, end_cut: int, cut_min: float) -> None:
    """Let those edges break that do so unseen in a stroke that runs for so many minutes."""
    part = part_at(w.parts, m.part)
    for cut in range(first_cut, end_cut):
        spec = cut_at(w.cuts, cut)
        number = m.first_mount + spec.slot
        mount = mount_at(w.mounts, number)
        if mount.is_broken or not goes_unseen(w, number) or not is_for(spec.types, part.type):
            continue
        if minutes_to_break(mount, spec.life_min * part.heat_life) < min(minutes_of_cut(w, cut), cut_min):
            # What is left of it wears no more and cannot break again.
            mount.life_share = mount.break_share
            mount.break_share = mount.life_factor = math.inf
            mount.is_broken = 1
            count(w.broke_unseen, number)


@compiled
def is_probed_now(w: World, m: Machine) -> bool:
    """After the cuts: count the part with the edges that have broken; whether it is time to look for them."""
    part_type = part_at(w.parts, m.part).type
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.is_broken and is_for(mount_plan_at(w.mount_plans, number).types, part_type):
            mount.broken_parts += 1
            count(w.cut_unseen, number)
    m.unprobed += 1
    if 0 < operation_at(w.operations, m.operation).probe_every <= m.unprobed:
        m.unprobed = 0
        count(w.break_probes, m.index)
        return True
    return False


@compiled
def is_hurt(w: World, m: Machine, looks: bool) -> bool:
    """What is told of broken edges now; whether the part at hand was cut with one of which is known."""
    part_type, hurt = part_at(w.parts, m.part).type, False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.is_broken == 0:
            continue
        if mount.is_seen == 0 and _is_told(w, m, number, looks):
            mount.is_seen = 1
        hurt |= bool(mount.is_seen and is_for(mount_plan_at(w.mount_plans, number).types, part_type))
    return hurt


@compiled
def _is_told(w: World, m: Machine, number: int, looks: bool) -> bool:
    """Whether the probe finds that it has broken, or somebody sees it."""
    mount = mount_at(w.mounts, number)
    if looks:
        spot = finding_spot(w.n_operations, number)
        luck = four_uniforms(w, codes.PURPOSE_BREAK_PROBE, spot, mount.ordinal, mount.broken_parts)[0]
        if luck < operation_at(w.operations, m.operation).probe_finds:
            count(w.probe_found, number)
            return True
    return bool(mount.broken_parts >= kind_at(w.kinds, mount.kind).seen_after)
