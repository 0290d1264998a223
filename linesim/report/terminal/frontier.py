"""A frontier for the terminal, and as a page."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.charts.study_figures import frontier_figure
from linesim.report.page.html import block_of, header_of, page_of, picture
from linesim.report.page.sections import cautions_section
from linesim.report.terminal.compare import span_lines
from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.markup import bullets, numbers, table
from linesim.study.comparing.words import amount
from linesim.study.questions.frontier import Frontier
from linesim.study.statistics.pareto import BEATEN, ON, OPEN

__all__ = ["frontier_page", "frontier_text"]

_METHODS = (
    (
        "Place: all pairwise differences in output and in quality loss, paired by replication; t intervals that "
        "hold all at once by Bonferroni's inequality. Beaten: another one is surely better in both. On it: every "
        "other one is surely worse in one of the two. Open: neither."
    ),
    (
        "Knee: the point farthest from the line through both ends of the frontier, each axis from 0 at one end to 1 at "
        "the other; I. Das, Structural Optimization 18 (1999), 107-115 (from memory). Its share is that of 500 sets "
        "of replications drawn anew from those run."
    ),
)
_MARKS = {ON: "on it", OPEN: "open ~", BEATEN: ""}
Row = dict[Hashable, Any]


def frontier_text(found: Frontier) -> Group:
    """A frontier laid out for a terminal of 100 columns.

    Parameters
    ----------
    found : Frontier
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = [plain(sentence) for sentence in found.sentences]
    head = Text.assemble(
        (plain(found.found.works.name), "bold"), "\n", (first, "bold"), *(f"\n{line}" for line in rest)
    )
    parts: list[RenderableType] = [head]
    if found.names:
        parts.append(_table(found))
    runs = f"Seed {found.found.seed}, replications 0 to {found.found.n_replications - 1}"
    seen = f"{runs}; every policy meets the same castings, edges and breakdowns."
    parts.append(Text("\n".join([seen, *span_lines(found.found), *_METHODS]), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def frontier_page(found: Frontier, command: str | None = None) -> str:
    """A frontier as one self-contained HTML page.

    Parameters
    ----------
    found : Frontier
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    name = found.found.works.name
    question = "How much output does a better part cost, and which policies are not worth having?"
    header = header_of(name, "linesim / output against quality", question, found.sentences, bool(found.names))
    return page_of(name, header, _sections(found), _block(found, command))


def _table(found: Frontier) -> RenderableType:
    """Every policy, by rising output."""
    money = found.found.works.currency
    columns = [
        Column("policy", True, 28), Column("good/h"), Column(f"loss {money} /part"), Column(f"contrib. {money} /h"),
        Column("place", True), Column("beaten by", True, 24),
    ]  # fmt: skip
    rows = [
        [f"{_sign(row)} {row['policy']}", *_figures(row), _MARKS[row["place"]], row["beaten_by"]]
        for row in _rows(found)
    ]
    level = f"mean ± half width at {100.0 * found.found.confidence:g} %, {found.found.n_replications} replications"
    return grid(f"Policies by rising output ({level}; > not beaten in the mean, K knee)", columns, rows)


def _rows(found: Frontier) -> list[Row]:
    return found.table.to_dict(orient="records")


def _sign(row: Row) -> str:
    """A sign for the knee and for what is not beaten in the mean."""
    if row["is_knee"]:
        return "K"
    return ">" if row["is_in_line"] else " "


def _figures(row: Row) -> list[str]:
    """Output, loss and contribution with their half widths."""
    measures = ("good_per_hour", "quality_loss_per_good_part", "contribution_per_hour")
    return [amount(row[name], row[f"{name}_half_width"], 2) for name in measures]


def _sections(found: Frontier) -> Iterator[tuple[str, str]]:
    """Titles and contents of the numbered sections."""
    if found.names:
        caption = (
            "Every policy with its intervals. Right and down is better; the dotted line joins what no other one beats "
            "in the mean. Full points are surely on the frontier; of open ones the runs do not settle the place."
        )
        yield "Output and quality", picture(frontier_figure(found), caption, "frontier")
        money = found.found.works.currency
        heads = [
            "policy",
            *numbers("good parts per hour", f"quality loss, {money}", f"contribution, {money}/h"),
            "place",
        ]
        rows = [
            [
                _said(row),
                *numbers(*_figures(row)),
                f'beaten by "{row["beaten_by"]}"' if row["beaten_by"] else row["place"],
            ]
            for row in _rows(found)
        ]
        yield "Policies by rising output", table("Mean ± half the width of its interval", heads, rows)
    told = [row["text"] for row in found.found.told.to_dict(orient="records")]
    yield "How this was found", bullets([*_METHODS, *span_lines(found.found), *told])
    yield "Cautions", cautions_section()


def _place(row: Row) -> str:
    """Where a policy stands, in words."""
    return f'beaten by "{row["beaten_by"]}"' if row["beaten_by"] else str(row["place"])


def _said(row: Row) -> str:
    """A policy with its twins."""
    twins = f" (the same: {row['twins']})" if row["twins"] else ""
    return f"{row['policy']}{twins}{', knee' if row['is_knee'] else ''}"


def _block(found: Frontier, command: str | None) -> str:
    """What is needed to make the page again."""
    made = found.provenance
    return block_of(
        [
            ("half", "works", made["works"]), ("", "seed", str(made["seed"])),
            ("", "replications", f"{made['replications']} of each policy"),
            ("", "counted", f"{made['counted_min']:g} min"), ("", "warm-up", f"{made['warm_up_min']:g} min"),
            ("", "engine", made["engine"]), ("", "linesim", made["linesim"]),
            ("half", "digest of the scenario with its grid", made["digest"]),
            ("all", "command", command or "made from Python"),
        ]
    )  # fmt: skip
