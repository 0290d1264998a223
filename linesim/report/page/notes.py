"""What figures rest on, in sentences: assumptions, methods, sources."""

from __future__ import annotations

from linesim.desk import TYPICAL, Desk
from linesim.report.page.sections import METHODS, SOURCE_HEADS, SOURCES_CAPTION, source_rows
from linesim.report.theme.picture import Sheet
from linesim.words import retell, say
from linesim.works import Works

__all__ = ["assumptions_of", "method_texts", "source_sheet"]


def assumptions_of(works: Works, desk: Desk) -> list[str]:
    """What is taken for granted in every figure of a scenario, in the words of whoever reads."""
    run = works.run
    return [
        say("assumed.run_length", length=run.length, warm_up=run.warm_up),
        say("assumed.worked_time"),
        say("assumed.same_luck"),
        say("assumed.loss"),
        say("assumed.calibration"),
        *(say("assumed.handbook", text=text) for text in desk.assumptions),
        *(map(retell, [TYPICAL, *desk.typical]) if desk.typical else []),
    ]


def method_texts() -> tuple[str, ...]:
    """Where the methods come from."""
    return METHODS


def source_sheet(desk: Desk) -> Sheet:
    """Sources of the handbook figures that a scenario leans on."""
    return Sheet(SOURCES_CAPTION, SOURCE_HEADS, source_rows(desk), desk.sources)
