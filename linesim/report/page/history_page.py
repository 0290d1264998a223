"""The life history of a feature as a page for the office."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.report.charts.error_history import error_history_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Drawing, Section, Table
from linesim.report.theme.shown import number, within
from linesim.routing import History
from linesim.routing.lives import step_words
from linesim.routing.sources import source_words
from linesim.words import begun, keep, say
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
    is_size = answer.of is Component.SIZE
    what = say("history.the_error") if is_size else say(f"characteristics.{answer.of.words}")
    key = "history.caption_side" if is_size else "history.caption"
    caption = say(key, spread=begun(of.spread_words), what=what, shared=of.shared_words)
    page = Page(
        name=say("compare.of_line", line=answer.line, name=answer.feature),
        lettering=say("history.kind"),
        question=say("history.question", what=what),
        sentences=answer.sentences,
        is_settled=True,
        sections=[
            Section(say("history.steps"), [Drawing(error_history_figure(answer), caption, "history")]),
            Section(say("history.account"), [_arising(answer)]),
            *ground_sections(answer.works),
        ],
        block=entries(answer.provenance | {"of": keep(f"characteristics.{answer.of.words}")}, command),
        about=answer.works.name,
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _arising(answer: History) -> Table:
    """Every part of the final variance (of form, of its mean square), the largest first."""
    of = answer.measured
    means = (say("history.mean"),) if answer.of.is_signed else ()
    shared = say("trial.with_unit", what=of.shared_words, unit="µm²")
    first = [say("history.arose_at"), say("history.in"), say("methods.source")]
    heads = [*first, *numbers(*means, shared, say("history.share_head"))]
    rows = [
        [
            step_words(called_at(answer.works, answer.line, row["operation"])), step_words(row["step"]),
            source_words(row["source"]),
            *numbers(
                *(within(row[of.mean], row[f"{of.mean}_half_width"], 2) for _ in means),
                within(row[of.shared], row[f"{of.shared}_half_width"], 3),
                number(100.0 * row["share"], 1),
            ),
        ]
        for row in answer.arising.sort_values(of.shared, ascending=False, kind="stable").to_dict("records")
    ]  # fmt: skip
    key = "history.arose_signed" if answer.of.is_signed else "history.arose"
    return Table(say(key, what=of.shared_words), heads, rows)
