"""A frontier of output against quality loss as a page for the office."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.terminal.compare import span_lines
from linesim.report.terminal.frontier import METHODS, Row, frontier_figures, frontier_rows
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Section, Table
from linesim.study.questions.frontier import Frontier
from linesim.works import to_yaml

__all__ = ["frontier_page"]


def frontier_page(answer: Frontier, command: str | None = None) -> str:
    """A frontier as one self-contained HTML page.

    Parameters
    ----------
    answer : Frontier
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    page = Page(
        name=answer.comparison.works.name,
        lettering="output against quality",
        question="How much output does a better part cost, and which policies are not worth having?",
        sentences=answer.sentences,
        is_settled=bool(answer.names),
        sections=[*_sections(answer), *ground_sections(answer.comparison.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.comparison.works),
    )
    return page_html(page)


def _sections(answer: Frontier) -> Iterator[Section]:
    """The numbered sections."""
    if answer.names:
        caption = (
            "Every policy with its intervals. Right and down is better; the dotted line joins what is not dominated "
            "in the mean. Full points are surely on the frontier; of open ones the runs do not settle where they stand."
        )
        yield Section("Output and quality", [Drawing(output_loss_figure(answer), caption, "frontier")])
        yield Section("Policies by rising output", [_table(answer)])
    findings = [row["text"] for row in answer.comparison.notes.to_dict(orient="records")]
    yield Section("How this was worked out", [Bullets([*METHODS, *span_lines(answer.comparison), *findings])])


def _table(answer: Frontier) -> Table:
    money = answer.comparison.works.currency
    heads = [
        "policy", *numbers("good parts per hour", f"quality loss, {money}", f"contribution, {money}/h"), "standing",
    ]  # fmt: skip
    rows = [[_named(row), *numbers(*frontier_figures(row)), _verdict(row)] for row in frontier_rows(answer)]
    return Table("Mean ± half the width of its interval", heads, rows)


def _verdict(row: Row) -> str:
    """Where a policy stands, in words."""
    return f'dominated by "{row["beaten_by"]}"' if row["beaten_by"] else str(row["place"])


def _named(row: Row) -> str:
    """A policy with its twins."""
    twins = f" (the same: {row['twins']})" if row["twins"] else ""
    return f"{row['policy']}{twins}{', knee' if row['is_knee'] else ''}"
