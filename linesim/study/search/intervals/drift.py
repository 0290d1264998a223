"""What a part costs in quality as one edge dulls: mean and spread of each feature, carried through its cuts.

Mean and variance follow the law of the cut (`linesim.cutting.error_terms`, whose `moments_after_cut` says the same of
one share), with the gauge's correction taken as held within what it leaves alone. It serves to find a place from which
to search; the runs decide.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.special import ndtr

from linesim.cutting.error_terms import copied_share, worn_um
from linesim.cutting.life import wear_growth
from linesim.cutting.setting import left_alone_um
from linesim.cutting.step import worn_ra_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Reject, conditions_of
from linesim.quality.limits import loss_factor_size, mean_roughness_loss
from linesim.works import Works
from linesim.works.features import Feature

__all__ = ["SHARES", "PartCost", "part_costs"]

SHARES: Floats = np.concatenate([np.arange(0, 20) / 200, np.arange(5, 50) / 50, np.arange(10, 61) / 10])
"""Life shares at which costs are worked out, closer where an edge is nearly sharp; straight lines in between."""

_SOME = 1e-9
_OTHERS = 0.4
"""Life share at which the other edges are taken to stand."""


class PartCost(NamedTuple):
    """Of one part cut by an edge, at each of `SHARES`.

    Attributes
    ----------
    loss : array, money
        Quality loss.
    scrapped : array
        Chance that a gauge scraps it.
    salvaged : array, money
        Cost of the salvage bench.
    recuts : array
        Recuts for each part.
    """

    loss: Floats
    scrapped: Floats
    salvaged: Floats
    recuts: Floats


@dataclass(frozen=True)
class _Step:
    """One cut of a feature and the edge that makes it."""

    cut: int
    mount: int
    operation: int


@dataclass
class _State:
    """Mean and variance of the error, µm and µm²; mean Ra and the sigma of its logarithm; by the life share looked at.

    An array of one stands for all shares.
    """

    mean: Floats
    variance: Floats
    ra: Floats
    ra_sigma: float = 0.0


def part_costs(works: Works, plan: Plan, mount: int) -> PartCost:
    """What a part costs in quality, by the life share of one edge.

    Parameters
    ----------
    works, plan : Works, Plan
        The scenario and its plan.
    mount : int
        The edge's place, as the plan counts; that of an operation's first machine.

    Returns
    -------
    PartCost
    """
    total, own = np.zeros((4, len(SHARES))), _cut_by(plan, mount)
    for number, feature in enumerate(feature for line in works.lines.values() for feature in line.features.values()):
        if number in own:
            costs = _feature_cost(plan, number, feature, _steps(plan, number), mount)
            total += np.array([np.broadcast_to(cost, len(SHARES)) for cost in costs])
    return PartCost(*total)


def _cut_by(plan: Plan, mount: int) -> set[int]:
    """Features that an edge cuts."""
    machine = int(plan.mounts.machine[mount])
    slot, operation = mount - int(plan.machines.first_mount[machine]), plan.machines.operation[machine]
    return set(plan.cuts.feature[(plan.cuts.operation == operation) & (plan.cuts.slot == slot)].tolist())


def _steps(plan: Plan, feature: int) -> list[_Step]:
    """Cuts of a feature, in the order of the routing, with the first machine's mounts."""
    answer = []
    for operation in range(len(plan.operations.line)):
        machine = int(plan.operations.first_machine[operation])
        first_mount = int(plan.machines.first_mount[machine])
        for stroke in range(plan.operations.first_stroke[operation], plan.operations.end_stroke[operation]):
            cuts = range(plan.strokes.first_cut[stroke], plan.strokes.end_cut[stroke])
            own = [cut for cut in cuts if plan.cuts.feature[cut] == feature]
            answer += [_Step(cut, first_mount + int(plan.cuts.slot[cut]), operation) for cut in own]
    return answer


