"""What a policy says beside its rules: aims, what gauges do with their readings, overhauls, when changes are made."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

import numpy as np

from linesim.cutting.error_terms import worn_um
from linesim.cutting.life import wear_growth
from linesim.cutting.setting import mean_growth_met
from linesim.handbook.seats import SEATS
from linesim.plan.mix_levers import mixed
from linesim.plan.mounted import PlannedSet
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, conditions_of
from linesim.works.crib import Cutter
from linesim.works.policies import Policy

__all__ = ["centred_um", "levered", "setting_error_um"]

Value = TypeVar("Value")


def setting_error_um(cutter: Cutter) -> float:
    """Standard deviation of how a fresh edge of a set is set, µm per side: given, by its seat, or 0 without either."""
    if cutter.setting.error is not None:
        return cutter.setting.error
    return 0.0 if cutter.seat is None else SEATS[cutter.seat].setting_um


def levered(plan: Plan, policy: Policy) -> Plan:
    """The plan with the aims and corrections of a policy.

    Parameters
    ----------
    plan : Plan
        With the rules of the policy, and the gauges as the scenario describes them.
    policy : Policy
        Its other levers.

    Returns
    -------
    Plan
        The same one if the policy says nothing of them.
    """
    if policy.changes == "when due":
        plan = replace(plan, is_eager=True)
    if policy.overhauls:
        plan = _overhauled(plan, policy)
    if policy.batches or policy.sequences:
        plan = mixed(plan, policy)
    if policy.rezero:
        plan = _rezeroed(plan, policy)
    if policy.aims:
        plan = _aimed(plan, policy)
    return _corrected(plan, policy) if policy.corrections else plan


def centred_um(of: PlannedSet, cut: int) -> tuple[float, float]:
    """How much deeper a fresh edge is set, so that its drift in a cut has the mean 0 over the interval of its rule.

    An average edge is meant; what it finds of the cuts before is left aside.

    Returns
    -------
    tuple of two float, µm
        For a fresh edge, until it is set anew or changed; and for one that is set anew.
    """
    conditions, parts = conditions_of(of.plan.cuts, cut), of.interval.parts
    per_part = 1.0 / of.parts_per_edge
    if per_part == 0.0 or math.isinf(parts):
        return 0.0, 0.0
    passes = float(of.plan.cuts.passes[cut])
    curve = (conditions.wear_b, conditions.wear_tau, conditions.wear_gamma)

    def drift_until(count: float) -> float:
        """Sum over so many parts."""
        return count * mean_growth_met(count * per_part, count * passes, *curve) if count > 0.0 else 0.0

    worn, first = worn_um(conditions, 1.0), float(of.plan.mounts.rezero_parts[of.mount])
    if not 0.0 < first < parts:
        return worn * drift_until(parts) / parts, 0.0
    later = (drift_until(parts) - drift_until(first)) / (parts - first)
    # The part that is read is the last one before.
    return worn * drift_until(first) / first, worn * (later - wear_growth((first - 1.0) * per_part, *curve))


def _aimed(plan: Plan, policy: Policy) -> Plan:
    aims, later = np.zeros(len(plan.cuts.slot)), np.zeros(len(plan.cuts.slot))
    for of, operation, kind in _sets(plan):
        aim = _named(policy.aims, operation, kind)
        if aim is not None:
            for cut in of.cuts:
                aims[cut], later[cut] = centred_um(of, cut) if aim == "centred" else (aim, aim)
    return replace(plan, cuts=plan.cuts._replace(aim_um=aims, rezero_aim_um=later))


def _overhauled(plan: Plan, policy: Policy) -> Plan:
    every = plan.upkeeps.overhaul_every_min.copy()
    for machine, number in enumerate(plan.machines.operation.tolist()):
        interval = policy.overhauls.get(plan.names.operations[number])
        if interval is not None and plan.upkeeps.overhaul_time[machine] != NONE:
            every[machine] = math.inf if interval == "never" else interval
    return replace(plan, upkeeps=plan.upkeeps._replace(overhaul_every_min=every))


def _rezeroed(plan: Plan, policy: Policy) -> Plan:
    parts = np.zeros_like(plan.mounts.rezero_parts)
    for of, operation, kind in _sets(plan):
        after = _named(policy.rezero, operation, kind)
        for machine in range(plan.operations.first_machine[of.number], plan.operations.end_machine[of.number]):
            parts[plan.machines.first_mount[machine] + of.slot] = 0 if after is None else after
    return replace(plan, mounts=plan.mounts._replace(rezero_parts=parts))


def _corrected(plan: Plan, policy: Policy) -> Plan:
    shares, bands = plan.gauges.correction_share.copy(), plan.gauges.dead_band_um.copy()
    every = plan.gauges.every.copy()
    for gauge, name in enumerate(plan.names.gauges):
        change = _named(policy.corrections, plan.names.operations[_operation_of(plan, gauge)], name)
        if change is None:
            continue
        shares[gauge] = shares[gauge] if change.share is None else change.share
        bands[gauge] = bands[gauge] if change.dead_band is None else change.dead_band
        every[gauge] = every[gauge] if change.every is None else change.every
        if shares[gauge] == 0.0:
            bands[gauge] = math.inf
    return replace(plan, gauges=plan.gauges._replace(correction_share=shares, dead_band_um=bands, every=every))


def _sets(plan: Plan) -> Iterator[tuple[PlannedSet, str, str]]:
    """Every mounted set once for its operation, with the names of both."""
    for number, operation in enumerate(plan.names.operations):
        first, end = int(plan.operations.first_kind[number]), int(plan.operations.end_kind[number])
        for slot, kind in enumerate(plan.kind_of_slot[first:end].tolist()):
            yield PlannedSet(plan, number, slot), operation, plan.names.kinds[kind]


def _operation_of(plan: Plan, gauge: int) -> int:
    return int(np.searchsorted(plan.operations.end_gauge, gauge, side="right"))


def _named(values: Mapping[str, Value], operation: str, name: str) -> Value | None:
    """What holds for a thing of an operation: what is said of it there, else what is said of it everywhere."""
    return values.get(f"{operation} / {name}", values.get(name))
