"""Whether magazines hold their cutters, and whether these can take over from each other."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.magazine import Magazine
from linesim.works.nodes import Path
from linesim.works.operations import Operation
from linesim.works.report import Report
from linesim.works.walks import cutters_of, operations_of

__all__ = ["check_magazines"]


def check_magazines(report: Report) -> None:
    """Look up sister cutters, and count pockets.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        magazine, path = at.operation.magazine, (*at.path, "magazine")
        if magazine is None:
            continue
        _check_sisters(report, path, magazine, at.operation)
        if at.operation.batch is not None:
            text = "a machine that takes several parts at once has no magazine; it was expected to be left out"
            report.add(path, text, "", [(*at.path, "batch")])
        most = max(magazine.sisters.values(), default=1)
        if magazine.used_up is not None and magazine.used_up >= most:
            text = f"{magazine.used_up}, but the last of {most} calls the setter anyway; fewer were expected"
            report.add((*path, "used_up"), text, "", [path])


def _check_sisters(report: Report, path: Path, magazine: Magazine, operation: Operation) -> None:
    kinds = list(dict.fromkeys(cutters_of(operation)))
    for name, count in magazine.sisters.items():
        if not report.known((*path, "sisters", name), name, kinds, "a cutter of the operation", ("cutters",)):
            continue
        cutter = report.works.cutters.get(name)
        if count > 1 and cutter is not None and cutter.renewal.dressed is not None:
            text = f"{quoted(name)} is dressed on its spindle and has no sisters; 1 was expected"
            report.add((*path, "sisters", name), text, "", [("cutters", name, "renewal")])
    held = sum(magazine.of_kind(kind) for kind in kinds)
    if magazine.pockets is not None and held > magazine.pockets:
        text = f"{magazine.pockets} are too few for {held} cutters; at least {held} was expected"
        report.add((*path, "pockets"), text, "", [(*path, "sisters")])
