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
    _check_finish(report)


def _check_finish(report: Report) -> None:
    """A gasket's finish that differs from the two limits of its face: one set of limits was expected."""
    gasket = None if report.works.engine is None else report.works.engine.gasket
    if gasket is None or gasket.finish is None:
        return
    for face in gasket.faces:
        line = report.works.lines.get(face.line)
        feature = None if line is None else line.features.get(face.feature)
        asked = None if feature is None or feature.roughness is None else feature.roughness.limits
        if asked is not None and asked != gasket.finish:
            low, high = asked
            text = f"{quoted(face.feature)} is asked for {low:g} to {high:g} um; the same limits were expected here"
            hint = "leave the gasket's finish out: the limits of its faces count"
            drawn = ("lines", face.line, "features", face.feature, "roughness")
            report.add(("engine", "gasket", "finish"), text, hint, [drawn])
