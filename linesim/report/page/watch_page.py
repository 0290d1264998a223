"""Watching as a page for the office: what has moved, what that changes, and a control chart for each figure."""

from __future__ import annotations

from collections.abc import Mapping

from linesim.report.charts.watch import control_chart
from linesim.report.page.page import Page, entries, page_html
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Section, Table
from linesim.study.watching.watch import Watched, Watching

__all__ = ["watch_page"]

_METHOD = (
    "A record's error is its normal score under the standing figure; an edge changed before its end counts with a "
    "score drawn from those of edges that would have lasted longer, always the same for the same records, so that "
    "false alarms come as seldom as stated. A week's is the sum over the root of the number. Individuals: "
    "Shewhart, limits at 3 standard deviations; weighted mean: Roberts 1959, weight 0.2, limit 2.86. The week "
    "since when is the likeliest one, with those nearly as likely (half of chi-square); the figure since then is "
    "fitted to those records."
)
_CAPTION = (
    "Dots: weeks, dashed limits at 3; line: weighted mean between its dotted limits; crosses: weeks that are out; "
    "upright line: since when it has most likely moved."
)


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
    first, *others = answer.sentences
    sections = [Section("How it stands", [Bullets(others)])] if others else []
    sections += [
        Section(f"{each.expected.of}, {each.expected.what}", [_drawn(each, at), Folded("Week by week", [_weeks(each)])])
        for at, each in enumerate(answer.watched)
    ]
    page = Page(
        name="New records against standing figures", lettering="watch",
        question="Do the figures still hold, and does the advice?", sentences=[first],
        is_settled=bool(answer.watched), sections=[*sections, Section("How this was worked out", [Paragraph(_METHOD)])],
        block=entries(provenance, command),
    )  # fmt: skip
    return page_html(page)


def _drawn(each: Watched, at: int) -> Drawing:
    return Drawing(control_chart(each.chart), _CAPTION, f"watch-{at}")


def _weeks(each: Watched) -> Table:
    rows = [
        [str(week.monday), *numbers(str(week.count), f"{week.error:+.2f}", f"{week.mean:+.2f}", f"{week.limit:.2f}"),
         "out" if week.is_out else ""]
        for week in each.chart.weeks
    ]  # fmt: skip
    heads = ["week of", *numbers("records", "error", "weighted mean", "its limit"), ""]
    return Table("Errors in standard deviations", heads, rows)
