"""Marks of typical figures that name none."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linesim.errors import hint_at, quoted
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.report import Report
from linesim.works.typical import marks_of, typical
from linesim.works.walks import operations_of

__all__ = ["check_marks", "markable"]


def check_marks(report: Report) -> None:
    """Say of a mark that names no typical figure which there are.

    Parameters
    ----------
    report : Report
        Takes what is wrong.
    """
    for part, path, thing in markable(report.works):
        for at, (mark, figure, _) in enumerate(marks_of(part, thing.assumed)):
            if figure is None:
                names = list(typical()[part])
                expected = f'one of {", ".join(names)} with its value, as in "{names[0]} 2", was expected'
                text = f"{quoted(mark)} marks no typical figure; {expected}"
                report.add((*path, "assumed", at), text, hint_at(mark, names))


def markable(works: Works) -> Iterator[tuple[str, Path, Any]]:
    """Yield the parts of a works that may hold marks: kind, path, and the part."""
    yield "calendar", ("calendar",), works.calendar
    yield from (("line", ("lines", name), line) for name, line in works.lines.items())
    yield from (("operation", at.path, at.operation) for at in operations_of(works))
    yield from (("cutter", ("cutters", name), cutter) for name, cutter in works.cutters.items())
    yield from (("people", ("people", name), pool) for name, pool in works.people.items())
