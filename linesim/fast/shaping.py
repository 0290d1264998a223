"""What the cuts do to the places of a feature."""

from __future__ import annotations

import math

from linesim.chance.addresses import try_draw
from linesim.chance.numbers import Block, four_of
from linesim.cutting.error_terms import copied_share, error_left_um, metal_met_um, pushed_um
from linesim.cutting.step import scratch_after_cut, takes
from linesim.fast import codes
from linesim.fast.additions import added_um, note_found
from linesim.fast.blame import note_cut
from linesim.fast.common import NO_BLOCK, block, count
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import cut_at, feature_at, mount_at, part_at, place_at, real_at
from linesim.fast.edges import growth_at
from linesim.fast.heats import heat_force, heat_life
from linesim.fast.holding import held_moved_um, shape_place
from linesim.fast.roughness import owe_roughness, settle_roughness, torn_left_um
from linesim.fast.state import Machine, Place, World
from linesim.normal import two_normals
from linesim.plan.tables import NONE


@compiled
def cut_feature(w: World, m: Machine, cut: int, is_recut: bool) -> None:
    """Cut every place of a feature; a recut goes over it again and takes only what is left standing."""
    spec = cut_at(w.cuts, cut)
    mount = mount_at(w.mounts, m.first_mount + spec.slot)
    feature = feature_at(w.features, spec.feature)
    offset_um = real_at(w.offsets, m.first_offset + cut - m.first_cut).value
    first = m.part * w.most_places + feature.first_place
    part = part_at(w.parts, m.part)
    cut_pass, growth, life = NONE, 0.0, heat_life(w, part)
    words, held = NO_BLOCK, NONE
    for place in range(feature.places):
        where = place_at(w.part_places, first + place)
        if is_recut and where.error_um <= 0.0:
            continue
        where.is_machined = 1
        found_um = where.error_um
        met_um = metal_met_um(spec, found_um, is_recut)
        # All places of one pass meet the edge in the same state.
        this_pass = place if spec.at_once == 1 else place // spec.at_once
        if this_pass != cut_pass:
            cut_pass = this_pass
            growth = growth_at(w, mount, cut, cut_pass, life)
        is_cut = mount.is_broken == 0 and takes(spec, growth, met_um)
        if is_cut:
            moved_um = held_moved_um(w, m, cut, place) if spec.is_held else -spec.lift_to_size * m.lift_um
            moved_um += m.fault_um if w.has_more else 0.0  # which makes 0 of -0, as on the floor
            if spec.has_additions:
                moved_um += added_um(w, m, cut, place, cut_pass, is_recut)
            torn_um = torn_left_um(w, where, met_um)
            draw = try_draw(part.tries, place)
            if draw >> 1 != held:
                words, held = block(w, codes.PURPOSE_CUT, cut, part.serial, draw >> 1), draw >> 1
            rough = _cut_place(w, m, cut, where, place, words, growth, offset_um, moved_um, is_recut)
            owe_roughness(where, cut, growth, mount.finish_factor, rough)
            if torn_um > 0.0:
                settle_roughness(w, where)
                where.roughness_um = max(where.roughness_um, torn_um)
        else:
            if met_um > 0.0 and mount.is_broken == 0:
                mount.rubbed += 1
                count(w.rubbed, m.first_mount + spec.slot)
            if not is_recut:
                where.error_um, where.is_clean = met_um, 0
        if spec.leads:
            pushed = pushed_um(spec, growth, heat_force(w, part))
            note_found(w, place, found_um if is_cut else math.inf, pushed)


@inlined
def _cut_place(
    w: World, m: Machine, cut: int, where: Place, place: int, words: Block, growth: float, offset_um: float,
    moved_um: float, is_recut: bool,
) -> float:  # fmt: skip
    """Error and scratch of a place after a cut that finds metal; returns the draw of its roughness."""
    spec, part = cut_at(w.cuts, cut), part_at(w.parts, m.part)
    repeat, stress, rough, aside = four_of(words, place)  # draws of a try begin at an even one
    repeat_normal, stress_normal = two_normals(repeat, stress)
    before_um = where.error_um
    force = heat_force(w, part)
    copied = copied_share(spec, growth, force)
    where.error_um = error_left_um(
        spec,
        growth,
        copied,
        before_um,
        offset_um,
        moved_um,
        repeat_normal,
        stress_normal,
        is_recut,
        force,
    )
    if feature_at(w.features, spec.feature).is_gauged and where.error_um != before_um:
        note_cut(w, m, cut, where, before_um, copied)
    where.scratch_um = scratch_after_cut(spec, where.scratch_um, is_recut)
    where.is_clean = 1
    if spec.carries and not is_recut:
        taken_um = metal_met_um(spec, before_um, False) - where.error_um
        shape_place(w, m, cut, place, growth, stress_normal, aside, taken_um)
    return rough
