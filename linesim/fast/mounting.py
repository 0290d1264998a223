"""A sharp edge begins its life on a machine."""

from __future__ import annotations

import math

from linesim.chance import normal_from_uniform
from linesim.cutting.knowing import kind_life_factor
from linesim.cutting.life import edge_break_share, edge_life_factor, finish_factor
from linesim.cutting.setting import setting_um
from linesim.fast import codes
from linesim.fast.common import by_calendar, four_uniforms
from linesim.fast.compiled import compiled
from linesim.fast.drawers import (
    cut_at,
    kind_at,
    mount_at,
    mount_plan_at,
    operation_at,
    real_at,
    set_at,
    stroke_at,
)
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@compiled
def put_in(w: World, m: Machine, number: int, cutter_set: int) -> None:
    """A sharp edge begins its life: its luck is drawn, and nothing is known of it yet."""
    mount = mount_at(w.mounts, number)
    kind = kind_at(w.kinds, mount.kind)
    mount.cutter_set = cutter_set
    mount.ordinal += 1
    mount.life_share = 0.0
    first, second, third, fourth = four_uniforms(w, codes.PURPOSE_EDGE, number, mount.ordinal, 0)
    mount.life_factor = edge_life_factor(kind.life_cv, first)
    if set_at(w.sets, cutter_set).is_reground:
        mount.life_factor *= kind.reground_life
    if kind.known_sigma > 0.0:
        luck = four_uniforms(w, codes.PURPOSE_KIND_LIFE, mount.kind, 0, 0)[0]
        mount.life_factor *= kind_life_factor(kind.known_sigma, luck)
    mount.break_share = edge_break_share(kind.break_shape, kind.break_scale, second)
    mount.finish_factor = finish_factor(kind.mounted_sigma, third)
    mount.parts = 0
    mount.cut_min = 0.0
    mount.mounted_min = by_calendar(w, w.now)
    mount.parts_since_look = 0
    mount.wear_read_mm = -math.inf
    mount.size_read_um = 0.0
    mount.roughness_read_um = 0.0
    mount.was_rejected = 0
    mount.load_count, mount.load_sum, mount.load_read = 0, 0.0, 0.0
    mount.is_broken, mount.is_seen, mount.broken_parts = 0, 0, 0
    mount.first_left = mount_plan_at(w.mount_plans, number).first_tries
    mount.is_rezeroed = 0
    mount.awaited, mount.answered_min = NONE, math.inf
    deeper_um = kind.setting_bias_um
    if kind.setting_error_um > 0.0:
        deeper_um = setting_um(kind.setting_error_um, kind.setting_bias_um, normal_from_uniform(fourth))
    _set_offsets(w, m, number - m.first_mount, deeper_um)


@compiled
def _set_offsets(w: World, m: Machine, slot: int, deeper_um: float) -> None:
    """What the gauge had taught about the old edge no longer holds; the sharp one is set to its aim, with an error."""
    operation = operation_at(w.operations, m.operation)
    if operation.first_stroke == operation.end_stroke:
        return
    first = stroke_at(w.strokes, operation.first_stroke).first_cut
    for cut in range(first, stroke_at(w.strokes, operation.end_stroke - 1).end_cut):
        spec = cut_at(w.cuts, cut)
        if spec.slot == slot:
            real_at(w.offsets, m.first_offset + cut - first).value = spec.aim_um + deeper_um
