"""From fit to scenario: a file that extends a scenario with the shop's own figures, each with its origin beside it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from linesim.errors import quoted
from linesim.handbook import Grade
from linesim.records.coefficient import UNKNOWN, Coefficient
from linesim.records.edge_life import EdgeLife
from linesim.records.entry import Entry, entry_of, origin_words, short
from linesim.records.fitted import Fitted
from linesim.records.fitting import Fit
from linesim.records.handbook_prior import first_cut_of, grade_of
from linesim.records.overlay_two_figures import add_two_figures
from linesim.records.wear_curve import WEAR_CURVE
from linesim.works.model import Works
from linesim.works.ranges import RANGES
from linesim.works.walks import cuts_of, operations_of

__all__ = ["Entry", "Overlay", "outside_words", "overlay_of"]

_BEYOND = 0.02
"""Share by which a condition may lie outside the records before it is called outside."""
_LEAST_KNOWN, _MOST_KNOWN = 1.0, 10.0


@dataclass
class Overlay:
    """What goes into a scenario, and what does not.

    Attributes
    ----------
    entries : list of Entry
        The shop's own figures.
    remarks : list of str
        What stays the handbook's, and why; what lies outside the records.
    """

    entries: list[Entry] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def text(self, extends: str) -> str:
        """Return the file.

        Parameters
        ----------
        extends : str
            Path of the scenario as the file has to name it.
        """
        tree = _tree((entry.path, entry) for entry in self.entries)
        remarks = [f"# {_line(remark)}" for remark in self.remarks]
        return "\n".join([*remarks, f"extends: {json.dumps(extends)}", *_lines(tree, 0)]) + "\n"

    def tree(self, beside: Mapping[tuple[str, ...], Any] | None = None) -> dict[str, Any]:
        """Return the entries, and others beside them by their paths, as `linesim.works.changed` takes them."""
        return _tree([*((entry.path, entry.value) for entry in self.entries), *(beside or {}).items()])


def _tree(leaves: Iterable[tuple[tuple[str, ...], Any]]) -> dict[str, Any]:
    """Leaves as groups within groups."""
    tree: dict[str, Any] = {}
    for path, leaf in leaves:
        at = tree
        for name in path[:-1]:
            at = at.setdefault(name, {})
        at[path[-1]] = leaf
    return tree


def _lines(tree: dict[str, Any], depth: int) -> Iterator[str]:
    """Entries as YAML, each figure with its origin above it; a quoted text of JSON is one of YAML too."""
    blank = "  " * depth
    for name, value in tree.items():
        if isinstance(value, Entry):
            yield f"{blank}# {_line(value.origin)}"
            yield f"{blank}{_name(name)}: {json.dumps(value.value)}"
        else:
            yield f"{blank}{_name(name)}:"
            yield from _lines(value, depth + 1)


def _name(name: str) -> str:
    """A name as YAML has it: bare where that is safe."""
    return name if re.fullmatch(r"[A-Za-z](?:[\w ]*\w)?", name, re.ASCII) else json.dumps(name)


def _line(text: str) -> str:
    """A text that stays within one line of a remark."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def overlay_of(fitted: Fitted, works: Works) -> Overlay:
    """Work out what of the fits goes into a scenario.

    Parameters
    ----------
    fitted : Fitted
        What the records say.
    works : Works
        The scenario.
    """
    overlay = Overlay()
    for name, life in fitted.lives.items():
        _edges(overlay, name, life, works)
    for each in fitted.coefficients:
        if each.name in ("mean change minutes", "setting error", "gauge error (GRR)"):
            _plain(overlay, each, fitted, works)
    for name in fitted.lives:
        _curve(overlay, name, fitted)
    for machine, times in fitted.times.items():
        _repairs(overlay, machine, times, fitted, works)
    add_two_figures(overlay.entries, overlay.remarks, fitted, works)
    used = {name for name in works.cutters if name in fitted.lives}
    rest = [name for name in works.cutters if name not in used]
    overlay.remarks += (
        [f"No edge life in the records, so that the handbook's stays: {', '.join(rest)}."] if rest else []
    )
    overlay.remarks += outside_words(fitted, works)
    return overlay


