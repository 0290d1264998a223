"""Who attends an operation and who is called to it, for its circle on the drawing of the routing."""

from __future__ import annotations

from linesim.report.theme.safe import in_picture
from linesim.works.operations import Operation
from linesim.works.walks import callers_of

__all__ = ["people_words"]

_JOBS = {"load": "loads", "unload": "unloads", "gauge": "gauges", "look": "looks at edges"}


def people_words(operation: Operation) -> str:
    """Lines of what is shown of an operation: who does what in every round, who else is called; empty for nobody."""
    attended = operation.attended
    lines = []
    if attended is not None:
        jobs = [_JOBS[job] for job in attended.jobs]
        lines.append(f"{in_picture(attended.by, 40)} {', '.join(jobs)}; what is left it does unattended")
    others = [in_picture(pool, 40) for pool in callers_of(operation) if attended is None or pool != attended.by]
    if others:
        lines.append(f"calls {', '.join(others)}")
    return "".join(f"<br>{line}" for line in lines)
