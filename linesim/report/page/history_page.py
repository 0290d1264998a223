"""The life history of a feature as a page for the office."""

from __future__ import annotations

from linesim.report.charts.error_history import error_history_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Drawing, Section, Table
from linesim.report.theme.shown import number, within
from linesim.routing import History

__all__ = ["history_page"]


def history_page(answer: History, command: str | None = None) -> str:
    """A history as one self-contained HTML page.

    Parameters
    ----------
    answer : History
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
        Every name and text of the scenario is escaped.
    """
    caption = (
        "Standard deviation of the error after each step, per side; each bar is divided as its variance is, "
        "sources that take variance out left aside."
    )
    page = Page(
        name=f"{answer.line}: {answer.feature}",
        lettering="life history of a feature",
        question="Where does the error come from?",
        sentences=answer.sentences,
        is_settled=True,
        sections=[
            Section("Step by step", [Drawing(error_history_figure(answer), caption, "history")]),
            Section("The account", [_arising(answer)]),
        ],
        block=entries(answer.provenance, command),
        about=answer.works.name,
    )
    return page_html(page)


def _arising(answer: History) -> Table:
    """Every part of the final variance, the largest first."""
    heads = ["arose at", "source", *numbers("variance, µm²", "share, %")]
    rows = [
        [
            row["operation"], row["source"],
            *numbers(
                within(row["variance_um2"], row["variance_um2_half_width"], 3),
                number(100.0 * row["share"], 1),
            ),
        ]
        for row in answer.arising.sort_values("variance_um2", ascending=False, kind="stable").to_dict("records")
    ]  # fmt: skip
    return Table("Where each part of the final variance arose; a minus takes variance out", heads, rows)
