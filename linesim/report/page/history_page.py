"""The life history of a feature as a page for the office."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.report.charts.error_history import error_history_figure, per_side
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Drawing, Section, Table
from linesim.report.theme.shown import number, within
from linesim.routing import History
from linesim.works import to_yaml
from linesim.works.doing import called_at

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
    of = answer.measured
    what = "the error" if answer.of is Component.SIZE else answer.of.words
    caption = (
        f"{of.spread_words.capitalize()} of {what} after each step{per_side(answer)}; each bar is divided as its "
        f"{of.shared_words} is, sources that take some of it out left aside."
    )
    page = Page(
        name=f"{answer.line}: {answer.feature}",
        lettering="life history of a feature",
        question=f"Where does {what} come from?",
        sentences=answer.sentences,
        is_settled=True,
        sections=[
            Section("Step by step", [Drawing(error_history_figure(answer), caption, "history")]),
            Section("The account", [_arising(answer)]),
            *ground_sections(answer.works),
        ],
        block=entries(answer.provenance, command),
        about=answer.works.name,
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _arising(answer: History) -> Table:
    """Every part of the final variance (of form, of its mean square), the largest first."""
    of = answer.measured
    means = ("mean, µm",) if answer.of.is_signed else ()
    heads = ["arose at", "in", "source", *numbers(*means, f"{of.shared_words}, µm²", "share, %")]
    rows = [
        [
            called_at(answer.works, answer.line, row["operation"]), row["step"], row["source"],
            *numbers(
                *(within(row[of.mean], row[f"{of.mean}_half_width"], 2) for _ in means),
                within(row[of.shared], row[f"{of.shared}_half_width"], 3),
                number(100.0 * row["share"], 1),
            ),
        ]
        for row in answer.arising.sort_values(of.shared, ascending=False, kind="stable").to_dict("records")
    ]  # fmt: skip
    minus = "; a minus takes variance out" if answer.of.is_signed else ""
    return Table(f"Where each part of the final {of.shared_words} arose{minus}", heads, rows)
