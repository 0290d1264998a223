"""Columns of the plan on heats of castings, broken cutters, hidden faults and the drift of gauges."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.cutting.breaking import hit_chance
from linesim.plan.cuts import CutFigures
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Breakage, Ints
from linesim.plan.times import TimeTable, mean_minutes
from linesim.quality.limits import drawing_scale
from linesim.works.crib import Breaking, Cutter
from linesim.works.features import Feature
from linesim.works.mishaps import Heats
from linesim.works.model import Line
from linesim.works.operations import Cut, Gauge, Operation

__all__ = [
    "broken_columns", "can_break", "drift_columns", "fault_columns", "heat_columns", "is_gauged",
    "kinds_of_cuts", "own_breaking", "probe_columns", "sand_columns",
]  # fmt: skip


def heat_columns(heats: Heats | None, day_min: float) -> dict[str, Any]:
    """Columns of a line on the heats of its castings; without heats all factors are 1."""
    if heats is None:
        return {"heat_castings": 0, "heat_min": 0.0, "heat_life_cv": 0.0, "heat_force_cv": 0.0}
    by_day = heats.of == "day"
    return {
        "heat_castings": 0 if by_day else heats.of,
        "heat_min": day_min if by_day else 0.0,
        "heat_life_cv": heats.life,
        "heat_force_cv": heats.force,
    }


def sand_columns(line: Line, cutter: Cutter, cut: Cut, figures: CutFigures) -> dict[str, float]:
    """Columns of a cut on sand in the casting's skin: only edges that have teeth and wear can be chipped by it."""
    sand, has_teeth = line.casting.sand, cut.process not in ("grinding", "honing")
    if sand is None or not figures.in_skin or not has_teeth or math.isinf(figures.life_min):
        return {"hit_chance": 0.0, "hit_land_mm": 0.0, "hit_land_more_mm": 0.0, "hit_breaks": 0.0}
    least, most = sand.land
    return {
        "hit_chance": hit_chance(sand.chance, float(cutter.teeth), 1.0),
        "hit_land_mm": least,
        "hit_land_more_mm": most - least,
        "hit_breaks": sand.breaks,
    }


def broken_columns(cutter: Cutter, times: TimeTable) -> dict[str, Any]:
    """Columns of a kind of cutter set on what becomes of the part when one breaks."""
    seen = {"seen_after": cutter.seen_after}
    if isinstance(cutter.broken, str):
        fate = Breakage.SCRAP if cutter.broken == "scrap" else Breakage.SPARED
        return seen | {"broken": int(fate), "saved_share": 0.0, "saving_time": NONE}
    salvage = cutter.broken.salvage
    return seen | {
        "broken": int(Breakage.SALVAGE),
        "saved_share": salvage.share,
        "saving_time": times.add(salvage.minutes),
    }


def fault_columns(operation: Operation, times: TimeTable) -> dict[str, Any]:
    """Columns of an operation on how its machines turn bad."""
    bad = operation.turns_bad
    return {
        "fault_chance": 0.0 if bad is None else bad.chance,
        "fault_moved_um": 0.0 if bad is None else bad.shift,
        "fault_scatter_um": 0.0 if bad is None else bad.scatter,
        "fault_tilt_um": 0.0 if bad is None else bad.tilt,
        "fault_time": NONE if bad is None else times.add(bad.minutes),
    }


def probe_columns(operation: Operation, times: TimeTable) -> dict[str, Any]:
    """Columns of an operation on the probe that looks for broken cutters."""
    probe = operation.breakage_probe
    return {
        "probe_every": 0 if probe is None else probe.every,
        "probe_time": NONE if probe is None else times.add(probe.minutes),
        "probe_finds": 0.0 if probe is None else probe.finds,
    }


def drift_columns(gauge: Gauge, feature: Feature, times: TimeTable) -> dict[str, Any]:
    """Columns of a gauge on its bias and drift, per side and in the direction of metal left on."""
    scale, drift = drawing_scale(feature), gauge.drift
    mastered = None if drift is None else drift.mastered
    return {
        "bias_um": gauge.bias / scale,
        "drift_um_h": 0.0 if drift is None else drift.per_hour / scale,
        "wanders_um": 0.0 if drift is None else drift.wanders / abs(scale),
        "master_every": 0 if mastered is None else mastered.every,
        "master_time": NONE if mastered is None else times.add(mastered.minutes),
    }


def mastering_minutes(gauge: Gauge) -> float:
    """Mean minutes of one mastering of a gauge; 0 where it is never mastered."""
    mastered = None if gauge.drift is None else gauge.drift.mastered
    return 0.0 if mastered is None else mean_minutes(mastered.minutes)


def is_gauged(line: Line, feature: str) -> int:
    """1 if a gauge of the line reads the size of a feature."""
    gauges = (gauge for operation in line.operations.values() for gauge in operation.gauges.values())
    return int(any(gauge.feature == feature and "size" in gauge.reads for gauge in gauges))


def own_breaking(cutter: Cutter) -> tuple[float, float]:
    """How a set breaks that no described cut uses: as the scenario says, or never."""
    if isinstance(cutter.breaking, Breaking):
        return cutter.breaking.shape, cutter.breaking.scale
    return 1.0, math.inf


def can_break(plan: Plan) -> npt.NDArray[np.bool_]:
    """Of each kind of cutter set, whether its edges ever break: by themselves, or as they hit sand, (kinds,)."""
    breaks: npt.NDArray[np.bool_] = np.isfinite(plan.kinds.break_scale)
    breaks[kinds_of_cuts(plan)[plan.cuts.hit_chance * plan.cuts.hit_breaks > 0.0]] = True
    return breaks


def kinds_of_cuts(plan: Plan) -> Ints:
    """Of each cut, the kind of set that makes it, (cuts,)."""
    kinds: Ints = plan.kind_of_slot[plan.operations.first_kind[plan.cuts.operation] + plan.cuts.slot]
    return kinds
