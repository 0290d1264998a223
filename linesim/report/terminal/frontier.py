"""A frontier of output against quality loss for the terminal."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.compare import span_lines
from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import within
from linesim.study.questions.frontier import Frontier
from linesim.study.statistics.pareto import BEATEN, ON, OPEN
from linesim.words import say

__all__ = ["METHODS", "Row", "frontier_figures", "frontier_rows", "frontier_text"]

METHODS = ("frontier.method_standing", "frontier.method_knee")
"""How it was worked out, by the keys of its words."""
_MARKS = {ON: "on it", OPEN: "open ~", BEATEN: ""}
Row = dict[Hashable, Any]


def frontier_text(answer: Frontier) -> Group:
    """A frontier laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Frontier
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = [plain(sentence) for sentence in answer.sentences]
    head = Text.assemble(
        (plain(answer.comparison.works.name), "bold"), "\n", (first, "bold"), *(f"\n{line}" for line in rest)
    )
    parts: list[RenderableType] = [head]
    if answer.names:
        parts.append(_table(answer))
    runs = f"Seed {answer.comparison.seed}, replications 0 to {answer.comparison.n_replications - 1}"
    seen = f"{runs}; common random numbers: every policy meets the same castings, edges and breakdowns."
    parts.append(Text("\n".join([seen, *span_lines(answer.comparison), *map(say, METHODS)]), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _table(answer: Frontier) -> RenderableType:
    """Every policy, by rising output."""
    money = answer.comparison.works.currency
    columns = [
        Column("policy", True, 28), Column("good/h"), Column(f"loss {money} /part"), Column(f"contrib. {money} /h"),
        Column("standing", True), Column("dominated by", True, 24),
    ]  # fmt: skip
    rows = [
        [f"{_sign(row)} {row['policy']}", *frontier_figures(row), _MARKS[row["place"]], row["beaten_by"]]
        for row in frontier_rows(answer)
    ]
    comparison = answer.comparison
    level = f"mean ± half width at {100.0 * comparison.confidence:g} %, {comparison.n_replications} replications"
    return grid(f"Policies by rising output ({level}; > not dominated in the mean, K knee)", columns, rows)


def frontier_rows(answer: Frontier) -> list[Row]:
    """Every policy that was run, by rising output."""
    return answer.table.to_dict(orient="records")


def _sign(row: Row) -> str:
    """A sign for the knee and for what is not beaten in the mean."""
    if row["is_knee"]:
        return "K"
    return ">" if row["is_in_line"] else " "


def frontier_figures(row: Row) -> list[str]:
    """Output, loss and contribution with their half widths."""
    measures = ("good_per_hour", "quality_loss_per_good_part", "contribution_per_hour")
    return [within(row[name], row[f"{name}_half_width"]) for name in measures]
