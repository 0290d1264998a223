"""Watching for the terminal: what has moved, and every week on its chart."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.study.watching.watch import Watched, Watching

__all__ = ["watching_text"]

_MOST_WEEKS = 26


def watching_text(answer: Watching) -> Group:
    """What has moved, and the last half year of weeks, for a terminal of 100 columns.

    Parameters
    ----------
    answer : Watching
        As `linesim.study.watching.watch.watch` gives it.
    """
    first, *others = answer.sentences
    head = Text(plain(first), style="bold")
    for line in others:
        head.append("\n- ", style="not bold").append(plain(line), style="not bold")
    parts: list[RenderableType] = [head, *(_weeks(each) for each in answer.watched)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _weeks(each: Watched) -> RenderableType:
    """The weeks of one quantity."""
    rows = [
        [str(week.monday), str(week.count), f"{week.error:+.2f}", f"{week.mean:+.2f}", f"{week.limit:.2f}",
         "out" if week.is_out else ""]
        for week in each.chart.weeks[-_MOST_WEEKS:]
    ]  # fmt: skip
    heads = [Column("week of", True, 12), *number_columns("records", "error", "weighted mean", "its limit")]
    return grid(f"{each.expected.of}, {each.expected.what}", [*heads, Column("", True, 6)], rows)
