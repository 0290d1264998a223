"""First pieces and masterings on paper: how many pieces are gauged after a change, and the minutes that both take."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pandas as pd

from linesim.cutting.setting import left_after_trial_um, left_alone_um
from linesim.plan.levers import setting_error_um
from linesim.plan.mishaps import mastering_minutes
from linesim.plan.mounted import PlannedSet
from linesim.plan.times import row_minutes
from linesim.rules import Interval
from linesim.words import keep
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = [
    "first_piece_minutes",
    "mastering_minutes_per_part",
    "on_first_pieces",
    "pieces_per_change",
    "reading_noise_um",
]


def pieces_per_change(of: PlannedSet, cutter: Cutter) -> float:
    """How many first pieces are gauged after one change of a set, in the mean; 0 where none is.

    The first is off by the setting error, the repeatability of its cuts and the error of the reading; once it is put
    right, the next ones by the latter two, twice, and by what is left of whole steps. What rounds to no step asks for
    no further piece. Of several cuts the one counts that is off most often. What a piece brings along from the cuts
    before is left aside.

    Parameters
    ----------
    of : PlannedSet
        The set at its operation.
    cutter : Cutter
        What the scenario says of it.

    Returns
    -------
    float
        1 for a piece that is always accepted, no more than the tries.
    """
    tries = int(of.plan.mounts.first_tries[of.mount])
    read = [cut for cut in of.cuts if of.plan.cuts.is_read_first[cut]]
    if tries == 0 or not read:
        return 0.0
    first = of.plan.first_pieces
    error_um, accept_um = float(first.error_um[of.number]), float(first.accept_um[of.number])
    chances = [_chances_off(of, cut, cutter, error_um, accept_um) for cut in read]
    off, again = max(chances)
    return 1.0 + sum(off * again**number for number in range(tries - 1))


def _chances_off(of: PlannedSet, cut: int, cutter: Cutter, error_um: float, accept_um: float) -> tuple[float, float]:
    """Chance that the first reading of a cut is off, and that one is after it was put right."""
    places = float(of.plan.features.places[int(of.plan.cuts.feature[cut])])
    noise_um = reading_noise_um(error_um, float(of.plan.cuts.repeatability_um[cut]), places)
    first_um, step_um = math.hypot(setting_error_um(cutter), noise_um), cutter.setting.step
    again_um = math.hypot(left_after_trial_um(noise_um, step_um), noise_um)
    limit_um = left_alone_um(accept_um, step_um, 1.0)
    return _beyond(cutter.setting.bias, first_um, limit_um), _beyond(0.0, again_um, limit_um)


def reading_noise_um(error_um: float, repeatability_um: float, places: float) -> float:
    """Standard deviation of what is read of one piece about where the edge stands, in the mean over its places."""
    return math.hypot(error_um, repeatability_um) / math.sqrt(places)


def _beyond(mean_um: float, sd_um: float, limit_um: float) -> float:
    """Chance that a normal figure lies further from 0 than a limit."""
    if sd_um == 0.0:
        return float(abs(mean_um) > limit_um)
    above, below = (limit_um - mean_um) / sd_um, (-limit_um - mean_um) / sd_um
    return 0.5 * math.erfc(above / math.sqrt(2.0)) + 0.5 * math.erfc(-below / math.sqrt(2.0))


def first_piece_minutes(of: PlannedSet, cutter: Cutter, interval: Interval) -> float:
    """Minutes for which the machine stands for first pieces, for each part; the wait for whoever gauges left out.

    A set that is set anew within its interval has one piece more. A machine that runs on meanwhile does not stand.
    """
    pieces = pieces_per_change(of, cutter)
    if pieces == 0.0 or of.plan.first_pieces.runs_on[of.number]:
        return 0.0
    minutes = row_minutes(of.plan.times, int(of.plan.first_pieces.time[of.number]))
    is_rezeroed = 0.0 < float(of.plan.mounts.rezero_parts[of.mount]) < interval.parts
    return minutes * (pieces + is_rezeroed) / interval.parts


def on_first_pieces(works: Works, sets: pd.DataFrame) -> Iterator[str]:
    """Machines that stand until somebody has time to gauge their first pieces: of that the desk knows the gauging only.

    Parameters
    ----------
    works : Works
        The checked scenario.
    sets : pandas.DataFrame
        The desk's table.

    Yields
    ------
    str
    """
    minutes = sets.groupby(["line", "operation"])["first_piece_min_per_part"].sum()
    for name, line in works.lines.items():
        waits: dict[str, list[str]] = {}
        for at, operation in line.operations.items():
            first = operation.first_piece
            if first is not None and first.by is not None and minutes.get((name, at), 0.0) > 0.0:
                waits.setdefault(first.by, []).append(
                    keep("desk.first_minutes", operation=at, minutes=minutes[name, at])
                )
        for pool, operations in waits.items():
            yield keep("desk.first_pieces", line=name, operations=operations, pool=pool)


def mastering_minutes_per_part(operation: Operation) -> list[float]:
    """Minutes of mastering each gauge of an operation for each part that it may read, in the mean; 0 if it never is."""
    minutes = []
    for gauge in operation.gauges.values():
        mastered = None if gauge.drift is None else gauge.drift.mastered
        minutes.append(0.0 if mastered is None else mastering_minutes(gauge) / (gauge.every * mastered.every))
    return minutes
