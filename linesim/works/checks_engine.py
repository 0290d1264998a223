"""Names in the engine's entry that lead nowhere."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.report import Report

__all__ = ["check_engine"]

_KINDS = {"bores": "bore", "chambers": "depth", "seats": "run-out"}


def check_engine(report: Report) -> None:
    """Look for every line and feature that the engine's entry speaks of, and whether it is of the kind that is needed.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    engine = report.works.engine
    if engine is None:
        return
    lines = report.works.lines
    for place, (line, feature) in engine.surfaces.items():
        path = ("engine", *place)
        if place[-1] == "rim":
            if line in lines:
                within = ("lines", line, "features")
                report.known(path, feature, lines[line].features, "a feature of this line", within)
            continue
        if not report.known((*path, "line"), line, lines, "a line of this works", ("lines",)):
            continue
        within = ("lines", line, "features")
        known = report.known((*path, "feature"), feature, lines[line].features, "a feature of this line", within)
        wanted = _KINDS.get(str(place[0]))
        if known and wanted is not None and lines[line].features[feature].kind != wanted:
            answer = lines[line].features[feature].kind
            text = f"{quoted(feature)} is a {answer}; a feature of the kind {wanted} was expected"
            report.add((*path, "feature"), text, "", [("lines", line, "features", feature)])
