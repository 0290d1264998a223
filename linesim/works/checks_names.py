"""Names that lead nowhere: features, cutters, people, operations and cuts that are spoken of but not there."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.nodes import Path, has_room
from linesim.works.operations import Correction, Gauge, Operation
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, cuts_of, operations_of

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
    """Setters, fitters and those who overhaul are pools of people."""
    named: dict[Path, str | None] = {("setters",): at.operation.setters, ("fitters",): at.operation.fitters}
    own = {("unlike", name): each.breakdowns for name, each in at.operation.unlike.items()}
    for path, breakdowns in ({(): at.operation.breakdowns} | own).items():
        if breakdowns is not None and breakdowns.overhaul is not None:
            named[*path, "breakdowns", "overhaul", "people"] = breakdowns.overhaul.people
    for name, pool in named.items():
        if pool is not None:
            report.known((*at.path, *name), pool, report.works.people, "a pool of people", ("people",))


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
        reason = f"to read the size of {quoted(gauge.feature)}, which has no size of its own"
        report.missing((*path, "limits"), reason, [(*path, "reads"), (*drawn, "size")])
    has_own = gauge.roughness_limit is not None or gauge.roughness_limits is not None
    if "roughness" in gauge.reads and not has_own and feature.roughness is None:
        reason = f"to read the roughness of {quoted(gauge.feature)}, which has no limit of its own"
        report.missing((*path, "roughness_limit"), reason, [(*path, "reads"), (*drawn, "roughness")])
    if gauge.corrects is not None:
        _check_correction(report, at, name, gauge, gauge.corrects)


def _check_correction(report: Report, at: OperationPlace, name: str, gauge: Gauge, corrects: Correction) -> None:
    """A gauge corrects a cut of its own feature that the part has behind it."""
    path = (*at.path, "gauges", name, "corrects")
    wanted, within = corrects.operation or at.name, at.path[:-1]
    if not report.known((*path, "operation"), wanted, at.line.operations, "an operation of this line", within):
        return
    if _comes_later(at, wanted):
        text = f"{quoted(wanted)} comes after {quoted(at.name)}; an operation at or before the gauge was expected"
        if has_room(report.problems) and not report.is_order_gone(within):
            report.add((*path, "operation"), text)
        return
    strokes = (*within, wanted, "strokes")
    if has_room(report.problems) and not report.is_touched(strokes) and not report.is_gone((*path, "operation")):
        _check_corrected_cut(report, path, at.line.operations[wanted], gauge, corrects)


def _comes_later(at: OperationPlace, other: str) -> bool:
    """Whether another operation of the line comes after this one."""
    return next(name for name in at.line.operations if name in (at.name, other)) == at.name != other


def _check_corrected_cut(report: Report, path: Path, operation: Operation, gauge: Gauge, corrects: Correction) -> None:
    """The corrected cut is there, only once, and cuts what the gauge reads."""
    strokes = [name for name, stroke in operation.strokes.items() if corrects.cut in stroke.cuts]
    if not strokes:
        names = [name for stroke in operation.strokes.values() for name in stroke.cuts]
        report.known((*path, "cut"), corrects.cut, names, "a cut of that operation")
        return
    feature = operation.strokes[strokes[0]].cuts[corrects.cut].feature
    if len(strokes) > 1:
        listed = " and ".join(strokes)
        text = f"{quoted(corrects.cut)} is a cut in the strokes {listed}; a name that only one cut has was expected"
        report.add((*path, "cut"), text)
    elif feature != gauge.feature:
        text = f"{quoted(corrects.cut)} cuts {quoted(feature)}; a cut of {quoted(gauge.feature)} was expected"
        report.add((*path, "cut"), text)
