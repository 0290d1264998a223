"""The worth of a minute for the terminal, and as a page."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.charts.study_figures import worth_figure
from linesim.report.page.html import block_of, header_of, page_of, picture
from linesim.report.page.sections import cautions_section
from linesim.report.theme.grid import Column, figure, grid, plain
from linesim.report.theme.markup import bullets, numbers, table
from linesim.study.comparing.words import amount
from linesim.study.questions.worth import Worth

__all__ = ["worth_page", "worth_text"]

_METHOD = (
    (
        "Worth: each operation in turn is run with handling so much shorter that all its machines together stand "
        "still a minute an hour less, and with so much longer; the change in the contribution of the whole works is "
        "divided by the minutes really given back. Each run is paired with that of the works as it is, on the same "
        "castings, edges and breakdowns; all intervals of a column hold at once (Bonferroni). Where a minute less and "
        "a minute more differ clearly, the constraint moves within a minute. Busy: share of time neither waiting for a "
        "part nor held up."
    ),
)
Row = dict[Hashable, Any]


def worth_text(found: Worth) -> Group:
    """The worth of a minute laid out for a terminal of 100 columns.

    Parameters
    ----------
    found : Worth
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = [plain(sentence) for sentence in found.sentences]
    head = Text.assemble((plain(found.works.name), "bold"), "\n", (first, "bold"), *(f"\n{line}" for line in rest))
    run = found.works.run
    basis = (
        f'Policy "{plain(found.policy)}", seed {found.seed}, replications 0 to {found.n_replications - 1}; warm-up '
        f"{run.warm_up:g} min, counted {run.length:g} min."
    )
    parts: list[RenderableType] = [head, _table(found), Text("\n".join([basis, *_METHOD]), style="dim")]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def worth_page(found: Worth, command: str | None = None) -> str:
    """The worth of a minute as one self-contained HTML page.

    Parameters
    ----------
    found : Worth
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    made, money = found.provenance, found.works.currency
    question = "What is a minute worth, and at which machine?"
    is_told = bool(found.table.iloc[0]["is_told"])
    header = header_of(found.works.name, "linesim / the worth of a minute", question, found.sentences, is_told)
    heads = [
        "operation",
        *numbers(f"a minute less, {money}/h", f"a minute more, {money}/h", "busy, %", "stopped, min/h"),
    ]
    rows = [[_named(found, row), *numbers(*_figures(row))] for row in found.table.to_dict(orient="records")]
    caption = "Points with intervals that hold all at once; grey where no worth can be shown."
    sections = [
        ("The constraint in money", picture(worth_figure(found), caption, "worth")),
        ("Operation by operation", table("Mean ± half the width of its interval", heads, rows)),
        ("How this was found", bullets(_METHOD)),
        ("Cautions", cautions_section()),
    ]
    cells = [
        ("half", "works", made["works"]), ("half", "policy", made["policy"]), ("", "seed", str(made["seed"])),
        ("", "replications", f"{made['replications']} of each"), ("", "counted", f"{made['counted_min']:g} min"),
        ("", "warm-up", f"{made['warm_up_min']:g} min"), ("", "engine", made["engine"]),
        ("", "linesim", made["linesim"]), ("half", "digest of the scenario", made["digest"]),
        ("all", "command", command or "made from Python"),
    ]  # fmt: skip
    return page_of(found.works.name, header, sections, block_of(cells))


def _table(found: Worth) -> RenderableType:
    """Every operation, the one where a minute is worth most first."""
    money = found.works.currency
    columns = [
        Column("operation", True, 28), Column("machines"), Column(f"a minute less {money} /h"),
        Column(f"a minute more {money} /h"), Column("rank by money"), Column("rank by load"), Column("busy %"),
        Column("stopped min/h"),
    ]  # fmt: skip
    rows = []
    for row in found.table.to_dict(orient="records"):
        less, more, busy, stopped = _figures(row)
        ranks = [str(row["rank_worth"]) if row["is_told"] else "-", str(row["rank_utilisation"])]
        rows.append([_named(found, row), str(row["machines"]), less, more, *ranks, busy, stopped])
    level = f"mean ± half width at {100.0 * found.confidence:g} %, {found.n_replications} replications"
    return grid(f"Worth of one machine minute an hour ({level}; ~ not told apart from 0)", columns, rows)


def _named(found: Worth, row: Row) -> str:
    """An operation, with its line where there are several."""
    return f"{row['line']}: {row['operation']}" if len(found.works.lines) > 1 else str(row["operation"])


def _figures(row: Row) -> list[str]:
    """Worth, cost, utilisation and stopped minutes."""
    less = amount(row["worth"], row["worth_half_width"], 2) + ("" if row["is_told"] else " ~")
    more = amount(-row["cost"], row["cost_half_width"], 2)
    return [less, more, figure(100.0 * row["utilisation"], 1), figure(row["stopped_min"], 1)]
