"""Whether lines that meet can: what is joined to what, what is taken off, and what does not go with it."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.errors import quoted
from linesim.works.joining import Join
from linesim.works.model import Line
from linesim.works.nodes import Path
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["check_joining"]


def check_joining(report: Report) -> None:
    """Look at all lines that are joined to others, and at all whose castings are taken off others.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    joined: dict[str, OperationPlace] = {}
    taken_off: dict[str, OperationPlace] = {}
    for at in operations_of(report.works):
        for name in at.operation.joins:
            if _is_another_line(report, at, (*at.path, "joins", name), name, joined, "joined to"):
                joined[name] = at
        off = at.operation.takes_off
        if off is not None and _is_another_line(report, at, (*at.path, "takes_off"), off, taken_off, "taken off at"):
            taken_off[off] = at
    for at in operations_of(report.works):
        if at.operation.joins:
            _check_place(report, at)
            for name in at.operation.joins.keys() & joined.keys():
                _check_classes(report, at, name, at.operation.joins[name], name in taken_off)
    for name, at in joined.items():
        _check_joined(report, at, name, joined)
    for name, at in taken_off.items():
        _check_taken_off(report, at, name, joined.get(name))
    meeting = {*joined, *taken_off, *(at.line_name for at in (*joined.values(), *taken_off.values()))}
    for name in sorted(meeting):
        _check_line(report, name, report.works.lines[name])


def _is_another_line(
    report: Report, at: OperationPlace, path: Path, name: str, before: dict[str, OperationPlace], how: str
) -> bool:
    """Whether a name is that of another line, which nothing else has taken."""
    if not report.known(path, name, report.works.lines, "a line of this works", ("lines",)):
        return False
    if name == at.line_name:
        report.add(path, "a line does not meet itself; another line was expected")
    elif name in before:
        text = f"parts of {quoted(name)} are {how} {quoted(before[name].name)} already; one operation was expected"
        report.add(path, text, "", [before[name].path])
    else:
        return True
    return False


def _check_place(report: Report, at: OperationPlace) -> None:
    """Parts wait before an operation that joins others to them, and are looked through there."""
    spec, path = at.operation, (*at.path, "joins")
    if next(iter(at.line.operations)) == at.name:
        if at.line.casting.arrivals is None:
            text = "castings are always to be had here, so that none wait for those that are joined to them"
            report.add(path, f"{text}; castings that arrive, or an operation before it, were expected")
    elif spec.buffer == 0:
        report.add(path, "parts wait for their fellows before the operation; a buffer of one place was expected")
    if spec.move is not None and spec.move.carriers is None:
        text = "parts come here in the order in which they set out, so that none can be matched"
        report.add(path, f"{text}; a way with carriers was expected", "", [(*at.path, "move")])
    if spec.batch is not None:
        report.add(path, "a machine that takes several parts at once joins nothing", "", [(*at.path, "batch")])
    if spec.sequence != "oldest first":
        text = "where lines are joined the oldest part that has its fellows is taken; no sequence was expected"
        report.add((*at.path, "sequence"), text, "", [path])
    for name, policy in report.works.policies.items():
        if policy.sequences.get(at.name, "oldest first") != "oldest first":
            text = "lines are joined there, and the oldest part that has its fellows is taken; no sequence was expected"
            report.add(("policies", name, "sequences", at.name), text, "", [path])
    for other, test in _repairs_behind(at):
        text = f"the parts that come back have their fellows; an operation behind {quoted(at.name)} was expected"
        report.add((*at.path[:3], other, "test", "repair", "back_to"), f"{text} ({test})", "", [path])


def _repairs_behind(at: OperationPlace) -> Iterator[tuple[str, str]]:
    """Operations whose repaired parts come back to one at which they were joined, or before it."""
    order = list(at.line.operations)
    here = order.index(at.name)
    for name in order[here:]:
        test = at.line.operations[name].test
        repair = None if test is None else test.repair
        if repair is None:
            continue
        back = name if repair.back_to is None else repair.back_to
        if back in order and order.index(back) <= here:
            yield name, f"it is {quoted(back)}"


