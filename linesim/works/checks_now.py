"""Whether a works can stand as it is said to stand when the run begins."""

from __future__ import annotations

from collections import Counter

from linesim.errors import listed, quoted
from linesim.works.nodes import Path
from linesim.works.now import OperationNow
from linesim.works.report import Report
from linesim.works.staffing import DAYS
from linesim.works.walks import OperationPlace, cutters_of, operations_of

__all__ = ["check_now"]


def check_now(report: Report) -> None:
    """Look up lines, operations and sets, and hold counts to what there is.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    works = report.works
    if works.now is None:
        return
    if works.run.warm_up > 0.0:
        text = f"a run that begins from a given state has no warm-up; found {works.run.warm_up:g} min"
        report.add(("run", "warm_up"), text, "write warm_up: 0", rests_on=[("now",)])
    for line, operations in works.now.lines.items():
        path: Path = ("now", "lines", line)
        if report.known(path, line, works.lines, "a line of this works", ("lines",)):
            for name, now in operations.items():
                within = ("lines", line, "operations")
                if report.known((*path, name), name, works.lines[line].operations, "an operation of this line", within):
                    at = next(at for at in operations_of(works) if (at.line_name, at.name) == (line, name))
                    _check_operation(report, at, now)
    _check_sets(report)
    _check_moment(report)


def _check_moment(report: Report) -> None:
    """It lies in a shift that is worked."""
    assert report.works.now is not None, "looked at only where it is given"
    at, calendar, path = report.works.now.at, report.works.calendar, ("now", "at")
    days = DAYS[: calendar.days_per_week]
    if at.day not in days:
        text = f"{at.day} is not worked; the worked days of this calendar are {listed(days)}"
        report.add((*path, "day"), text, "", [("calendar", "days_per_week")])
    if at.shift > calendar.shifts_per_day:
        text = f"shift {at.shift} is not worked; this calendar has {calendar.shifts_per_day} in a day"
        report.add((*path, "shift"), text, "", [("calendar", "shifts_per_day")])
    if at.after >= calendar.shift:
        text = f"a shift is over after {calendar.shift:g} min; found {at.after:g} min after its start"
        report.add((*path, "after"), text, "name the next shift, or a moment within this one", [("calendar", "shift")])


def _check_operation(report: Report, at: OperationPlace, now: OperationNow) -> None:
    path: Path = ("now", "lines", at.line_name, at.name)
    own = cutters_of(at.operation)
    for cutter, parts in now.edges.items():
        if report.known((*path, "edges", cutter), cutter, own, "a cutter set of this operation", at.path):
            _check_each(report, (*path, "edges", cutter), parts, at.operation.machines)
    _check_each(report, (*path, "down"), now.down, at.operation.machines)
    if now.warm > 0.0 and at.operation.warm_up is None:
        report.add((*path, "warm"), f"the machines of {quoted(at.name)} do not warm up; warm_up was expected there")
    _check_waiting(report, at, now)


def _check_each(report: Report, path: Path, value: object, machines: int) -> None:
    if isinstance(value, list) and len(value) != machines:
        report.add(path, f"one figure for each of {machines} machines was expected; found {len(value)}")


def _check_waiting(report: Report, at: OperationPlace, now: OperationNow) -> None:
    path: Path = ("now", "lines", at.line_name, at.name, "waiting")
    move = at.operation.move
    room = move.places if move is not None and move.is_conveyor else at.operation.buffer
    is_first = at.name == next(iter(at.line.operations))
    if now.waiting and is_first and at.line.casting.arrivals is None:
        report.add(path, "castings are always to be had here, so none wait", "leave it out, or give arrivals")
    elif isinstance(room, int) and now.waiting > room and not (is_first and at.line.casting.arrivals is not None):
        report.add(path, f"the buffer holds {room}; found {now.waiting} waiting")
    elif at.line.casting.limit is not None and now.waiting > at.line.casting.limit:
        report.add(path, f"there are {at.line.casting.limit} castings in all; found {now.waiting} waiting")


def _check_sets(report: Report) -> None:
    """Sharp, at the grinder and on order are all that is not mounted."""
    works = report.works
    assert works.now is not None, "looked at only where it is given"
    mounted = Counter[str]()
    for at in operations_of(works):
        mounted.update(dict.fromkeys(cutters_of(at.operation), at.operation.machines))
    for name, now in works.now.sets.items():
        path: Path = ("now", "sets", name)
        if not report.known(path, name, works.cutters, "a cutter of this works", ("cutters",)):
            continue
        cutter, others = works.cutters[name], now.at_grinder + now.ordered
        spare = cutter.sets - mounted[name]
        if now.at_grinder and cutter.renewal.reground is None:
            report.add((*path, "at_grinder"), f"{quoted(name)} is not reground, so none stands at the grinder")
        elif others > spare or (now.sharp is not None and now.sharp + others != spare):
            sharp = f"{now.sharp} sharp, " if now.sharp is not None else ""
            text = f"of {cutter.sets} sets {mounted[name]} are mounted, which leaves {max(spare, 0)}"
            report.add(path, f"{text}; found {sharp}{now.at_grinder} at the grinder, {now.ordered} on order")
