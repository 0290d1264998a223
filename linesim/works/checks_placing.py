"""Whether what is said of locating, fixtures and shape fits together."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.carried import carried, cut_features, length_of
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["check_placing"]


def check_placing(report: Report) -> None:
    """Look at every operation's locating, fixtures and clamping.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        _check_locating(report, at)
        _check_fixtures(report, at)
        _check_fault(report, at)
        _check_lengths(report, at)
        for name in at.operation.gauges:
            _check_gauge(report, at, name)


def _check_locating(report: Report, at: OperationPlace) -> None:
    """An operation locates on a feature that it does not cut, and that is where its chips lie."""
    locating, path = at.operation.locating, (*at.path, "locating", "on")
    if locating is None:
        return
    features = ("lines", at.line_name, "features")
    if not report.known(path, locating.on, at.line.features, "a feature of this line", features):
        return
    if locating.on in cut_features(at.operation):
        report.add(path, f"{quoted(locating.on)} is cut here; a feature that this operation does not cut was expected")
    chips = at.operation.chips
    if chips is not None and chips.located_on != locating.on:
        text = f"the part sits on {quoted(locating.on)}, but its chips lie on {quoted(chips.located_on)}"
        report.add((*at.path, "chips", "located_on"), f"{text}; the same feature was expected", rests_on=[path])


def _check_fixtures(report: Report, at: OperationPlace) -> None:
    """Pallets are those of the line; a fixture's tilt counts over the distance of the pads."""
    fixtures, path = at.operation.fixtures, (*at.path, "fixtures")
    if fixtures is None:
        return
    pallets = ("lines", at.line_name, "pallets")
    if fixtures.count == "pallets" and at.line.pallets is None:
        report.missing(pallets, f"for the fixtures of {quoted(at.name)}, which are its pallets", [(*path, "count")])
    turns = fixtures.tilt > 0.0 or any(fixture.tilt for fixture in fixtures.measured)
    if turns and at.operation.locating is None:
        report.missing((*at.path, "locating"), "for the tilt of a fixture, which counts over its pads", [path])


def _check_fault(report: Report, at: OperationPlace) -> None:
    """The tilt of a machine that turns bad counts over the distance of the pads."""
    bad = at.operation.turns_bad
    if bad is not None and bad.tilt != 0.0 and at.operation.locating is None:
        path = (*at.path, "turns_bad", "tilt")
        report.missing((*at.path, "locating"), "for the tilt of a bad machine, which counts over the pads", [path])


def _check_lengths(report: Report, at: OperationPlace) -> None:
    """What is located and followed has a length."""
    line, features = at.line, ("lines", at.line_name, "features")
    if at.operation.locating is None:
        return
    for name in sorted(cut_features(at.operation) & set(line.features) & carried(line)):
        if length_of(line, name) == 0.0:
            report.missing((*features, name, "length"), f"for its tilt, as {quoted(at.name)} locates it")


def _check_gauge(report: Report, at: OperationPlace, name: str) -> None:
    """A gauge reads position, tilt or form of a feature whose drawing limits it."""
    gauge, path = at.operation.gauges[name], (*at.path, "gauges", name, "reads")
    feature = at.line.features.get(gauge.feature)
    drawn = ("lines", at.line_name, "features", gauge.feature)
    if feature is None:
        return
    for what, entry, limit in (
        ("position", "position", feature.position),
        ("tilt", "squareness", feature.tilt),
        ("form", "form", feature.form),
    ):
        if what in gauge.reads and limit is None:
            report.missing((*drawn, entry), f"to read the {what} of {quoted(gauge.feature)} at {quoted(name)}", [path])
