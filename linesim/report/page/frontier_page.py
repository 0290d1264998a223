"""A frontier of output against quality loss as a page for the office."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.report.charts.output_loss import output_loss_figure, told_rows
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import finding_words, ground_sections
from linesim.report.terminal.compare import span_lines
from linesim.report.terminal.frontier import METHODS, Row, frontier_figures
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Section, Table
from linesim.study.questions.frontier import Frontier
from linesim.study.statistics.pareto import OPEN
from linesim.words import retell, say
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
        lettering=say("frontier.kind"),
        question=say("frontier.question"),
        sentences=[*map(retell, answer.sentences)],
        is_settled=bool(answer.names),
        sections=[*_sections(answer), *ground_sections(answer.comparison.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.comparison.works),
    )
    return page_html(page)


def _sections(answer: Frontier) -> Iterator[Section]:
    """The numbered sections."""
    if answer.names:
        picture = Drawing(output_loss_figure(answer), say("frontier.caption"), "frontier")
        yield Section(say("frontier.picture"), [picture])
        yield Section(say("frontier.policies"), [_table(answer)])
    notes = answer.comparison.notes.to_dict(orient="records")
    findings = [finding_words(str(row["text"])) for row in notes]
    lines = [*map(say, METHODS), *map(retell, (*span_lines(answer.comparison), *findings))]
    yield Section(say("search.method"), [Bullets(lines)])


def _table(answer: Frontier) -> Table:
    money = answer.comparison.works.currency
    figures = (
        say("measures.good_per_hour"), say("frontier.loss_head", currency=money),
        say("frontier.contribution_head", currency=money),
    )  # fmt: skip
    rows = [[_named(row), *numbers(*frontier_figures(row)), _verdict(row)] for row in told_rows(answer)]
    return Table(say("frontier.mean"), [say("origin.policy"), *numbers(*figures), say("frontier.standing")], rows)


def _verdict(row: Row) -> str:
    """Where a policy stands, in words."""
    if row["beaten_by"]:
        return say("frontier.dominated_by", policy=row["told_beaten_by"])
    return say("frontier.open_place" if row["place"] == OPEN else "frontier.on it")


def _named(row: Row) -> str:
    """A policy with its twins."""
    name = str(row["told_all"])
    return say("frontier.with_knee", policy=name) if row["is_knee"] else name
