"""Watching as a page for the office: what has moved, what that changes, and a control chart for each figure."""

from __future__ import annotations

from collections.abc import Mapping

from linesim.report.charts.watch import control_chart
from linesim.report.page.made import day_words
from linesim.report.page.page import Page, entries, page_html
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Section, Table
from linesim.study.watching.chart import Week
from linesim.study.watching.watch import Watched, Watching
from linesim.words import localised, retell, say

__all__ = ["watch_page"]


def watch_page(answer: Watching, provenance: Mapping[str, object], command: str | None) -> str:
    """The page as one self-contained HTML file.

    Parameters
    ----------
    answer : Watching
        What is watched.
    provenance : mapping
        For the title block.
    command : str or None
        The command that made it.
    """
    first, *others = map(retell, answer.sentences)
    sections = [Section(say("watch.stands"), [Bullets(others)])] if others else []
    sections += [
        Section(retell(each.name), [_drawn(each, at), Folded(say("watch.weeks"), [_weeks(each)])])
        for at, each in enumerate(answer.watched)
    ]
    page = Page(
        name=say("watch.name"), lettering=say("watch.kind"), question=say("watch.question"), sentences=[first],
        is_settled=bool(answer.watched),
        sections=[*sections, Section(say("search.method"), [Paragraph(say("watch.method"))])],
        block=entries(provenance, command),
    )  # fmt: skip
    return page_html(page)


def _drawn(each: Watched, at: int) -> Drawing:
    return Drawing(control_chart(each.chart), say("watch.caption"), f"watch-{at}")


def _weeks(each: Watched) -> Table:
    rows = [
        [day_words(week.monday), *numbers(str(week.count), *map(localised, _figures(week))),
         say("watch.out") if week.is_out else ""]
        for week in each.chart.weeks
    ]  # fmt: skip
    heads = (say(f"watch.{name}") for name in ("records", "error", "weighted", "limit"))
    return Table(say("watch.table"), [say("watch.week_of"), *numbers(*heads), ""], rows)


def _figures(week: Week) -> tuple[str, str, str]:
    return f"{week.error:+.2f}", f"{week.mean:+.2f}", f"{week.limit:.2f}"
