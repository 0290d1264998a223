"""Whether the line can have the shape that is described: stations that take parts together, and ways between them."""

from __future__ import annotations

from linesim.works.model import Line
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["check_shape"]


def check_shape(report: Report) -> None:
    """Look at what does not go with a batch, and at ways that lead from nowhere.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for line_name, line in report.works.lines.items():
        _check_first(report, line_name, line)
    for at in operations_of(report.works):
        if at.operation.move is not None and at.operation.move.is_conveyor and at.operation.buffer != 0:
            text = "parts stand on the conveyor; a longer one was expected, or no buffer"
            report.add((*at.path, "buffer"), text, "", [(*at.path, "move")])
        if at.operation.batch is not None:
            _check_batch(report, at)
        _check_unlike(report, at)


def _check_first(report: Report, name: str, line: Line) -> None:
    first, at = next(iter(line.operations), None), ("lines", name)
    if line.pallet_rate > 0.0 and line.pallets is None:
        report.missing((*at, "pallets"), "as the line has a rate for its pallets", [(*at, "pallet_rate")])
    if first is not None and line.operations[first].move is not None:
        text = "nothing comes before the first operation of a line; an operation behind it was expected to have a move"
        path = ("lines", name, "operations")
        report.add((*path, first, "move"), text, "", [path])


def _check_batch(report: Report, at: OperationPlace) -> None:
    operation, path = at.operation, (*at.path, "batch")
    if operation.minutes is None:
        text = "strokes cut one part after another; an operation given by its minutes was expected"
        report.add(path, text, "", [(*at.path, "strokes")])
    odd = {"sets": operation.sets, "chips": operation.chips, "recut_chance": operation.recut_chance}
    for entry, value in odd.items():
        if value:
            text = f"a machine that takes several parts at once has no {entry}; it was expected to be left out"
            report.add((*at.path, entry), text, "", [path])
    most = operation.batch.least if operation.batch is not None else 1
    if at.line.pallets is not None and at.line.pallets < most:
        text = f"the machine waits for {most} parts, and the line has {at.line.pallets} pallets; it could never start"
        report.add((*path, "least"), text, "", [(*at.path[:2], "pallets")])


def _check_unlike(report: Report, at: OperationPlace) -> None:
    """A fixture moves what is cut, its tilt counts over the pads, and one machine is always the first."""
    operation = at.operation
    for name, own in operation.unlike.items():
        path = (*at.path, "unlike", name)
        for entry, value in (("position", own.position), ("tilt", own.tilt)):
            if value and not operation.strokes:
                text = (
                    "nothing is cut here, so that an error of the fixture moves nothing; it was expected to be left out"
                )
                report.add((*path, entry), text)
        if own.tilt and operation.locating is None:
            report.missing((*at.path, "locating"), "for the tilt of a fixture, which counts over its pads", [path])
    if operation.next_machine == "first named" and operation.machines == 1:
        text = "there is one machine, which takes every part; several machines were expected"
        report.add((*at.path, "next_machine"), text, rests_on=[(*at.path, "machines")])
