"""Whether gauges that read from the spindle can do so."""

from __future__ import annotations

from linesim.works.gauge import Gauge
from linesim.works.report import Report
from linesim.works.walks import operations_of

__all__ = ["check_probes", "is_in_spindle"]


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
