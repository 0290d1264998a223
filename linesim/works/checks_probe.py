"""Whether gauges that read from the spindle can do so, and whether edges can break unseen."""

from __future__ import annotations

from linesim.works.gauge import Gauge
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.report import Report
from linesim.works.walks import cutters_of, operations_of

__all__ = ["breaks_unseen", "check_probes", "is_in_spindle"]


def is_in_spindle(gauge: Gauge) -> bool:
    """Whether a gauge is a touch probe in the spindle of its machine."""
    return gauge.where == "spindle"


def check_probes(report: Report) -> None:
    """A touch probe needs a spindle, and one part under it; it reads no roughness.

    Parameters
    ----------
    report : Report
        Takes what is wrong.
    """
    for at in operations_of(report.works):
        for name, gauge in at.operation.gauges.items():
            if not is_in_spindle(gauge):
                continue
            path = (*at.path, "gauges", name)
            if not at.operation.strokes or at.operation.batch is not None:
                text = "a probe in the spindle needs an operation with strokes and one part at a time"
                report.add((*path, "where"), f"{text}; where: machine was expected", "", [at.path])
            if "roughness" in gauge.reads:
                text = "a touch probe in the spindle reads no roughness; where: machine was expected"
                report.add((*path, "reads"), text, "", [path])
    _check_breaking(report)


def breaks_unseen(works: Works, operation: Operation) -> list[str]:
    """Kinds of cutter set of an operation of which somebody sees only later that one has broken."""
    return [kind for kind in dict.fromkeys(cutters_of(operation)) if works.cutters[kind].seen_after > 0]


def _check_breaking(report: Report) -> None:
    """An edge that breaks unseen leaves metal standing in a cut, and spares nothing; a probe needs such an edge."""
    for name, cutter in report.works.cutters.items():
        if cutter.seen_after > 0 and cutter.broken != "scrap":
            text = "what breaks unseen is seen too late to save the part; broken: scrap was expected"
            report.add(("cutters", name, "broken"), text, "", [("cutters", name)])
    for at in operations_of(report.works):
        known = [kind for kind in cutters_of(at.operation) if kind in report.works.cutters]
        unseen = [kind for kind in dict.fromkeys(known) if report.works.cutters[kind].seen_after > 0]
        if unseen and not at.operation.strokes:
            text = f'"{unseen[0]}" breaks unseen (seen_after), which leaves metal standing; strokes were expected'
            report.add((*at.path, "sets"), text, "", [at.path])
        if at.operation.breakage_probe is not None and not unseen:
            text = "no cutter here breaks unseen, so that the probe has nothing to find; seen_after of one was expected"
            report.add((*at.path, "breakage_probe"), text, "", [at.path])
