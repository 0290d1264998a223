"""What figures rest on, in sentences: assumptions, methods, sources."""

from __future__ import annotations

from linesim.desk import TYPICAL, Desk
from linesim.report.page.sections import METHODS, SOURCE_HEADS, SOURCES_CAPTION, source_rows
from linesim.report.theme.picture import Sheet
from linesim.works import Works

__all__ = ["assumptions_of", "method_texts", "source_sheet"]


def assumptions_of(works: Works, desk: Desk) -> list[str]:
    """What is taken for granted in every figure of a scenario."""
    run = works.run
    return [
        f"Each run counts {run.length:g} worked minutes after a warm-up of {run.warm_up:g}, which is left out.",
        "Time is worked time; nothing happens between shifts.",
        "Every policy meets the same castings, edges and breakdowns, so that luck does not favour one.",
        "Quality loss follows from true values of shipped parts, and is part of the cost per good part.",
        "The calibration scatter of the handbook's figures is not in the intervals; these speak of chance alone.",
        *(f"From the handbook: {text}." for text in desk.assumptions),
        *([TYPICAL, *desk.typical] if desk.typical else []),
    ]


def method_texts() -> tuple[str, ...]:
    """Where the methods come from."""
    return METHODS


def source_sheet(desk: Desk) -> Sheet:
    """Sources of the handbook figures that a scenario leans on."""
    return Sheet(SOURCES_CAPTION, SOURCE_HEADS, source_rows(desk), desk.sources)