def _edges(overlay: Overlay, name: str, life: EdgeLife, works: Works) -> None:
    """Life, its exponents, its scatter, how well it is known, and when edges break."""
    grade, place = grade_of(works, name), first_cut_of(works, name)
    if name not in works.cutters or place is None:
        overlay.remarks.append(
            f"{quoted(name)} is in the records, and no cut of this scenario uses a set of that name."
        )
        return
    if life.best is None:
        overlay.remarks.append(f"{name}: its edge life is not established; the handbook's stays.")
        return
    own = {each.name: each for each in life.coefficients}
    mean = own["mean edge life"]
    cutter = ("cutters", name)
    if grade is None:
        overlay.entries.append(entry_of((*cutter, "life", "about"), mean))
    else:
        _grade(overlay, name, life, grade, works)
    if mean.state == UNKNOWN:
        overlay.remarks.append(f"{name}: the records set no bound to its mean life; it is a guess.")
    low, high = mean.interval.low, mean.interval.high
    spread = max(high / mean.interval.value, mean.interval.value / low) if low > 0.0 else _MOST_KNOWN
    known = min(max(spread, _LEAST_KNOWN), _MOST_KNOWN)
    overlay.entries.append(
        Entry((*cutter, "life", "known_within"), short(known), f"95 % of the mean life. {mean.origin}")
    )
    overlay.entries.append(entry_of((*cutter, "life_cv"), own["scatter of life (cv)"]))
    for word in ("shape", "scale"):
        at = own.get(f"life share of breaking, {word}")
        if at is not None:
            overlay.entries.append(entry_of((*cutter, "breaking", word), at))
    if life.breaking is None:
        overlay.remarks.append(f"{name}: when edges break is not in the records; the handbook's figures stay.")


def _grade(overlay: Overlay, name: str, life: EdgeLife, grade: Grade, works: Works) -> None:
    """A grade of the set's own, so that its life follows speed, feed and depth as the records do."""
    own = {each.name: each for each in life.coefficients}
    new, place = f"{name}, from records", first_cut_of(works, name)
    assert place is not None
    usual = {"speed": place.cut.speed, "feed": place.cut.feed, "depth": place.cut.depth}
    at = {"speed": "ref_speed_m_min", "feed": "ref_feed_mm", "depth": "ref_depth_mm"}
    path, mean = ("handbook", "grades", new), own["mean edge life"]
    overlay.entries.append(Entry((*path, "based_on"), grade.name, "all that is not below stays the handbook's"))
    overlay.entries.append(entry_of((*path, "ref_life_min"), mean))
    for each, figure in at.items():
        middle = life.data.at.get(each, usual[each])
        if middle is not None:
            whence = (
                "middle of the records" if each in life.data.at else "not in the records: that of the scenario's cut"
            )
            overlay.entries.append(Entry((*path, figure), short(middle), whence))
    overlay.entries.append(
        Entry((*path, "skin_factor"), 1.0, "the lives of the records have the casting's skin in them")
    )
    for each, figure, power in (("speed", "n", -1.0), ("feed", "p", 1.0), ("depth", "q", 1.0)):
        exponent = own.get(f"{each} exponent of life")
        falls = 0.0 if exponent is None or exponent.state == UNKNOWN else max(-exponent.interval.value, 0.0)
        value = falls**power if falls > 0.0 else 0.0
        if exponent is None or value == 0.0:
            words = f"{name}: the {each} exponent of life is not established; {figure} stays the handbook's."
            overlay.remarks.append(words)
        elif not RANGES[figure].holds(value):
            words = f"{name}: {figure} would be {value:.3g}; {RANGES[figure].in_words} was expected"
            overlay.remarks.append(f"{words}, so that the handbook's stays.")
        else:
            overlay.entries.append(Entry((*path, figure), short(value), origin_words(exponent)))
    overlay.entries.append(Entry(("cutters", name, "grade"), new, "the figures above"))


