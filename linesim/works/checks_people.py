"""Whether pools of people can attend as described, and whether those who attend machines are there."""

from __future__ import annotations

from linesim.errors import listed, quoted
from linesim.works.nodes import Path
from linesim.works.report import Report
from linesim.works.staffing import DAYS, People
from linesim.works.walks import operations_of

__all__ = ["check_people"]

_SHIFTS = ("calendar", "shifts_per_day")
_DAYS = ("calendar", "days_per_week")
_SHIFT = ("calendar", "shift")


def check_people(report: Report) -> None:
    """Look at the attendance of every pool, and at who attends machines.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for name, people in report.works.people.items():
        path: Path = ("people", name)
        if _check_shifts(report, path, people):
            _check_anybody(report, path, people)
            _check_breaks(report, path, people)
    for at in operations_of(report.works):
        if at.operation.attended is not None:
            if at.operation.batch is not None:
                text = "a station that takes several parts at once cannot be attended; leave out one of the two"
                report.add((*at.path, "attended"), text, "", [(*at.path, "batch")])
            path = (*at.path, "attended", "by")
            report.known(path, at.operation.attended.by, report.works.people, "a pool of people", ("people",))


def _check_shifts(report: Report, path: Path, people: People) -> bool:
    """Each list has one number for each shift of a day, and each day is a worked one; whether that is so.

    A problem that hangs on a broken entry elsewhere is not written down, and still one here.
    """
    calendar, fits = report.works.calendar, True
    days = DAYS[: calendar.days_per_week]
    for day in people.by_day:
        where = (*path, "by_day", day)
        fits &= day in days
        if report.known(where, day, DAYS, "a day of the week") and day not in days:
            text = f"{day} is not worked; the worked days of this calendar are {listed(days)}"
            report.add(where, text, "", [_DAYS])
    shifts = calendar.shifts_per_day
    for where, attending in ((("by_shift",), people.by_shift), *_by_day(people)):
        if len(attending) != shifts and (attending or where != ("by_shift",)):
            fits = False
            wanted = f"one for each of the {shifts} shifts of a day was expected"
            report.add((*path, *where), f"{len(attending)} numbers stand here; {wanted}", "", [_SHIFTS])
    return fits


def _by_day(people: People) -> list[tuple[Path, list[int]]]:
    return [(("by_day", day), attending) for day, attending in people.by_day.items()]


def _check_anybody(report: Report, path: Path, people: People) -> None:
    """Somebody attends in some shift of the week."""
    calendar = report.works.calendar
    if not any(calendar.attending(people)):
        text = f"nobody of {quoted(path[-1])} ever attends; somebody in some shift of the week was expected"
        report.add((*path, "by_shift"), text, "", [_SHIFTS, _DAYS, (*path, "by_day")])


def _check_breaks(report: Report, path: Path, people: People) -> None:
    """Breaks lie in the shift, one behind the other."""
    shift, ended = report.works.calendar.shift, 0.0
    most = max(report.works.calendar.attending(people))
    for number, rest in enumerate(people.breaks):
        where = (*path, "breaks", number)
        end = rest.after + rest.minutes * (most if rest.relieved else 1)
        if rest.after < ended:
            text = f"the break begins after {rest.after:g} min, and the one before it ends after {ended:g} min"
            report.add((*where, "after"), f"{text}; breaks in their order were expected", "", [path])
        elif end > shift:
            taken = f", one after another for {most} people" if rest.relieved and most > 1 else ""
            text = f"the break ends {end:g} min after the start of the shift{taken}; the shift has {shift:g} min"
            report.add((*where, "minutes"), text, "", [_SHIFT, path])
        ended = end
