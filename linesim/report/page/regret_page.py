"""What is decided under what is not known, as a page for the office."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.report.charts.regret import regret_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.terminal.regret import BASIS, loss_rows, step_rows, worth_rows
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Drawing, Paragraph, Section, Table
from linesim.study.doubt.answer import Regret
from linesim.works import to_yaml

__all__ = ["regret_page"]

_CAPTION = (
    "Above the line the policy is ahead of the best other one; bars are intervals that hold all at once. Left: all "
    "edges last shorter than assumed; right: longer."
)


def regret_page(answer: Regret, command: str | None = None) -> str:
    """The answer as one self-contained HTML page.

    Parameters
    ----------
    answer : Regret
        What to show.
    command : str, optional
        The command that made it, for the record.
    """
    page = Page(
        name=answer.works.name,
        lettering="decided under what is not known",
        question=f'How far does "{answer.chosen}" stay right where lives are other than assumed?',
        sentences=answer.sentences,
        is_settled=all(each.is_right for each in answer.steps if each.factor == 1.0),
        sections=[*_sections(answer), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _sections(answer: Regret) -> Iterator[Section]:
    rows = [[times, *numbers(ahead), rival, verdict] for times, ahead, rival, verdict in step_rows(answer)]
    heads = ["lives times", *numbers("ahead by"), "of the best other one", ""]
    table = Table(f'"{answer.chosen}" where all lives are other than assumed, {answer.unit}', heads, rows)
    yield Section("How far it stays right", [Drawing(regret_figure(answer), _CAPTION, "regret"), table])
    if answer.losses:
        rows = [[policy, *numbers(loses, brings)] for policy, loses, brings in loss_rows(answer)]
        caption = f"Over {answer.draws} draws of all lives, the least loss first; {answer.unit}"
        yield Section("What each loses", [Table(caption, ["policy", *numbers("loses", "brings")], rows)])
    if answer.worths:
        rows = [[life, *numbers(within, worth), mark] for life, within, worth, mark in worth_rows(answer)]
        caption = f"{answer.unit}, at the most; ~ not told from nothing"
        heads = ["life", *numbers("known within a factor of", "worth knowing"), ""]
        yield Section("What to measure first", [Table(caption, heads, rows)])
    yield Section("How this was worked out", [Paragraph(BASIS)])