def _feature_cost(
    plan: Plan, number: int, feature: Feature, steps: list[_Step], mount: int
) -> tuple[Floats, Floats, Floats, Floats]:
    """Loss, chance of scrap, salvage and recuts of one feature."""
    cast = feature.as_cast
    state = _State(np.zeros(1), np.array([cast.spread**2]), np.array([cast.roughness]))
    scrapped = salvaged = recuts = np.zeros(1)
    gauges_at = {operation: _gauges(plan, operation, number) for operation in {step.operation for step in steps}}
    for at, step in enumerate(steps):
        _cut(plan, step, SHARES if step.mount == mount else np.array([_OTHERS]), state)
        is_last_here = at + 1 == len(steps) or steps[at + 1].operation != step.operation
        for gauge in gauges_at[step.operation] if is_last_here else ():
            low, high = _outside(plan, gauge, state)
            often = feature.places / float(plan.gauges.every[gauge])
            recuts = recuts + often * high
            turned_down = often * (low + 0.5 * high)
            if int(plan.gauges.reject[gauge]) == Reject.SCRAP:
                scrapped = scrapped + turned_down
            elif int(plan.gauges.reject[gauge]) == Reject.SALVAGE:
                salvaged = salvaged + turned_down
    rough = np.array([mean_roughness_loss(feature, ra, state.ra_sigma) for ra in state.ra.tolist()])
    loss = feature.places * (loss_factor_size(feature) * (state.mean**2 + state.variance) + rough)
    return loss, np.minimum(scrapped, 1.0), salvaged, recuts


def _cut(plan: Plan, step: _Step, shares: Floats, state: _State) -> None:
    """What one cut leaves."""
    at = step.cut
    cut = conditions_of(plan.cuts, at)

    def worn(of: Floats) -> tuple[Floats, Floats]:
        growths = [wear_growth(w, cut.wear_b, cut.wear_tau, cut.wear_gamma) for w in of.tolist()]
        return np.array(growths), np.array([worn_um(cut, g) for g in growths])

    growths, drift = worn(shares)
    kind = int(plan.mounts.kind[step.mount])
    moved = drift - float(plan.cuts.aim_um[at] + plan.kinds.setting_bias_um[kind])
    setting_um: Floats = np.array([float(plan.kinds.setting_error_um[kind])])
    for gauge in np.flatnonzero(plan.gauges.corrects_cut == at).tolist():
        a_while = float(plan.gauges.every[gauge] * plan.cuts.cut_min[at] / plan.cuts.life_min[at])
        steps = (float(plan.kinds.setting_step_um[kind]), float(plan.gauges.correction_share[gauge]))
        held = left_alone_um(float(plan.gauges.dead_band_um[gauge]), *steps) + worn(shares + a_while)[1] - drift
        moved = np.copysign(np.minimum(np.abs(moved), held), moved)
        setting_um = np.minimum(setting_um, held)
    copied = np.array([copied_share(cut, g, 1.0) for g in growths.tolist()])
    state.mean = copied * state.mean + moved
    scatter = cut.repeatability_um**2 + cut.stress_um**2
    state.variance = copied**2 * state.variance + scatter + setting_um**2
    state.ra = np.array([max(cut.roughness_floor_um, worn_ra_of(cut, g)) for g in growths.tolist()])
    state.ra_sigma = math.hypot(cut.roughness_sigma, float(plan.kinds.mounted_sigma[kind]))


def _gauges(plan: Plan, operation: int, feature: int) -> list[int]:
    """Gauges of an operation that read a feature."""
    first, end = int(plan.operations.first_gauge[operation]), int(plan.operations.end_gauge[operation])
    return [gauge for gauge in range(first, end) if plan.gauges.feature[gauge] == feature]


def _outside(plan: Plan, gauge: int, state: _State) -> tuple[Floats, Floats]:
    """Chance that a reading finds too much cut away, too rough or too smooth, and that it finds metal left on."""
    gauges, low, high = plan.gauges, np.zeros(1), np.zeros(1)
    if gauges.reads_size[gauge]:
        sd = np.maximum(np.sqrt(state.variance + float(gauges.error_um[gauge]) ** 2), _SOME)
        low = ndtr((float(gauges.low_um[gauge]) - state.mean) / sd)
        high = ndtr((state.mean - float(gauges.high_um[gauge])) / sd)
    limit, least = float(gauges.roughness_limit_um[gauge]), float(gauges.roughness_low_um[gauge])
    if gauges.reads_roughness[gauge] and math.isfinite(limit):
        ra = np.maximum(state.ra, _SOME)
        sigma = np.maximum(np.hypot(state.ra_sigma, float(gauges.roughness_error_um[gauge]) / ra), _SOME)
        outside = ndtr(np.log(ra / limit) / sigma)
        if least > 0.0:
            outside = outside + ndtr(np.log(least / ra) / sigma)
        low = low + np.where(state.ra > 0.0, outside, 0.0)
    return low, high
