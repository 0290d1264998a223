"""How far edges and gauges stand off: what a first piece and whole steps leave, how a gauge wanders unmastered."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pandas as pd

from linesim.cutting.setting import left_after_trial_um
from linesim.desk.first_pieces import reading_noise_um
from linesim.plan.levers import setting_error_um
from linesim.plan.plan import Plan
from linesim.plan.type_means import share_cut
from linesim.quality.mastering import drift_square_um2, walk_square_um2
from linesim.words import keep
from linesim.works.checks_first_piece import is_gauged_first, last_cuts
from linesim.works.gauge import Gauge
from linesim.works.model import Works
from linesim.works.walks import operations_of

__all__ = ["on_drifting_gauges", "on_trial_cuts"]


def on_trial_cuts(works: Works) -> Iterator[str]:
    """What is left of a setting error where a first piece is put right by an offset that goes by whole steps.

    Of several cuts of a set the one counts of which most is left. The piece tells where the edge stands only as far as
    the reading and its own scatter from part to part let it.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    str
    """
    for at in operations_of(works):
        first, read = at.operation.first_piece, dict[str, float]()
        for cut in last_cuts(at.operation).values():
            has_steps = works.cutters[cut.cutter].setting.step > 0.0
            if first is not None and has_steps and is_gauged_first(at.operation, cut.cutter):
                noise_um = reading_noise_um(first.error, cut.repeatability, at.line.features[cut.feature].places)
                read[cut.cutter] = max(noise_um, read.get(cut.cutter, 0.0))
        for kind, noise_um in read.items():
            setting = works.cutters[kind].setting
            yield keep(
                "desk.trial_leaves", line=at.line_name, operation=at.name, cutter=kind, reading=noise_um,
                step=setting.step, left=left_after_trial_um(noise_um, setting.step),
                set=math.hypot(setting_error_um(works.cutters[kind]), setting.bias),
            )  # fmt: skip


def on_drifting_gauges(works: Works, plan: Plan, constraints: pd.DataFrame) -> Iterator[str]:
    """By how much gauges that drift or wander are off between masterings, at the pace of the constraint.

    One that is never mastered goes on from the start of a run to its end. Bias stands beside that; what is put on an
    offset by such a gauge is off by as much.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Its plan.
    constraints : pandas.DataFrame
        The desk's table.

    Yields
    ------
    str
    """
    pace = dict(zip(constraints["line"], constraints["together_per_hour"], strict=True))
    for number, at in enumerate(operations_of(works)):
        first = int(plan.operations.first_gauge[number])
        for index, (name, gauge) in enumerate(at.operation.gauges.items(), first):
            if gauge.drift is None or "size" not in gauge.reads:
                continue
            here = pace[at.line_name] * share_cut(plan, number, int(plan.gauges.types[index])) / at.operation.machines
            hours, mastered = (works.run.warm_up + works.run.length) / 60.0, gauge.drift.mastered
            if mastered is not None and here > 0.0:
                hours = mastered.every * float(plan.gauges.every[index]) / here
            if (off_um := _off_um(gauge, hours)) > 0.0:
                key = "desk.gauge_never" if mastered is None else "desk.gauge_off"
                yield keep(key, line=at.line_name, operation=at.name, gauge=name, hours=hours, off=off_um)


def _off_um(gauge: Gauge, hours: float) -> float:
    """How far it is off so many hours long from a mastering, root of the mean square, µm as the drawing reads it."""
    drift = gauge.drift
    assert drift is not None
    return math.sqrt(drift_square_um2(drift.per_hour, hours) + walk_square_um2(drift.wanders, hours))
