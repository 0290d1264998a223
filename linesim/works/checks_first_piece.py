"""Whether first pieces can be gauged: by whom, after the change of which sets, and of which cuts."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.operations import Cut, Operation
from linesim.works.report import Report
from linesim.works.walks import operations_of

__all__ = ["check_first_pieces", "is_gauged_first", "last_cuts"]


def check_first_pieces(report: Report) -> None:
    """Look up people and sets of the first pieces.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        first, path = at.operation.first_piece, (*at.path, "first_piece")
        if first is None:
            continue
        if first.by is not None:
            report.known((*path, "by"), first.by, report.works.people, "a pool of people", ("people",))
        if not at.operation.strokes:
            text = "an operation given by its minutes cuts nothing that a first piece could tell; strokes were expected"
            report.add(path, text, "", [(*at.path, "strokes")])
        if first.after_changeover and (at.operation.changeover is None or first.meanwhile == "runs on"):
            text = "a piece after a changeover is gauged while the machine stands, at an operation with a changeover"
            report.add((*path, "after_changeover"), f"{text}; it was expected to be left out", "", [path])
        for name in [] if first.after == "all" else first.after:
            if not is_gauged_first(at.operation, name):
                text = f"{quoted(name)} makes no cut here that is the last one of its feature"
                wanted = "a set that makes one was expected, as only that can be read of a first piece"
                report.add((*path, "after"), f"{text}; {wanted}", "", [(*at.path, "strokes")])


def is_gauged_first(operation: Operation, cutter: str) -> bool:
    """Whether a first piece is gauged after a change of a set: one of its cuts is the last of its feature here."""
    first = operation.first_piece
    if first is None or not (first.after == "all" or cutter in first.after):
        return False
    return cutter in {cut.cutter for cut in last_cuts(operation).values()}


def last_cuts(operation: Operation) -> dict[str, Cut]:
    """The cut that each feature has last at an operation, by feature: what can be read of it afterwards."""
    return {cut.feature: cut for stroke in operation.strokes.values() for cut in stroke.cuts.values()}
