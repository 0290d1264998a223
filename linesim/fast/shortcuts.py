"""What a plan allows the compiled engine to leave out, because nobody could see the difference."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.chance import Distribution
from linesim.cutting.teeth import torn_layer_um
from linesim.fast import steps
from linesim.fast.layout_joins import meets_another
from linesim.fast.layout_mixes import is_one_way
from linesim.fast.roughness import TORN_GROWTH
from linesim.plan.mishaps import can_break
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, UNLIMITED, Cuts
from linesim.rules import kind_of

__all__ = ["direct_pools", "keeps_visits", "plain_operations", "refuse_direct", "sums_of_runs", "torn_at_most_um"]

AnyArray = npt.NDArray[Any]

_INSTANT_MIN = 1e-6
"""Minutes that are lost in the clock's last digits after a thousand years."""


def sums_of_runs(values: AnyArray, first: AnyArray, end: AnyArray) -> AnyArray:
    """Sum of each run of values from a first one up to an end."""
    so_far: AnyArray = np.append(0, np.cumsum(values))
    total: AnyArray = so_far[end] - so_far[first]
    return total


def torn_at_most_um(cuts: Cuts, reaches: AnyArray) -> AnyArray:
    """How deep each cut tears the metal at most, worn up to `TORN_GROWTH` and its teeth no worse than on the average.

    Parameters
    ----------
    cuts : Cuts
        Those of the plan.
    reaches : array of float
        Of each, how many times its mean the roughness can be; and one more.

    Returns
    -------
    array of float, µm
        A hair above it, for the last digit; and one more.
    """
    grown = np.maximum(cuts.roughness_growth, 0.0) * TORN_GROWTH**cuts.roughness_power
    worn_um = cuts.sharp_roughness_um * (1.0 + grown + cuts.roughness_past * (TORN_GROWTH - 1.0) ** 2)
    roughest_um = np.append(np.maximum(worn_um, cuts.glazed_roughness_um), 0.0) * reaches
    floors_um = np.append(cuts.roughness_floor_um, 0.0)
    deepest_um: AnyArray = torn_layer_um(1.0) * (1.0 + 1e-9) * np.maximum(roughest_um, floors_um)
    return deepest_um


def keeps_visits(plan: Plan, first: int, end: int) -> int:
    """Whether parts of a line can be scrapped, gauged or joined, so that it matters who did what to them."""
    operations = plan.operations
    if (operations.scrap_chance[first:end] > 0.0).any() or (operations.fault_chance[first:end] > 0.0).any():
        return 1
    if (operations.test[first:end] != NONE).any():
        return 1
    if (operations.first_gauge[first:end] < operations.end_gauge[first:end]).any():
        return 1
    if plan.first_pieces.tries[first:end].any() or meets_another(plan, int(operations.line[first])):
        return 1
    kinds = plan.kind_of_slot[operations.first_kind[first] : operations.end_kind[end - 1]]
    return int(can_break(plan)[kinds].any())


def plain_operations(plan: Plan, lines: AnyArray) -> AnyArray:
    """Operations that are nothing but their minutes, in lines where nothing else happens to parts."""
    o = plan.operations
    is_plain: AnyArray = (o.cycle_time != NONE) & (o.first_stroke == o.end_stroke) & (o.first_gauge == o.end_gauge)
    is_plain &= (o.load_time == NONE) & (o.unload_time == NONE) & (o.chip_clean_time == NONE)
    is_plain &= (o.scrap_chance <= 0.0) & (o.recut_chance <= 0.0) & (o.chip_chance <= 0.0)
    is_plain &= (o.first_disturbance == o.end_disturbance) & (plan.batches.most == 0)
    for line in range(len(lines)):
        moves = plan.features.move_chance[lines[line].first_feature : lines[line].end_feature]
        has_heats = plan.lines.heat_life_cv[line] > 0.0
        if lines[line].keeps_visits or has_heats or (moves > 0.0).any():
            is_plain &= o.line != line
    return is_plain


