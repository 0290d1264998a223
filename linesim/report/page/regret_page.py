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
from linesim.words import retell, say
from linesim.works import to_yaml

__all__ = ["regret_page"]


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
        lettering=say("regret.kind"),
        question=say("regret.question", policy=answer.chosen),
        sentences=[*map(retell, answer.sentences)],
        is_settled=all(each.is_right for each in answer.steps if each.factor == 1.0),
        sections=[*_sections(answer), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _sections(answer: Regret) -> Iterator[Section]:
    unit = answer.unit
    rows = [[times, *numbers(ahead), rival, verdict] for times, ahead, rival, verdict in step_rows(answer)]
    heads = [say("regret.lives_times"), *numbers(say("regret.ahead")), say("regret.rival"), ""]
    table = Table(say("regret.steps_table", policy=answer.chosen, unit=unit), heads, rows)
    yield Section(say("regret.steps"), [Drawing(regret_figure(answer), say("regret.caption"), "regret"), table])
    if answer.losses:
        rows = [[policy, *numbers(loses, brings)] for policy, loses, brings in loss_rows(answer)]
        caption = say("regret.losses_table", count=answer.draws, unit=unit)
        heads = [say("origin.policy"), *numbers(say("regret.loses_head"), say("regret.brings"))]
        yield Section(say("regret.losses"), [Table(caption, heads, rows)])
    if answer.worths:
        rows = [[life, *numbers(within, worth), mark] for life, within, worth, mark in worth_rows(answer)]
        heads = [say("regret.life"), *numbers(say("regret.within"), say("regret.worth")), ""]
        yield Section(say("regret.worths"), [Table(say("regret.worths_table", unit=unit), heads, rows)])
    yield Section(say("search.method"), [Paragraph(say(BASIS))])
