"""Whether the line can have the shape that is described: stations that take parts together, and ways between them."""

from __future__ import annotations

from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["check_shape"]


def check_shape(report: Report) -> None:
    """Look at what does not go with a batch.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        if at.operation.batch is not None:
            _check_batch(report, at)


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
