"""How long each cutter set lasts at each operation, and what its planned changes cost in minutes per part."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pandas as pd
from scipy.optimize import brentq

from linesim.cutting.life import wear_land_mm
from linesim.plan.stations import kinds_of
from linesim.plan.tables import Plan, RuleWay
from linesim.plan.times import mean_minutes
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["SET_COLUMNS", "cycle_minutes", "set_table"]

SET_COLUMNS = [
    "line", "operation", "cutter", "minutes_per_part", "life_min", "parts_per_edge", "parts_between", "change_min",
    "look_min_per_part", "change_min_per_part", "reckoned",
]  # fmt: skip
"""Columns of the table; ``change_min`` is one change with getting at the spindle, on average over its renewals."""

FULL_LIFE = "at its full life"
_MOST_LIVES = 1000.0


class _Interval(NamedTuple):
    """Parts from one change to the next, looks in between, and in words how they were reckoned."""

    parts: float
    look_min_per_part: float
    words: str


def set_table(works: Works, plan: Plan, policy: str | None) -> pd.DataFrame:
    """Cutter sets, operation by operation.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Its plan under the policy (under any, if ``policy`` is None).
    policy : str or None
        None: every set is changed at its full life.

    Returns
    -------
    pandas.DataFrame
        Columns `SET_COLUMNS`; an edge that never dulls lasts infinitely many parts.
    """
    rows = []
    number = 0
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            for slot, kind in enumerate(kinds_of(operation)):
                place = {"line": line_name, "operation": name, "cutter": kind}
                rows.append(place | _figures(works, plan, number, slot, operation, kind, policy is None))
            number += 1
    return pd.DataFrame(rows, columns=SET_COLUMNS)


def cycle_minutes(plan: Plan, number: int, operation: Operation) -> tuple[float, float, float]:
    """Mean minutes of handling, cutting and gauging that one part takes at an operation.

    Parameters
    ----------
    plan : Plan
        For the minutes of the strokes.
    number : int
        The operation's number in the plan.
    operation : Operation
        The same in the scenario.

    Returns
    -------
    tuple of three float, min
        Handling (loading, unloading, cleaning the locating faces), cutting, gauging.
    """
    chips = operation.chips
    cleaning = mean_minutes(chips.clean_minutes) if chips is not None and chips.clean else 0.0
    handling = mean_minutes(operation.load) + mean_minutes(operation.unload) + cleaning
    first, end = int(plan.operations.first_stroke[number]), int(plan.operations.end_stroke[number])
    cutting = float(plan.strokes.cut_min[first:end].sum()) + mean_minutes(operation.minutes)
    gauging = sum(mean_minutes(gauge.minutes) / gauge.every for gauge in operation.gauges.values())
    return handling, cutting, gauging


def _figures(
    works: Works, plan: Plan, number: int, slot: int, operation: Operation, kind: str, at_full_life: bool
) -> dict[str, Any]:
    """Figures of one set at one operation."""
    mount = int(plan.machines.first_mount[plan.operations.first_machine[number]]) + slot
    minutes = _minutes_of_set(plan, number, slot, operation)
    life_min = float(plan.mounts.expected_life_min[mount])
    lasts = life_min / minutes
    full = _Interval(_whole(lasts), 0.0, FULL_LIFE)
    interval = full if at_full_life else _interval(plan, mount, minutes, lasts, sum(cycle_minutes(plan, number, operation)))
    change_min = _change_minutes(works.cutters[kind], mean_minutes(operation.access))
    return {
        "minutes_per_part": minutes,
        "life_min": life_min,
        "parts_per_edge": lasts,
        "parts_between": interval.parts,
        "change_min": change_min,
        "look_min_per_part": interval.look_min_per_part,
        "change_min_per_part": change_min / interval.parts,
        "reckoned": interval.words,
    }


def _minutes_of_set(plan: Plan, number: int, slot: int, operation: Operation) -> float:
    """Cutting minutes that one part takes of a set."""
    if operation.minutes is not None:
        return mean_minutes(operation.minutes)
    strokes = range(int(plan.operations.first_stroke[number]), int(plan.operations.end_stroke[number]))
    first, end = int(plan.strokes.first_cut[strokes.start]), int(plan.strokes.end_cut[strokes.stop - 1])
    mine = plan.cuts.slot[first:end] == slot
    return float(plan.cuts.cut_min[first:end][mine].sum())


def _whole(parts: float) -> float:
    """Whole parts, at least one; infinity stays. A hair above a whole number is rounding, not a part more."""
    return parts if math.isinf(parts) else float(max(1, math.ceil(parts * (1.0 - 1e-9))))


def _interval(plan: Plan, mount: int, minutes: float, lasts: float, cycle_min: float) -> _Interval:
    """Parts from change to change as the policy's rule has it, with an average edge."""
    rules, row = plan.rules, int(plan.mounts.rule[mount])
    interval = float(rules.interval[row])
    match RuleWay(int(rules.way[row])):
        case RuleWay.PARTS:
            return _Interval(interval, 0.0, f"after {interval:g} parts")
        case RuleWay.MINUTES:
            return _Interval(_whole(interval / minutes), 0.0, f"after {interval:.4g} cutting minutes")
        case RuleWay.SHIFT:
            parts = max(1.0, interval * plan.shift_min / cycle_min)
            return _Interval(parts, 0.0, f"every {interval:g} shift(s), cutting all the time")
        case RuleWay.CHECK:
            return _checked(plan, mount, row, lasts)
        case _:
            return _Interval(_whole(lasts), 0.0, f"{FULL_LIFE}: its rule sets no interval")


def _checked(plan: Plan, mount: int, row: int, lasts: float) -> _Interval:
    """Changed at the first look at which an average edge is worn past the figure."""
    kinds, kind = plan.kinds, int(plan.mounts.kind[mount])
    every, limit_mm = float(plan.rules.interval[row]), float(plan.rules.limit_mm[row])
    curve = [float(column[kind]) for column in (kinds.wear_limit_mm, kinds.wear_b, kinds.wear_tau, kinds.wear_gamma)]

    def beyond_mm(life_share: float) -> float:
        return float(wear_land_mm(life_share, *curve)) - limit_mm

    share = brentq(beyond_mm, 0.0, _MOST_LIVES) if beyond_mm(_MOST_LIVES) > 0.0 else math.inf
    looks = max(1.0, _whole(share * lasts / every))
    time = int(plan.rules.look_time[row])
    look_min = 0.0 if time < 0 else _mean_of(plan, time)
    return _Interval(looks * every, look_min / every, f"looked at every {every:g} parts, changed past {limit_mm:.3g} mm")


def _change_minutes(cutter: Cutter, access_min: float) -> float:
    """Mean minutes of one change, getting at the spindle included, over all the renewals of a set."""
    own = mean_minutes(cutter.change)
    replaced = access_min + (own if cutter.replace is None else mean_minutes(cutter.replace))
    renewal = cutter.renewal
    if renewal.indexed is not None:
        return _mixed(access_min + own, replaced, renewal.indexed.edges - 1)
    if renewal.dressed is not None:
        in_place = own if renewal.dressed.by_machine else access_min + own
        return _mixed(in_place, replaced, renewal.dressed.dressings)
    return replaced


def _mixed(in_place: float, replaced: float, times: int) -> float:
    """Mean of so many renewals in place and one replacement."""
    return (times * in_place + replaced) / (times + 1)
