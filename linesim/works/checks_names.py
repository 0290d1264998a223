"""Names that lead nowhere: features, cutters, people, operations and cuts that are spoken of but not there."""

from __future__ import annotations

from linesim.errors import said
from linesim.works.nodes import Path
from linesim.works.operations import Correction, Gauge
from linesim.works.report import Report
from linesim.works.walks import CutPlace, OperationPlace, cuts_of, cutters_of, operations_of

__all__ = ["check_names"]


def check_names(report: Report) -> None:
    """Look for every name that an operation, a gauge or a policy speaks of.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for cut in cuts_of(report.works):
        report.known((*cut.path, "feature"), cut.cut.feature, cut.at.line.features, "a feature of this line")
        report.known((*cut.path, "cutter"), cut.cut.cutter, report.works.cutters, "a cutter of this works")
    for at in operations_of(report.works):
        _check_people(report, at)
        _check_features(report, at)
        _check_sets(report, at)
        for name in at.operation.gauges:
            _check_gauge(report, at, name)
    _check_policies(report)


def _check_people(report: Report, at: OperationPlace) -> None:
    """Setters and fitters are pools of people."""
    for name, pool in (("setters", at.operation.setters), ("fitters", at.operation.fitters)):
        if pool is not None:
            report.known((*at.path, name), pool, report.works.people, "a pool of people")


def _check_features(report: Report, at: OperationPlace) -> None:
    """What an operation locates on and disturbs are features of its line."""
    kind = "a feature of this line"
    if at.operation.chips is not None:
        report.known((*at.path, "chips", "located_on"), at.operation.chips.located_on, at.line.features, kind)
    for name in at.operation.disturbs:
        report.known((*at.path, "disturbs", name), name, at.line.features, kind)


def _check_sets(report: Report, at: OperationPlace) -> None:
    """The sets of an operation without cuts are cutters."""
    for position, name in enumerate(at.operation.sets):
        report.known((*at.path, "sets", position), name, report.works.cutters, "a cutter of this works")


def _check_gauge(report: Report, at: OperationPlace, name: str) -> None:
    """A gauge reads a feature against limits that are given somewhere."""
    gauge, path = at.operation.gauges[name], (*at.path, "gauges", name)
    if not report.known((*path, "feature"), gauge.feature, at.line.features, "a feature of this line"):
        return
    feature = at.line.features[gauge.feature]
    if "size" in gauge.reads and gauge.limits is None and feature.size is None:
        reason = f"to read the size of {said(gauge.feature)}, which has no size of its own"
        report.missing((*path, "limits"), reason)
    if "roughness" in gauge.reads and gauge.roughness_limit is None and feature.roughness is None:
        reason = f"to read the roughness of {said(gauge.feature)}, which has no limit of its own"
        report.missing((*path, "roughness_limit"), reason)
    if gauge.corrects is not None:
        _check_correction(report, at, name, gauge, gauge.corrects)


def _check_correction(report: Report, at: OperationPlace, name: str, gauge: Gauge, corrects: Correction) -> None:
    """A gauge corrects a cut of its own feature that the part has behind it."""
    path = (*at.path, "gauges", name, "corrects")
    wanted = corrects.operation or at.name
    if not report.known((*path, "operation"), wanted, at.line.operations, "an operation of this line"):
        return
    routing = list(at.line.operations)
    if routing.index(wanted) > routing.index(at.name):
        text = f"{said(wanted)} comes after {said(at.name)}; an operation at or before the gauge was expected"
        report.add((*path, "operation"), text)
        return
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


def _check_policies(report: Report) -> None:
    """Exceptions are by cutter, or by operation and cutter."""
    works = report.works
    pairs = {f"{at.name} / {name}" for at in operations_of(works) for name in cutters_of(at.operation)}
    known = [*works.cutters, *sorted(pairs)]
    for policy_name, policy in works.policies.items():
        for name in policy.exceptions:
            place = ("policies", policy_name, "exceptions", name)
            report.known(place, name, known, 'a cutter, or an operation and its cutter ("Op 40 / finish blade")')