def _check_classes(report: Report, at: OperationPlace, name: str, join: Join, is_taken_off: bool) -> None:
    if join.classes is None:
        return
    path, other = (*at.path, "joins", name, "classes"), report.works.lines[name]
    if is_taken_off:
        text = "parts that were taken off others come back to these by number; no classes were expected"
        report.add(path, text)
    own = (at.path[0], at.path[1], "features")
    report.known((*path, "feature"), join.classes.feature, at.line.features, "a feature of this line", own)
    theirs = ("lines", name, "features")
    report.known((*path, "to"), join.classes.to, other.features, f"a feature of the line {quoted(name)}", theirs)


def _check_joined(report: Report, at: OperationPlace, name: str, joined: dict[str, OperationPlace]) -> None:
    """What a finished part is worth is said of the line to which it is joined; lines do not run in a ring."""
    line, rests = report.works.lines[name], [(*at.path, "joins", name)]
    worths = [("worth",)] * (line.worth > 0.0)
    worths += [("parts", each, "worth") for each, kind in line.parts.items() if kind.worth]  # type: ignore[misc]
    for entry in worths:
        text = f"its parts are joined to those of {quoted(at.line_name)}, whose worth is that of both"
        report.add(("lines", name, *entry), f"{text}; it was expected to be left out", "", rests)
    seen, upper = {name}, at.line_name
    while upper in joined and upper not in seen:
        seen.add(upper)
        upper = joined[upper].line_name
    if upper == name:
        text = f"{quoted(at.line_name)} is joined to {quoted(name)} in its turn; lines that do not run in a ring"
        report.add((*at.path, "joins", name), f"{text} were expected")


def _check_taken_off(report: Report, at: OperationPlace, name: str, back: OperationPlace | None) -> None:
    """What is taken off a part comes back to it further down, every time."""
    path, line = (*at.path, "takes_off"), report.works.lines[name]
    order = list(at.line.operations)
    if back is None or back.line_name != at.line_name or order.index(back.name) <= order.index(at.name):
        if not report.is_touched((*at.path[:3],)):
            text = f"what is taken off comes back to its part; an operation further down that joins {name} was expected"
            report.add(path, text)
        return
    for place in (at, back):
        for entry in ("only", "branch"):
            if getattr(place.operation, entry):
                text = f"parts of {quoted(name)} belong to every part here; it was expected to be left out"
                report.add((*place.path, entry), text, "", [path])
    if sum(operation.takes_off is not None for operation in at.line.operations.values()) > 1:
        report.add(path, "one operation of a line takes something off its parts; only one was expected")
    if at.operation.measuring_room is not None:
        report.add(path, "parts may go to the measuring room from here; another operation was expected")
    if any(operation.takes_off is not None for operation in line.operations.values()):
        report.add(path, f"nothing is taken off what was taken off itself; {quoted(name)} takes nothing off")
    odd = {"arrivals": line.casting.arrivals, "limit": line.casting.limit}
    for entry, value in odd.items():
        if value is not None:
            text = f"castings come off the parts of {quoted(at.line_name)}; it was expected to be left out"
            report.add(("lines", name, "casting", entry), text, "", [path])
    if line.parts:
        text = f"castings are those of the parts off which they are taken; no types of {quoted(name)} were expected"
        report.add(("lines", name, "parts"), text, "", [path])


def _check_line(report: Report, name: str, line: Line) -> None:
    """Parts that meet others are not held or swept back, and none stands in the line as the run begins."""
    for operation, spec in line.operations.items():
        if spec.measuring_room is not None:
            text = "parts of lines that meet do not go to a measuring room; it was expected to be left out"
            report.add(("lines", name, "operations", operation, "measuring_room"), text)
    now = report.works.now
    for operation, stands in ({} if now is None else now.lines.get(name, {})).items():
        if stands.waiting > 0:
            text = "whose fellow a part is that waits here is not known; it was expected to be left out"
            report.add(("now", "lines", name, operation, "waiting"), text)
