"""The value of a bottleneck minute for the terminal."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import UNKNOWN, number, within
from linesim.study.questions.worth import Worth
from linesim.words import say

__all__ = ["METHODS", "Row", "worth_figures", "worth_name", "worth_text"]

METHODS = ("worth.method",)
"""How it was worked out, by the keys of its words."""
Row = dict[Hashable, Any]


def worth_text(answer: Worth) -> Group:
    """The worth of a minute laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Worth
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = [plain(sentence) for sentence in answer.sentences]
    head = Text.assemble((plain(answer.works.name), "bold"), "\n", (first, "bold"), *(f"\n{line}" for line in rest))
    run = answer.works.run
    basis = (
        f'Policy "{plain(answer.policy)}", seed {answer.seed}, replications 0 to {answer.n_replications - 1}; warm-up '
        f"{run.warm_up:g} min, counted {run.length:g} min."
    )
    parts: list[RenderableType] = [head, _table(answer), Text("\n".join([basis, *map(say, METHODS)]), style="dim")]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _table(answer: Worth) -> RenderableType:
    """Every operation, the one where a minute is worth most first."""
    money = answer.works.currency
    columns = [
        Column("operation", True, 28), Column("machines"), Column(f"a minute less {money} /h"),
        Column(f"a minute more {money} /h"), Column("rank by money"), Column("rank by load"), Column("busy %"),
        Column("stopped min/h"),
    ]  # fmt: skip
    rows = []
    for row in answer.table.to_dict(orient="records"):
        less, more, busy, stopped = worth_figures(row)
        ranks = [str(row["rank_worth"]) if row["is_told"] else UNKNOWN, str(row["rank_utilisation"])]
        rows.append([worth_name(answer, row), str(row["machines"]), less, more, *ranks, busy, stopped])
    level = f"mean ± half width at {100.0 * answer.confidence:g} %, {answer.n_replications} replications"
    return grid(f"Value of one bottleneck minute an hour ({level}; ~ not significant)", columns, rows)


def worth_name(answer: Worth, row: Row) -> str:
    """An operation, with its line where there are several."""
    return answer.named(str(row["line"]), str(row["operation"]))


def worth_figures(row: Row) -> list[str]:
    """Worth, cost, utilisation and stopped minutes."""
    less = within(row["worth"], row["worth_half_width"], is_open=not row["is_told"])
    more = within(-row["cost"], row["cost_half_width"])
    return [less, more, number(100.0 * row["utilisation"], 1), number(row["stopped_min"], 1)]
