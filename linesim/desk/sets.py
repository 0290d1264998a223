"""How long each cutter set lasts at each operation, and what its planned changes cost in minutes per part."""

from __future__ import annotations

import math
from dataclasses import dataclass
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

__all__ = ["SET_COLUMNS", "CycleMinutes", "cycle_minutes", "set_table"]

SET_COLUMNS = [
    "line",
    "operation",
    "cutter",
    "minutes_per_part",
    "life_min",
    "parts_per_edge",
    "parts_between",
    "change_min",
    "look_min_per_part",
    "change_min_per_part",
    "reckoned",
]
"""Columns; ``change_min`` is one change with getting at the spindle, in the mean over the set's renewals."""

_FULL_LIFE = "at its full life"
_MOST_LIVES = 1000.0


class CycleMinutes(NamedTuple):
    """Mean minutes that one part takes at an operation: handling, cutting, gauging."""

    handling: float
    cutting: float
    gauging: float


class _Interval(NamedTuple):
    """Parts from one change to the next, looks in between, and in words how they were reckoned."""

    parts: float
    words: str
    look_min_per_part: float = 0.0


@dataclass(frozen=True)
class _Mounted:
    """One set at one operation."""

    works: Works
    plan: Plan
    policy: str | None
    number: int
    name: str
    operation: Operation
    slot: int
    kind: str

    @property
    def mount(self) -> int:
        """Its place on the operation's first machine, as the plan counts."""
        machine = self.plan.operations.first_machine[self.number]
        return int(self.plan.machines.first_mount[machine]) + self.slot

    @property
    def cutter(self) -> Cutter:
        """The set as the scenario describes it."""
        return self.works.cutters[self.kind]


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
                mounted = _Mounted(works, plan, policy, number, name, operation, slot, kind)
                rows.append(place | _figures(mounted))
            number += 1
    return pd.DataFrame(rows, columns=SET_COLUMNS)


def cycle_minutes(plan: Plan, number: int, operation: Operation) -> CycleMinutes:
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
    CycleMinutes
        Handling is loading, unloading and cleaning the locating faces.
    """
    chips = operation.chips
    cleaning = mean_minutes(chips.clean_minutes) if chips is not None and chips.clean else 0.0
    handling = mean_minutes(operation.load) + mean_minutes(operation.unload) + cleaning
    first, end = int(plan.operations.first_stroke[number]), int(plan.operations.end_stroke[number])
    cutting = float(plan.strokes.cut_min[first:end].sum()) + mean_minutes(operation.minutes)
    gauging = sum(mean_minutes(gauge.minutes) / gauge.every for gauge in operation.gauges.values())
    return CycleMinutes(handling, cutting, gauging)


def _figures(mounted: _Mounted) -> dict[str, Any]:
    """Figures of one set at one operation."""
    minutes = _minutes_of_set(mounted)
    life_min = float(mounted.plan.mounts.expected_life_min[mounted.mount])
    lasts = life_min / minutes if minutes > 0.0 else math.inf
    interval = _interval(mounted, minutes, lasts)
    change_min = _change_minutes(mounted.cutter, mean_minutes(mounted.operation.access))
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


def _minutes_of_set(mounted: _Mounted) -> float:
    """Cutting minutes that one part takes of a set."""
    if mounted.operation.minutes is not None:
        return mean_minutes(mounted.operation.minutes)
    plan, number = mounted.plan, mounted.number
    first_stroke, end_stroke = plan.operations.first_stroke[number], plan.operations.end_stroke[number]
    first, end = int(plan.strokes.first_cut[first_stroke]), int(plan.strokes.end_cut[end_stroke - 1])
    mine = plan.cuts.slot[first:end] == mounted.slot
    return float(plan.cuts.cut_min[first:end][mine].sum())


def _whole(parts: float) -> float:
    """Whole parts, at least one; infinity stays. A hair above a whole number is rounding, not a part more."""
    return parts if math.isinf(parts) else float(max(1, math.ceil(parts * (1.0 - 1e-9))))


def _interval(mounted: _Mounted, minutes: float, lasts: float) -> _Interval:
    """Parts from change to change as the rule has it, with an average edge."""
    if mounted.policy is None:
        return _Interval(_whole(lasts), _FULL_LIFE)
    plan, rules = mounted.plan, mounted.plan.rules
    row = int(plan.mounts.rule[mounted.mount])
    interval = float(rules.interval[row])
    match RuleWay(int(rules.way[row])):
        case RuleWay.PARTS:
            return _Interval(interval, f"after {interval:g} parts")
        case RuleWay.MINUTES:
            parts = _whole(interval / minutes) if minutes > 0.0 else math.inf
            return _Interval(parts, f"after {interval:.4g} cutting minutes")
        case RuleWay.SHIFT:
            cycle_min = sum(cycle_minutes(plan, mounted.number, mounted.operation))
            parts = max(1.0, interval * plan.shift_min / cycle_min) if cycle_min > 0.0 else math.inf
            return _Interval(parts, f"shifts from change to change: {interval:g}, cutting all the time")
        case RuleWay.CHECK:
            return _checked(mounted, row, lasts)
        case _:
            return _Interval(_whole(lasts), f"{_FULL_LIFE}: its rule sets no interval")


def _checked(mounted: _Mounted, row: int, lasts: float) -> _Interval:
    """Changed at the first look at which an average edge is worn past the figure."""
    kinds, kind, rules = mounted.plan.kinds, int(mounted.plan.mounts.kind[mounted.mount]), mounted.plan.rules
    every, limit_mm = float(rules.interval[row]), float(rules.limit_mm[row])
    columns = (kinds.wear_limit_mm, kinds.wear_b, kinds.wear_tau, kinds.wear_gamma)
    wear_limit_mm, wear_b, wear_tau, wear_gamma = (float(column[kind]) for column in columns)

    def beyond_mm(life_share: float) -> float:
        return wear_land_mm(life_share, wear_limit_mm, wear_b, wear_tau, wear_gamma) - limit_mm

    share = float(brentq(beyond_mm, 0.0, _MOST_LIVES)) if beyond_mm(_MOST_LIVES) > 0.0 else math.inf
    words = f"looked at every {every:g} parts, changed past {limit_mm:.3g} mm"
    return _Interval(_whole(share * lasts / every) * every, words, _look_minutes(mounted) / every)


def _look_minutes(mounted: _Mounted) -> float:
    """Mean minutes of one look at the edge."""
    policy = mounted.works.policies[str(mounted.policy)]
    by_name = policy.exceptions.get(mounted.kind, policy.default)
    rule = policy.exceptions.get(f"{mounted.name} / {mounted.kind}", by_name)
    return 0.0 if rule.check is None else mean_minutes(rule.check.minutes)


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
