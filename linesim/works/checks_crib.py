"""Whether the crib can keep every machine in cutters, and whether every cutter that cuts can dull."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.crib import Breaking
from linesim.works.report import Report
from linesim.works.walks import cuts_of, mounts, operations_of

__all__ = ["check_crib"]


def check_crib(report: Report) -> None:
    """Compare sets with machines, regrinds with grinders, and look for grades.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    works = report.works
    mounted = {name: count for name, count in mounts(works).items() if name in works.cutters}
    with_magazines = any(at.operation.magazine is not None for at in operations_of(works))
    for name, count in mounted.items():
        _check_sets(report, name, count, with_magazines)
    ground = [name for name in mounted if works.cutters[name].renewal.reground is not None]
    if ground and works.crib.grinders == 0:
        text = f"0 grinders, but {quoted(ground[0])} is to be reground; at least 1 was expected"
        report.add(("crib", "grinders"), text)
    _check_presetters(report)
    _check_diamonds(report)
    _check_grades(report)
    cutting = {cut.cut.cutter for cut in cuts_of(works)}
    for name in mounted:
        if name not in cutting and works.cutters[name].life_min is None:
            _check_lifeless(report, name)


def _check_presetters(report: Report) -> None:
    """Whoever presets is there."""
    works, path = report.works, ("crib", "presetters")
    if works.crib.presetters is not None:
        report.known(path, works.crib.presetters, works.people, "a pool of people", ("people",))
        return
    preset = [name for name, cutter in works.cutters.items() if cutter.is_preset]
    if preset:
        way_out = 'name a pool of people there, such as presetters: tool room, or take "presetting" off the cutter'
        reason = f"as {quoted(preset[0])} has minutes of presetting; {way_out}"
        report.missing(path, reason, [("cutters", preset[0], "presetting")])


def _check_diamonds(report: Report) -> None:
    """How fast a wheel turns while it is dressed follows from its diameter."""
    for name, cutter in report.works.cutters.items():
        dressed = cutter.renewal.dressed
        if dressed is not None and dressed.diamond is not None and cutter.diameter is None:
            reason = "as the turns of the wheel under its diamond follow from it"
            report.missing(("cutters", name, "diameter"), reason, [("cutters", name, "renewal", "dressed", "diamond")])


def _check_lifeless(report: Report, name: str) -> None:
    """A set that makes no cuts and has no life never dulls, so that its scatter and breaking would do nothing."""
    path, cutter = ("cutters", name), report.works.cutters[name]
    given = {"life_cv": cutter.life_cv is not None, "breaking": isinstance(cutter.breaking, Breaking)}
    for entry in (entry for entry, is_given in given.items() if is_given):
        text = f"{entry} does nothing without a life, and {quoted(name)} makes no cuts from which one would follow"
        report.add((*path, entry), f"{text}; life (cutting minutes) was expected beside it", "", [(*path, "life")])


def _check_sets(report: Report, name: str, count: int, with_magazines: bool) -> None:
    """Every machine that uses a set has one mounted."""
    sets = report.works.cutters[name].sets
    machines = "1 machine mounts" if count == 1 else f"{count} machines mount"
    if with_magazines:
        machines = f"the machines and their magazines hold {count} of"
    if sets == 0:
        text = f"there is no set of {quoted(name)}, but {machines} it; at least {count} was expected"
        report.add(("cutters", name, "sets"), text)
    elif sets < count:
        text = f"{sets} of {quoted(name)} are too few, because {machines} it; at least {count} was expected"
        report.add(("cutters", name, "sets"), text)


def _check_grades(report: Report) -> None:
    """What cuts has a grade, even if its life is stated."""
    cutters = report.works.cutters
    for name in dict.fromkeys(cut.cut.cutter for cut in cuts_of(report.works)):
        if name in cutters and cutters[name].grade is None:
            reason = "for an edge that cuts: its wear, scatter and breaking follow from the grade"
            path = ("cutters", name, "grade")
            report.add(path, f"missing; a cutter grade or an abrasive of the handbook is needed {reason}")