def _take_time(plan: Plan) -> AnyArray:
    """Operations whose every round takes time, so that a machine never asks twice at one moment."""
    o, times, cut_min = plan.operations, plan.times, plan.strokes.cut_min
    # Uniform and triangular numbers are as good as never at their least, which may be 0; listed ones are.
    is_uniform = times.distribution == Distribution.UNIFORM
    is_triangular = times.distribution == Distribution.TRIANGULAR
    last = np.select([is_uniform, is_triangular], [times.p2, times.p3], times.p1)
    for row in np.flatnonzero(np.isin(times.distribution, (Distribution.LISTED, Distribution.IN_ORDER))):
        last[row] = times.listed[times.list_first[row] : times.list_end[row]].min()
    passes = np.append(last > _INSTANT_MIN, False)
    strokes = sums_of_runs(cut_min > _INSTANT_MIN, o.first_stroke, o.end_stroke) > 0
    takes_time: AnyArray = strokes | passes[o.cycle_time] | passes[o.load_time] | passes[o.unload_time]
    return takes_time


def _blamed(plan: Plan) -> set[int]:
    """Operations to which it matters at once that a gauge blames them: they may be bad, or wait for a part to fail."""
    waits = np.array([kind_of(way).waits_for_reject for way in plan.rules.way.tolist()], dtype=bool)[plan.mounts.rule]
    waiting = plan.machines.operation[plan.mounts.machine[waits]]
    matters = {*waiting.tolist(), *np.flatnonzero(plan.operations.fault_chance > 0.0).tolist()}
    if not matters:
        return matters
    gauged = plan.cuts.operation[plan.features.is_gauged[plan.cuts.feature] > 0]
    return matters & set(gauged.tolist())


def direct_pools(plan: Plan, lines: AnyArray, pools: AnyArray) -> AnyArray:
    """Buffers between two single machines, and yards without arrivals or pallets before a single machine.

    Where a gauge speaks to the machine behind, its note must be read before the part is given out. Where an
    operation of the line may take no time at all, the foreman's rounds decide who is served first at a moment.
    """
    slow = _take_time(plan)
    is_slow = [bool(slow[line.first_operation : line.end_operation].all()) for line in lines]
    is_slow = [each and is_one_way(plan, line) for line, each in enumerate(is_slow)]
    line_of = plan.operations.line.tolist()
    machines = (plan.operations.end_machine - plan.operations.first_machine).tolist()
    comes_back = plan.tests.back_to[plan.tests.benches > 0].tolist()
    noted = {*comes_back, *plan.gauges.maker_operation.tolist(), *plan.gauges.corrects_operation.tolist()}
    # Behind a machine that runs on, the bench of its first pieces passes parts on as well.
    noted |= set((np.flatnonzero(plan.first_pieces.runs_on) + 1).tolist())
    together, moved = np.flatnonzero(plan.batches.most), np.flatnonzero(plan.moves.way)
    noted |= {*moved.tolist(), *together.tolist(), *(together + 1).tolist()}
    # Benches of a measuring room pass parts on, and parts may go back to where they were taken from.
    noted |= set(np.flatnonzero(np.isin(plan.operations.line, plan.operations.line[plan.rooms.benches > 0])).tolist())
    direct = np.zeros(len(pools), dtype=np.int64)
    for number, (way, of) in enumerate(zip(pools["way"].tolist(), pools["of"].tolist(), strict=True)):
        if way == steps.BUFFER:
            direct[number] = is_slow[line_of[of]] and machines[of - 1] == machines[of] == 1 and of not in noted
        elif way == steps.YARD:
            line = lines[of]
            is_free = is_slow[of] and line.arrival_time == NONE and line.pallets == UNLIMITED
            first = int(line.first_operation)
            direct[number] = is_free and machines[first] == 1 and first not in noted
    return direct


def refuse_direct(plan: Plan, lines: AnyArray, pools: AnyArray) -> None:
    """Leave no way out that a policy forbids.

    Who asks its rules as a part has left must have read what gauges said at that moment, as must a machine with a
    rule that waits for a part to fail.
    """
    if plan.is_eager:
        pools["is_direct"] = 0
        return
    blamed = list(_blamed(plan))
    if blamed:
        first = lines["first_operation"][np.where(pools["way"] == steps.YARD, pools["of"], 0)]
        before = np.where(pools["way"] == steps.YARD, first, pools["of"])
        pools["is_direct"][np.isin(before, blamed)] = 0