def _curve(overlay: Overlay, name: str, fitted: Fitted) -> None:
    """The wear curve, if all of it is established and the set has a grade of its own: its figures belong together."""
    own = [each for each in fitted.coefficients if each.of == name and each.name in WEAR_CURVE]
    path = ("handbook", "grades", f"{name}, from records")
    if not own or not any(entry.path[:3] == path for entry in overlay.entries):
        return
    if any(each.state == UNKNOWN for each in own):
        overlay.remarks.append(f"{name}: its wear curve is not established; the handbook's stays.")
        return
    overlay.entries += [entry_of((*path, WEAR_CURVE[each.name]), each) for each in own]


def _plain(overlay: Overlay, each: Coefficient, fitted: Fitted, works: Works) -> None:
    """Change minutes, setting error, gauge error."""
    if each.name == "gauge error (GRR)":
        places = [at for at in operations_of(works) if each.of in at.operation.gauges]
        for at in places:
            path = ("lines", at.line_name, "operations", at.name, "gauges", each.of, "error")
            overlay.entries.append(entry_of(path, each))
        overlay.remarks += [] if places else [f"{quoted(each.of)} is in the records, and no gauge of this scenario."]
    elif each.of not in works.cutters:
        overlay.remarks.append(f"{quoted(each.of)} is in the records, and no set of this scenario.")
    elif each.name == "setting error":
        overlay.entries.append(entry_of(("cutters", each.of, "setting", "error"), each))
    else:
        spread = next(
            other for other in fitted.coefficients if (other.of, other.name) == (each.of, "scatter of change minutes")
        )
        cv = spread.interval.value / each.interval.value if each.interval.value > 0.0 else 0.0
        change = ("cutters", each.of, "change")
        if cv > 0.0:
            overlay.entries.append(entry_of((*change, "lognormal", "mean"), each))
            overlay.entries.append(Entry((*change, "lognormal", "cv"), short(cv), spread.origin))
        else:
            overlay.entries.append(entry_of(change, each))


def _repairs(overlay: Overlay, machine: str, times: dict[str, Fit], fitted: Fitted, works: Works) -> None:
    """Repair times of operations that break down; the time between runs by the clock, and the model's by cutting."""
    for at in operations_of(works):
        if at.name != machine or "repair time" not in times:
            continue
        if at.operation.breakdowns is None:
            overlay.remarks.append(
                f"{machine} has breakdowns in the records and none in the scenario; none are written."
            )
            continue
        path = ("lines", at.line_name, "operations", at.name, "breakdowns", "repair", "lognormal")
        own = {each.name: each for each in fitted.coefficients if each.of == machine}
        overlay.entries.append(entry_of((*path, "mean"), own["mean repair time"]))
        overlay.entries.append(entry_of((*path, "cv"), own["scatter of repair time (cv)"]))
        what = "the time between breakdowns is by the clock and the model's by cutting minutes"
        overlay.remarks.append(
            f"{machine}: {what}; multiply it by the share of time that it cuts, and write it in between."
        )


def outside_words(fitted: Fitted, works: Works) -> list[str]:
    """Say which cuts of a scenario run outside the range of the records."""
    words = []
    for place in cuts_of(works):
        life = fitted.lives.get(place.cut.cutter)
        for name, (low, high) in ({} if life is None else life.data.between).items():
            value = getattr(place.cut, name)
            if value is not None and not low * (1.0 - _BEYOND) <= value <= high * (1.0 + _BEYOND):
                span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
                words.append(
                    f"{place.at.name}, {place.name}: its {name} of {value:g} lies outside the records ({span})."
                )
    return words
