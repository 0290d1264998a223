"""How long each cutter set lasts at each operation, and what its planned changes cost in minutes per part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from linesim.desk.first_pieces import first_piece_minutes
from linesim.plan.mounted import PlannedSet
from linesim.plan.plan import Plan
from linesim.plan.stations import kinds_of
from linesim.plan.tables import Floats
from linesim.plan.times import mean_minutes
from linesim.plan.type_means import casting_shares, cutting_minutes, gauges_of, visits_by_type
from linesim.works.checks_room import is_in_room
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["SET_COLUMNS", "CycleMinutes", "cycle_minutes", "minutes_by_type", "probing_minutes", "set_table"]

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
    "worked_out",
    "first_piece_min_per_part",
    "share_of_parts",
]
"""Columns; ``change_min`` is one change with getting at the spindle, in the mean over the set's renewals.

A part is one that the set cuts, in the mean over its types; ``share_of_parts`` is how many of the line's parts it cuts.
"""


class CycleMinutes(NamedTuple):
    """Mean minutes that one part which comes there takes at an operation: handling, cutting, gauging."""

    handling: float
    cutting: float
    gauging: float


@dataclass(frozen=True)
class _Mounted(PlannedSet):
    """One set at one operation, with what the scenario says of both."""

    cutter: Cutter
    operation: Operation
    follows_rule: bool


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
                mounted = _Mounted(plan, number, slot, works.cutters[kind], operation, policy is not None)
                rows.append(place | _figures(mounted))
            number += 1
    return pd.DataFrame(rows, columns=SET_COLUMNS)


def cycle_minutes(plan: Plan, number: int, operation: Operation) -> CycleMinutes:
    """Mean minutes of handling, cutting and gauging that one part takes at an operation.

    Parameters
    ----------
    plan : Plan
        For the minutes of the strokes and the part types.
    number : int
        The operation's number in the plan.
    operation : Operation
        The same in the scenario.

    Returns
    -------
    CycleMinutes
        Handling is loading, unloading and cleaning the locating faces. Of several part types the mean over those that
        come here, as many of each as its castings.
    """
    shares = casting_shares(plan, int(plan.operations.line[number])) * visits_by_type(plan, number)
    handling, cutting, gauging = minutes_by_type(plan, number, operation)
    total = float(shares.sum())
    if total == 0.0:
        return CycleMinutes(handling, 0.0, 0.0)
    return CycleMinutes(handling, float(shares @ cutting) / total, float(shares @ gauging) / total)


def minutes_by_type(plan: Plan, number: int, operation: Operation) -> tuple[float, Floats, Floats]:
    """Mean minutes of handling a part at an operation, and of cutting and gauging one of each type of its line.

    Parameters
    ----------
    plan, number, operation : Plan, int, Operation
        As in `cycle_minutes`.

    Returns
    -------
    float, array of shape (types,), array of shape (types,)
        Cutting and gauging are 0 for a type that passes the operation by.
    """
    chips = operation.chips
    cleaning = mean_minutes(chips.clean_minutes) if chips is not None and chips.clean else 0.0
    handling = (mean_minutes(operation.load) + mean_minutes(operation.unload)) / operation.handled_at_once + cleaning
    # A policy may have a gauge read another part in so many than the scenario says.
    every = plan.gauges.every[plan.operations.first_gauge[number] : plan.operations.end_gauge[number]].tolist()
    gauges = [
        0.0 if is_in_room(gauge) else mean_minutes(gauge.minutes) / often
        for gauge, often in zip(operation.gauges.values(), every, strict=True)
    ]
    gauging = gauges_of(plan, number, np.array(gauges))
    paces = plan.machines.pace[plan.operations.first_machine[number] : plan.operations.end_machine[number]]
    cutting = cutting_minutes(plan, number) / operation.at_once
    if (paces != 1.0).any():
        cutting = np.array([_shared(handling + read, cut, paces) for cut, read in zip(cutting, gauging, strict=True)])
    return handling, cutting, gauging


def probing_minutes(operation: Operation) -> float:
    """Mean minutes in which the probe of an operation looks for broken cutters, for each part."""
    probe = operation.breakage_probe
    return 0.0 if probe is None else mean_minutes(probe.minutes) / probe.every


def _shared(beside_min: float, cutting_min: float, paces: Floats) -> float:
    """Mean cutting minutes of a part on unlike machines, of which the faster ones do more of the parts."""
    if cutting_min == 0.0:
        return 0.0
    parts = 1.0 / (beside_min + cutting_min * paces)
    return cutting_min * float((parts * paces).sum() / parts.sum())


def _figures(mounted: _Mounted) -> dict[str, Any]:
    """Figures of one set at one operation."""
    interval = mounted.interval if mounted.follows_rule else mounted.full_life
    change_min = _mean_change_minutes(mounted)
    return {
        "minutes_per_part": mounted.minutes_per_part,
        "life_min": mounted.life_min,
        "parts_per_edge": mounted.parts_per_edge,
        "parts_between": interval.parts,
        "change_min": change_min,
        "look_min_per_part": interval.look_min_per_part,
        "change_min_per_part": change_min / interval.parts,
        "worked_out": interval.words,
        "first_piece_min_per_part": first_piece_minutes(mounted, mounted.cutter, interval),
        "share_of_parts": mounted.share_of_parts,
    }


def _mean_change_minutes(mounted: _Mounted) -> float:
    """Of a change, in the mean over those with the setter and those in which a sister takes over."""
    access_min, magazine = mean_minutes(mounted.operation.access), mounted.operation.magazine
    if magazine is None:
        return _change_minutes(mounted.cutter, access_min)
    of_kind = magazine.of_kind(kinds_of(mounted.operation)[mounted.slot])
    exchange_min = mean_minutes(magazine.exchange) * (of_kind - 1) / of_kind
    return _change_minutes(mounted.cutter, access_min / of_kind) + exchange_min


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
