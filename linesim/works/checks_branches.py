"""Whether branches that parts take by chance fit the routing."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.model import Line
from linesim.works.nodes import Path
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["check_branches"]

_NEAR = 1e-6


def check_branches(report: Report) -> None:
    """Look at the shares of all branches, and at what cannot be known of a part that may have passed one by.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for name, line in report.works.lines.items():
        _check_shares(report, ("lines", name), line)
    last: dict[tuple[str, str], str] = {}
    for at in operations_of(report.works):
        for stroke in at.operation.strokes.values():
            last |= {(at.line_name, cut.feature): at.name for cut in stroke.cuts.values()}
        names = {branch: 0 for fork in at.line.branches.values() for branch in fork}
        path = (*at.path, "branch")
        if at.operation.branch is None:
            _check_behind(report, at, last)
        elif report.known(path, at.operation.branch, names, "a branch of this line", (*at.path[:2], "branches")):
            if next(iter(at.line.operations)) == at.name:
                report.add(
                    path, "all castings come in at the first operation; one behind it was expected to branch off"
                )
            _check_behind(report, at, last)


def _check_shares(report: Report, at: Path, line: Line) -> None:
    """Shares of a choice add up to no more than 1; every branch has a name of its own and an operation."""
    seen: set[str] = set()
    taken = {operation.branch for operation in line.operations.values()}
    for fork, branches in line.branches.items():
        path = (*at, "branches", fork)
        total = sum(branches.values())
        if total > 1.0 + _NEAR:
            report.add(path, f"the shares add up to {100.0 * total:g} %; 100 % at most were expected")
        for name in branches:
            if name in seen:
                report.add((*path, name), f"there is another branch {quoted(name)} in this line; one name was expected")
            elif name not in taken and not report.is_touched((*at, "operations")):
                report.add((*path, name), f"no operation stands in it; one with branch: {name} was expected")
            seen.add(name)
    _check_now(report, at, line)


def _check_now(report: Report, at: Path, line: Line) -> None:
    """What waits down a line as the run begins has come the same way."""
    now = report.works.now
    if now is None or not line.branches:
        return
    for operation, stands in now.lines.get(str(at[1]), {}).items():
        if stands.waiting > 0 and operation != next(iter(line.operations)):
            text = "parts of this line take different ways, so that what has been done to what waits is not known"
            report.add(("now", *at, operation, "waiting"), f"{text}; it was expected to be left out")


def _check_behind(report: Report, at: OperationPlace, last: dict[tuple[str, str], str]) -> None:
    """What a gauge tells of was cut on every part that it reads; what is repaired comes to where it goes back.

    `last` names for each line and feature the operation, up to this one, that cuts it last.
    """
    for name, gauge in at.operation.gauges.items():
        path = (*at.path, "gauges", name)
        _check_met(report, at, path, last.get((at.line_name, gauge.feature)), f"{quoted(gauge.feature)} is cut last")
        if gauge.corrects is not None:
            _check_met(report, at, (*path, "corrects"), gauge.corrects.operation, "the cut is made")
    repair = None if at.operation.test is None else at.operation.test.repair
    if repair is not None:
        _check_met(report, at, (*at.path, "test", "repair", "back_to"), repair.back_to, "the repaired part comes back")


def _check_met(report: Report, at: OperationPlace, path: Path, other: str | None, what: str) -> None:
    """Another operation is met by all parts that come to this one."""
    branch = None if other is None or other not in at.line.operations else at.line.operations[other].branch
    if branch is not None and branch != at.operation.branch:
        text = f"{what} at {quoted(str(other))} in the branch {quoted(branch)}, which not all parts take that come here"
        report.add(path, f"{text}; an operation that all of them meet was expected")
