"""From gauges as the scenario describes them to their rows in the plan."""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.cutting.component import SHAPE
from linesim.plan.columns import Rows
from linesim.plan.mishaps import drift_columns
from linesim.plan.mixing import mask_of
from linesim.plan.rooms import room_columns
from linesim.plan.tables import NONE, Gauges, Reject
from linesim.plan.times import TimeTable
from linesim.quality.limits import aim_mm, drawing_scale, per_side
from linesim.works.features import Feature
from linesim.works.model import Line
from linesim.works.operations import Correction, Gauge, Operation
from linesim.works.types_of import gauge_types

__all__ = ["GaugeTable"]


class _LastCut(NamedTuple):
    """Where a cut stands in the plan."""

    operation: int
    stroke: int
    cut: int
    slot: int


class GaugeTable:
    """Collects the gauges of a plan; follows the routing, so that each gauge knows the last cut before it."""

    def __init__(self, times: TimeTable) -> None:
        self.times = times
        self.rows = Rows(Gauges)
        self.names: list[str] = []

    def start_line(self, line: Line, features: dict[str, int], first_operation: int) -> None:
        """Begin at the head of a line."""
        self._line = line
        self._features = features
        self._operation = first_operation - 1
        self._last: dict[str, _LastCut] = {}
        self._cuts: dict[tuple[str, str], _LastCut] = {}

    def add_operation(
        self, name: str, operation: Operation, slots: dict[str, int], first_stroke: int, first_cut: int
    ) -> None:
        """Note the cuts of the next operation, and enter its gauges."""
        self._operation += 1
        number = first_cut
        for position, stroke in enumerate(operation.strokes.values()):
            for cut_name, cut in stroke.cuts.items():
                last = _LastCut(self._operation, first_stroke + position, number, slots[cut.cutter])
                self._last[cut.feature] = self._cuts[name, cut_name] = last
                number += 1
        for gauge_name, gauge in operation.gauges.items():
            self._add(name, gauge_name, gauge)

    def _add(self, operation: str, name: str, gauge: Gauge) -> None:
        feature = self._line.features[gauge.feature]
        last = self._last.get(gauge.feature)
        is_here = last is not None and last.operation == self._operation
        corrected = self._corrected(operation, gauge.corrects)
        band_um = gauge.guard_band / abs(drawing_scale(feature))
        low_um, high_um = _limits(gauge, feature)
        smooth_um, rough_um = _roughness_limits(gauge, feature)
        self.names.append(name)
        self.rows.add(
            feature=self._features[gauge.feature],
            reads_size=int("size" in gauge.reads),
            reads_roughness=int("roughness" in gauge.reads),
            error_um=gauge.error / abs(drawing_scale(feature)),
            roughness_error_um=gauge.roughness_error,
            every=gauge.every,
            time=self.times.add(gauge.minutes),
            low_um=low_um + band_um,
            high_um=high_um - band_um,
            true_low_um=low_um,
            true_high_um=high_um,
            roughness_limit_um=rough_um,
            tries=gauge.tries,
            reject=int({"scrap": Reject.SCRAP, "salvage": Reject.SALVAGE, "pass": Reject.PASS}[gauge.reject]),
            recut_stroke=last.stroke if last is not None and is_here else NONE,
            recut_cut=last.cut if last is not None and is_here else NONE,
            maker_operation=NONE if last is None else last.operation,
            maker_slot=NONE if last is None else last.slot,
            corrects_operation=NONE if corrected is None else corrected.operation,
            corrects_cut=NONE if corrected is None else corrected.cut,
            correction_share=0.0 if gauge.corrects is None else gauge.corrects.share,
            dead_band_um=0.0 if gauge.corrects is None else gauge.corrects.dead_band,
            **_of_shape(gauge),
            roughness_low_um=smooth_um,
            types=mask_of(self._line, gauge_types(self._line, self._line.operations[operation], gauge)),
            **drift_columns(gauge, feature, self.times),
            **room_columns(gauge),
        )

    def _corrected(self, operation: str, correction: Correction | None) -> _LastCut | None:
        if correction is None:
            return None
        return self._cuts[correction.operation or operation, correction.cut]


def _of_shape(gauge: Gauge) -> dict[str, float]:
    """Columns on what a gauge reads of position, tilt and form."""
    reads = {f"reads_{of.words}": int(of.words in gauge.reads) for of in SHAPE}
    errors = {
        "position_error_um": gauge.position_error,
        "tilt_error_um": gauge.tilt_error,
        "form_error_um": gauge.form_error,
    }
    return {"reads_shape": max(reads.values()), **reads, **errors}


def _limits(gauge: Gauge, feature: Feature) -> tuple[float, float]:
    """Limits at the gauge, µm per side."""
    if gauge.limits is not None:
        return per_side(feature, gauge.limits, _aim(gauge.limits, feature))
    if feature.size is None:
        return -math.inf, math.inf
    return per_side(feature, feature.size.limits, aim_mm(feature))


def _aim(limits: tuple[float, float], feature: Feature) -> float:
    """What a gauge with limits of its own takes as the aim: the feature's if it lies within, else the middle."""
    if feature.size is not None and limits[0] <= aim_mm(feature) <= limits[1]:
        return aim_mm(feature)
    return 0.0 if feature.kind == "run-out" else (limits[0] + limits[1]) / 2.0


def _roughness_limits(gauge: Gauge, feature: Feature) -> tuple[float, float]:
    """Least and greatest Ra at the gauge, µm."""
    if gauge.roughness_limits is not None:
        return gauge.roughness_limits
    if gauge.roughness_limit is not None:
        return 0.0, gauge.roughness_limit
    return (0.0, math.inf) if feature.roughness is None else (feature.roughness.low, feature.roughness.high)
