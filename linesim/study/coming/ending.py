"""How a line stands at the end of what is foretold: of all runs the one in the middle, to be carried on from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from linesim.plan.magazines import mounted_sets
from linesim.plan.tables import Floats
from linesim.study.coming.figures import Foretold, band_of
from linesim.study.coming.followed import Followed
from linesim.study.coming.standing import DONE, DOWN, GROUND, ORDERED, SHARP, WAITING, StandingRow

__all__ = ["rows_at_end"]


def rows_at_end(of: Foretold, rows: list[StandingRow]) -> list[StandingRow]:
    """The rows with their figures at the end.

    Parameters
    ----------
    of : Foretold
        The runs.
    rows : list of StandingRow
        Of the line.

    Returns
    -------
    list of StandingRow
        All of one run, so that they go together: the one whose counts lie nearest to the middle of all runs, of those
        in which the fewest machines are down; remarks give the bands of parts.
    """
    run = _in_the_middle(of)
    plan, names = of.plan, of.plan.names
    figures: dict[tuple[str, ...], tuple[float, str]] = {}
    for mount, (machine, kind) in enumerate(zip(plan.mounts.machine.tolist(), plan.mounts.kind.tolist(), strict=True)):
        band = band_of([float(each.parts[mount]) for each in of.runs], of.level)
        remark = f"{band.low:.0f} to {band.high:.0f} in {of.level:.0%} of the runs"
        place = of.place(machine)
        key = StandingRow(DONE, place["line"], place["operation"], place["machine"], names.kinds[kind]).key
        figures[key] = (float(run.parts[mount]), remark)
    for machine, is_down in enumerate(run.down.tolist()):
        place = of.place(machine)
        remark = "down at the end: put in what is left of its repair" if is_down else ""
        figures[StandingRow(DOWN, place["line"], place["operation"], place["machine"]).key] = (0.0, remark)
    for operation, name in enumerate(names.operations):
        line = names.lines[int(plan.operations.line[operation])]
        figures[StandingRow(WAITING, line, name).key] = (float(run.waiting[operation]), "")
    spare = np.maximum(plan.kinds.sets - mounted_sets(plan), 0).tolist()
    for kind, name in enumerate(names.kinds):
        sharp, ground = int(run.sharp[kind]), int(run.at_grinder[kind])
        figures[StandingRow(SHARP, cutter=name).key] = (sharp, "")
        figures[StandingRow(GROUND, cutter=name).key] = (ground, "")
        figures[StandingRow(ORDERED, cutter=name).key] = (max(spare[kind] - sharp - ground, 0), "")
    put = [(row, *figures[row.key]) for row in rows if row.key in figures]
    return [replace(row, figure=figure, remark=remark or row.remark) for row, figure, remark in put]


def _in_the_middle(of: Foretold) -> Followed:
    """The run whose counts lie nearest to the middle of all."""
    counts = np.array([_counts(run) for run in of.runs])
    spread = np.maximum(counts.std(axis=0), 1e-9)
    apart = (np.abs(counts - np.median(counts, axis=0)) / spread).sum(axis=1)
    down = np.array([run.down.sum() for run in of.runs])
    return of.runs[int(np.lexsort((apart, down))[0])]


def _counts(run: Followed) -> Floats:
    return np.concatenate((run.parts, run.waiting, run.sharp, run.at_grinder)).astype(np.float64)
