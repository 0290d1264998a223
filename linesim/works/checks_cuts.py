"""Whether every cut says enough to be worked out, and whether there is metal enough for all of them."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.features import Feature
from linesim.works.model import Line
from linesim.works.nodes import Path
from linesim.works.report import Report
from linesim.works.walks import CutPlace, cuts_of

__all__ = ["check_cuts", "cutting_diameter"]

_NEEDED = {
    "milling": ("speed", "feed", "length", "width"),
    "boring": ("speed", "feed", "length"),
    "drilling": ("speed", "feed", "length"),
    "reaming": ("speed", "feed", "length"),
}
_ROUNDING_MM = 1e-9
_MOST_LISTED = 12


def check_cuts(report: Report) -> None:
    """Look for what each cut lacks, for sets that should cut twice at once, and compare depths with the stock.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    cuts = list(cuts_of(report.works))
    for cut in cuts:
        _check_needed(report, cut)
        _check_width(report, cut)
    by_line: dict[str, list[CutPlace]] = {name: [] for name in report.works.lines}
    for cut in cuts:
        by_line[cut.at.line_name].append(cut)
    for line_name, line in report.works.lines.items():
        own = by_line[line_name]
        if own and line.material is None:
            report.missing(("lines", line_name, "material"), "where cuts are described")
        _check_stock(report, line_name, line, own)
    _check_strokes(report, cuts)


def cutting_diameter(diameter_mm: float | None, feature: Feature | None) -> float | None:
    """Return the diameter at which a cutter works, as far as the scenario tells it.

    Parameters
    ----------
    diameter_mm : float or None, mm
        The cutter's own.
    feature : Feature or None
        What it cuts.

    Returns
    -------
    float or None, mm
        The cutter's own diameter, else the feature's, else the middle of a bore's limits.
    """
    if diameter_mm is not None or feature is None:
        return diameter_mm
    if feature.diameter is not None or feature.kind != "bore" or feature.size is None:
        return feature.diameter
    return sum(feature.size.limits) / 2


def _check_needed(report: Report, at: CutPlace) -> None:
    """A cut whose minutes are not given says what they follow from; every abrasive has a rate in the handbook."""
    cut, minutes = at.cut, (*at.path, "minutes")
    if cut.minutes is not None or cut.process not in _NEEDED:
        return
    for name in _NEEDED[cut.process]:
        if getattr(cut, name) is None:
            report.missing((*at.path, name), f"for {cut.process}, unless minutes are given", [minutes])
    _check_diameter(report, at, minutes)


def _check_diameter(report: Report, at: CutPlace, minutes: Path) -> None:
    """What turns has a diameter, or the bore has."""
    cut, cutter = at.cut, report.works.cutters.get(at.cut.cutter)
    if cut.process != "milling" and cut.feature not in at.at.line.features:
        return  # told as an unknown feature; what it would have said of a diameter is not known
    feature = None if cut.process == "milling" else at.at.line.features.get(cut.feature)
    if cutter is not None and cutting_diameter(cutter.diameter, feature) is None:
        bore = "" if cut.process == "milling" else f", unless {quoted(cut.feature)} has a diameter"
        drawn = ("lines", at.at.line_name, "features", cut.feature)
        rests_on = (
            [minutes]
            if cut.process == "milling"
            else [minutes, *((*drawn, name) for name in ("kind", "diameter", "size"))]
        )
        report.missing(("cutters", cut.cutter, "diameter"), f"for {cut.process}{bore}", rests_on)


def _check_strokes(report: Report, cuts: list[CutPlace]) -> None:
    """A set makes one cut of a stroke."""
    first: dict[Path, CutPlace] = {}
    for at in cuts:
        before = first.setdefault((*at.path[:-2], at.cut.cutter), at)
        if before is not at:
            cutter, other = quoted(at.cut.cutter), quoted(before.name)
            text = f"{cutter} already makes the cut {other} of this stroke, and one set cannot"
            reason = "make two cuts at once; another cutter, or a stroke of its own, was expected"
            report.add((*at.path, "cutter"), f"{text} {reason}")


def _check_width(report: Report, at: CutPlace) -> None:
    """A milling cutter cannot cut wider than it is."""
    cutter = report.works.cutters.get(at.cut.cutter)
    if at.cut.process != "milling" or at.cut.width is None or cutter is None or cutter.diameter is None:
        return
    if at.cut.width > cutter.diameter:
        text = f"{at.cut.width:g} mm is wider than {quoted(at.cut.cutter)} ({cutter.diameter:g} mm)"
        report.add((*at.path, "width"), f"{text}; at most its diameter was expected")


def _check_stock(report: Report, line_name: str, line: Line, cuts: list[CutPlace]) -> None:
    """The depths of a feature's cuts do not add up to more metal than the casting brings."""
    by_feature: dict[str, list[CutPlace]] = {}
    for cut in cuts:
        by_feature.setdefault(cut.cut.feature, []).append(cut)
    for name, feature in line.features.items():
        own = by_feature.get(name, [])
        depth = sum(cut.cut.depth for cut in own)
        stock = feature.as_cast.stock
        if stock is not None and depth > stock + _ROUNDING_MM:
            listed = " + ".join(f"{cut.cut.depth:g}" for cut in own[:_MOST_LISTED])
            listed += " + ..." if len(own) > _MOST_LISTED else ""
            taken = f"{depth:g} mm ({listed})" if len(own) > 1 else f"{depth:g} mm"
            text = f"the cuts take off {taken}, but the casting has {stock:g} mm of stock; at most that was expected"
            report.add(("lines", line_name, "features", name, "as_cast", "stock"), text)
