"""Minutes under repair and overhaul for each part, without running."""

from __future__ import annotations

import math

from linesim.chance.ageing import ageing_failures
from linesim.plan.plan import Plan
from linesim.plan.times import mean_minutes
from linesim.works.ageing import Ages, Breakdowns
from linesim.works.operations import Operation
from linesim.works.upkeep import breakdowns_of

__all__ = ["failures_per_minute", "upkeep_minutes"]


def upkeep_minutes(plan: Plan, number: int, operation: Operation, cutting_min: float) -> float:
    """Minutes under repair and overhaul for each part, in the mean; waiting for people is left out.

    Parameters
    ----------
    plan : Plan
        Its policy says how often machines are overhauled.
    number, operation : int, Operation
        The operation in it.
    cutting_min : float, min
        Of one part.
    """
    first = int(plan.operations.first_machine[number])
    each = [
        _upkeep_share(plan, first + machine, breakdowns_of(operation, machine)) for machine in range(operation.machines)
    ]
    return cutting_min * (sum(each) / len(each))


def _upkeep_share(plan: Plan, machine: int, breakdowns: Breakdowns | None) -> float:
    """Minutes under repair and overhaul of a machine for each cutting minute."""
    if breakdowns is None:
        return 0.0
    every_min = float(plan.upkeeps.overhaul_every_min[machine])
    if breakdowns.between is not None:
        failures = 1.0 / mean_minutes(breakdowns.between)
    else:
        assert breakdowns.ages is not None, "a machine that breaks down has minutes between failures, or ages"
        failures = failures_per_minute(breakdowns.ages, min(every_min, plan.warm_up_min + plan.length_min))
    minutes = failures * mean_minutes(breakdowns.repair)
    if breakdowns.overhaul is not None and not math.isinf(every_min):
        minutes += mean_minutes(breakdowns.overhaul.minutes) / every_min
    return minutes


def failures_per_minute(ages: Ages, span_min: float) -> float:
    """Failures of an ageing machine for each cutting minute.

    Parameters
    ----------
    ages : Ages
        How it ages. If a repair makes it new, by the mean life; else as if a repair gave none of its age back, which is
        too many where it gives some of it.
    span_min : float, min
        Cutting minutes from new until the next overhaul, or until the run ends.
    """
    if ages.repair_gives_back == 1.0:
        return 1.0 / (ages.scale * math.gamma(1.0 + 1.0 / ages.shape))
    return ageing_failures(span_min, ages.shape, ages.scale) / span_min
