"""What other systems take over, in short for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, within
from linesim.study.handover.study import Handover

__all__ = ["handover_text"]

_MOST_LINES = 3


def handover_text(answer: Handover) -> Group:
    """The indicators of the lines; all else goes into files.

    Parameters
    ----------
    answer : Handover
        What to show.

    Returns
    -------
    rich.console.Group
    """
    head = Text.assemble((f'{plain(answer.works.name)}, policy "{plain(answer.policy)}"', "bold"))
    for sentence in answer.sentences:
        head.append(f"\n{plain(sentence)}")
    parts: list[RenderableType] = [head, _lines(answer)]
    parts.append(Text("All of it: --csv DIR, or --json; the machines' indicators are in it as well.", style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _lines(answer: Handover) -> RenderableType:
    table = answer.indicators[answer.indicators["level"] == "line"]
    lines = list(dict.fromkeys(table["line"]))[:_MOST_LINES]
    cells = {
        (row["indicator"], row["line"]): within(row["value"], row["half_width"], 3)
        for row in table.to_dict(orient="records")
    }
    units = dict(zip(table["indicator"], table["unit"], strict=True))
    rows = [[name, units[name], *(cells.get((name, line), UNKNOWN) for line in lines)] for name in units]
    columns = [Column("indicator", True, 28), Column("unit", True, 8), *number_columns(*lines)]
    return grid("Indicators of the lines, mean ± half the interval", columns, rows)
