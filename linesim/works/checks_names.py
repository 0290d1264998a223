"""Names that lead nowhere: features, cutters, people, operations and cuts that are spoken of but not there."""

from __future__ import annotations

from linesim.errors import said
from linesim.works.nodes import Path
from linesim.works.operations import Correction, Gauge
from linesim.works.report import Report
from linesim.works.walks import CutPlace, OperationPlace, cuts_of, operations_of

__all__ = ["check_names"]


def check_names(report: Report) -> None:
    """Look for every name that an operation or a gauge speaks of.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for cut in cuts_of(report.works):
        _check_feature(report, cut.at, (*cut.path, "feature"), cut.cut.feature)
        _check_cutter(report, (*cut.path, "cutter"), cut.cut.cutter)
    for at in operations_of(report.works):
        _check_people(report, at)
        _check_features(report, at)
        _check_sets(report, at)
        for name in at.operation.gauges:
            _check_gauge(report, at, name)


def _check_feature(report: Report, at: OperationPlace, path: Path, name: str) -> bool:
    """A name of a feature is that of one of the line."""
    within = ("lines", at.line_name, "features")
    return report.known(path, name, at.line.features, "a feature of this line", within)


def _check_cutter(report: Report, path: Path, name: str) -> None:
    """A name of a cutter is that of one of the works."""
    report.known(path, name, report.works.cutters, "a cutter of this works", ("cutters",))


def _check_people(report: Report, at: OperationPlace) -> None:
    """Setters and fitters are pools of people."""
    for name, pool in (("setters", at.operation.setters), ("fitters", at.operation.fitters)):
        if pool is not None:
            report.known((*at.path, name), pool, report.works.people, "a pool of people", ("people",))


def _check_features(report: Report, at: OperationPlace) -> None:
    """What an operation locates on and disturbs are features of its line."""
    if at.operation.chips is not None:
        _check_feature(report, at, (*at.path, "chips", "located_on"), at.operation.chips.located_on)
    for name in at.operation.disturbs:
        _check_feature(report, at, (*at.path, "disturbs", name), name)


def _check_sets(report: Report, at: OperationPlace) -> None:
    """The sets of an operation without cuts are cutters."""
    for position, name in enumerate(at.operation.sets):
        _check_cutter(report, (*at.path, "sets", position), name)


def _check_gauge(report: Report, at: OperationPlace, name: str) -> None:
    """A gauge reads a feature against limits that are given somewhere."""
    gauge, path = at.operation.gauges[name], (*at.path, "gauges", name)
    if not _check_feature(report, at, (*path, "feature"), gauge.feature):
        return
    feature, drawn = at.line.features[gauge.feature], ("lines", at.line_name, "features", gauge.feature)
    if "size" in gauge.reads and gauge.limits is None and feature.size is None:
        reason = f"to read the size of {said(gauge.feature)}, which has no size of its own"
        report.missing((*path, "limits"), reason, [(*path, "reads"), (*drawn, "size")])
    if "roughness" in gauge.reads and gauge.roughness_limit is None and feature.roughness is None:
        reason = f"to read the roughness of {said(gauge.feature)}, which has no limit of its own"
        report.missing((*path, "roughness_limit"), reason, [(*path, "reads"), (*drawn, "roughness")])
    if gauge.corrects is not None:
        _check_correction(report, at, name, gauge, gauge.corrects)


def _check_correction(report: Report, at: OperationPlace, name: str, gauge: Gauge, corrects: Correction) -> None:
    """A gauge corrects a cut of its own feature that the part has behind it."""
    path = (*at.path, "gauges", name, "corrects")
    wanted, within = corrects.operation or at.name, at.path[:-1]
    if not report.known((*path, "operation"), wanted, at.line.operations, "an operation of this line", within):
        return
    routing = list(at.line.operations)
    if routing.index(wanted) > routing.index(at.name):
        text = f"{said(wanted)} comes after {said(at.name)}; an operation at or before the gauge was expected"
        report.add((*path, "operation"), text, rests_on=[(*within, name, "after") for name in routing])
        return
    strokes = (*within, wanted, "strokes")
    if not report.gone_within(strokes) and not report.is_gone((*path, "operation")):
        cuts = [cut for cut in cuts_of(report.works) if _is_of(cut, at, wanted)]
        _check_corrected_cut(report, path, cuts, gauge, corrects)


def _is_of(cut: CutPlace, at: OperationPlace, operation: str) -> bool:
    """Whether a cut belongs to an operation of the same line."""
    return cut.at.line_name == at.line_name and cut.at.name == operation


def _check_corrected_cut(report: Report, path: Path, cuts: list[CutPlace], gauge: Gauge, corrects: Correction) -> None:
    """The corrected cut is there, only once, and cuts what the gauge reads."""
    if not report.known((*path, "cut"), corrects.cut, [cut.name for cut in cuts], "a cut of that operation"):
        return
    meant = [cut for cut in cuts if cut.name == corrects.cut]
    if len(meant) > 1:
        strokes = " and ".join(cut.stroke for cut in meant)
        text = f"{said(corrects.cut)} is a cut in the strokes {strokes}; a name that only one cut has was expected"
        report.add((*path, "cut"), text)
    elif meant[0].cut.feature != gauge.feature:
        text = f"{said(corrects.cut)} cuts {said(meant[0].cut.feature)}; a cut of {said(gauge.feature)} was expected"
        report.add((*path, "cut"), text)
