"""The value of a bottleneck minute as a page for the office."""

from __future__ import annotations

from linesim.report.charts.minute_value import minute_value_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.terminal.worth import METHODS, worth_figures, worth_name
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Section, Table
from linesim.study.questions.worth import Worth
from linesim.words import retell, say
from linesim.works import to_yaml

__all__ = ["worth_page"]


def worth_page(answer: Worth, command: str | None = None) -> str:
    """The value of a bottleneck minute as one self-contained HTML page.

    Parameters
    ----------
    answer : Worth
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    picture = Drawing(minute_value_figure(answer), say("worth.caption"), "worth")
    page = Page(
        name=answer.works.name,
        lettering=say("worth.kind"),
        question=say("worth.question"),
        sentences=[*map(retell, answer.sentences)],
        is_settled=bool(answer.table.iloc[0]["is_told"]),
        sections=[
            Section(say("worth.picture"), [picture]),
            Section(say("worth.table"), [_table(answer)]),
            Section(say("search.method"), [Bullets([*map(say, METHODS)])]),
            *ground_sections(answer.works),
        ],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _table(answer: Worth) -> Table:
    money = answer.works.currency
    figures = (say(f"worth.{head}", currency=money) for head in ("less", "more", "busy", "stopped_head"))
    rows = [
        [retell(worth_name(answer, row)), *numbers(*worth_figures(row))]
        for row in answer.table.to_dict(orient="records")
    ]
    return Table(say("frontier.mean"), [say("search.operation"), *numbers(*figures)], rows)
