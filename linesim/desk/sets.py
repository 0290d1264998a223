"""How long each cutter set lasts at each operation, and what its planned changes cost in minutes per part."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import pandas as pd
from scipy.optimize import brentq

from linesim.cutting.life import wear_land_mm
from linesim.plan.plan import Plan
from linesim.plan.stations import kinds_of
from linesim.plan.times import mean_minutes
from linesim.rules import Figures, Interval, kind_and_value, kind_of, whole_parts
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

    @property
    def shift_min(self) -> float:
        """Length of a shift."""
        return self.plan.shift_min

    @property
    def cycle_min(self) -> float:
        """Minutes that one part takes at the operation."""
        return sum(cycle_minutes(self.plan, self.number, self.operation))

    @property
    def minutes_per_part(self) -> float:
        """Cutting minutes that one part takes of the set."""
        return _minutes_of_set(self)

    @property
    def life_min(self) -> float:
        """Cutting minutes that an average edge lasts."""
        return float(self.plan.mounts.expected_life_min[self.mount])

    @property
    def parts_per_edge(self) -> float:
        """Parts that an average edge lasts; infinite if it never dulls or cuts nothing."""
        minutes = self.minutes_per_part
        return self.life_min / minutes if minutes > 0.0 else math.inf

    @property
    def full_life(self) -> Interval:
        """Change at the full life."""
        return Interval(whole_parts(self.parts_per_edge), _FULL_LIFE)

    @property
    def look_min(self) -> float:
        """Mean minutes of one look at the edge."""
        policy = self.works.policies[str(self.policy)]
        by_name = policy.exceptions.get(self.kind, policy.default)
        kind, value = kind_and_value(policy.exceptions.get(f"{self.name} / {self.kind}", by_name))
        look = kind.look(value)
        return 0.0 if look is None else mean_minutes(look[0])

    def parts_to_wear(self, limit_mm: float) -> float:
        """Parts until the wear land of an average edge stands at a figure."""
        kinds, kind = self.plan.kinds, int(self.plan.mounts.kind[self.mount])
        columns = (kinds.wear_limit_mm, kinds.wear_b, kinds.wear_tau, kinds.wear_gamma)
        wear_limit_mm, wear_b, wear_tau, wear_gamma = (float(column[kind]) for column in columns)

        def beyond_mm(life_share: float) -> float:
            return wear_land_mm(life_share, wear_limit_mm, wear_b, wear_tau, wear_gamma) - limit_mm

        share = float(brentq(beyond_mm, 0.0, _MOST_LIVES)) if beyond_mm(_MOST_LIVES) > 0.0 else math.inf
        return share * self.parts_per_edge


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
    interval = _interval(mounted)
    change_min = _change_minutes(mounted.cutter, mean_minutes(mounted.operation.access))
    return {
        "minutes_per_part": mounted.minutes_per_part,
        "life_min": mounted.life_min,
        "parts_per_edge": mounted.parts_per_edge,
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


def _interval(mounted: _Mounted) -> Interval:
    """Parts from change to change as the rule has it, with an average edge."""
    if mounted.policy is None:
        return mounted.full_life
    rules, row = mounted.plan.rules, int(mounted.plan.mounts.rule[mounted.mount])
    figures = Figures(int(rules.way[row]), *(float(getattr(rules, name)[row]) for name in Figures._fields[1:]))
    return kind_of(figures.way).between(figures, mounted)


def _change_minutes(cutter: Cutter, access_min: float) -> float:
    """Mean minutes of one change, getting at the spindle included, over all the renewals of a set."""
    own = mean_minutes(cutter.change)
    replaced = access_min + (own if cutter.replace is None else mean_minutes(cutter.replace))
    renewal = cutter.renewal
    if renewal.indexed is not None:
        return _mixed(access_min + own, replaced, renewal.indexed.edges - 1)
    if renewal.dressed is not None:
        in_place = own if renewal.dressed.by_machine else access_min + own
        return _mixed(in_place, replaced, renewal.dressed.times)
    return replaced


def _mixed(in_place: float, replaced: float, times: int) -> float:
    """Mean of so many renewals in place and one replacement."""
    return (times * in_place + replaced) / (times + 1)
