"""New records against standing figures, for the page: what has moved, and a control chart for each figure."""

from __future__ import annotations

from linesim.report.charts.watch import control_chart
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.study.watching.expected import LIFE
from linesim.study.watching.watch import Watched, Watching

__all__ = ["charts", "first_words", "has_moved_lives", "rest_words"]

_WORDS = (
    "Dots: weeks, between limits at 3 standard deviations (dashed); line: their weighted mean, between its own "
    "(dotted); crosses: weeks that are out; upright line: since when the figure has most likely been another."
)


def first_words(answer: Watching) -> str:
    """Whether the figures still hold, in a sentence."""
    return answer.sentences[0]


def rest_words(answer: Watching) -> list[str]:
    """How each figure stands, what that changes, and how often an alarm is false."""
    return list(answer.sentences[1:])


def has_moved_lives(answer: Watching) -> bool:
    """Whether a life has moved of which it has not been asked what that changes."""
    is_asked = any(each.advised is not None for each in answer.watched)
    return not is_asked and any(each.chart.since is not None and each.expected.what == LIFE for each in answer.watched)


def charts(answer: Watching, light: Light = DAY) -> list[tuple[str, Picture]]:
    """A control chart for each figure with its weeks behind it.

    Parameters
    ----------
    answer : Watching
        What is watched.
    light : Light
        Colours of the page.
    """
    drawn = []
    for each in answer.watched:
        shown = Picture(control_chart(each.chart, light), _WORDS, _weeks(answer, each))
        drawn.append((f"{each.expected.of}, {each.expected.what}", shown))
    return drawn


def _weeks(answer: Watching, each: Watched) -> Sheet:
    """Week by week."""
    rows: list[list[Cell]] = [
        [str(week.monday), *numbers(str(week.count), f"{week.error:+.2f}", f"{week.mean:+.2f}", f"{week.limit:.2f}"),
         "out" if week.is_out else ""]
        for week in each.chart.weeks
    ]  # fmt: skip
    heads: list[Cell] = ["week of", *numbers("records", "error", "weighted mean", "its limit"), ""]
    frame = answer.table
    own = frame[(frame["of"] == each.expected.of) & (frame["what"] == each.expected.what)]
    return Sheet("Errors in standard deviations", heads, rows, own)
