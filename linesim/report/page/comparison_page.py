"""A comparison of policies as a page for the office."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linesim.desk import Desk
from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.charts.shares import constraint_time_figure, cost_figure
from linesim.report.charts.warm_up import warm_up_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import (
    assumption_pieces,
    detail_table,
    difference_pieces,
    ledger_tables,
    policy_pieces,
    source_pieces,
    times_table,
)
from linesim.report.page.trouble_tables import shift_pieces, trouble_pieces
from linesim.report.page.type_sheet import type_sheet
from linesim.report.theme.pieces import Bullets, Drawing, Piece, Section, Table
from linesim.study import Comparison
from linesim.study.advice.remarks import remarks_on
from linesim.study.comparing.spans import series_words
from linesim.study.comparing.words import number_said
from linesim.study.questions.frontier import Frontier
from linesim.words import begun, retell, say
from linesim.works import to_yaml

__all__ = ["comparison_page"]


def comparison_page(answer: Comparison, desk: Desk, command: str | None = None, more: Sequence[str] = ()) -> str:
    """A comparison as one self-contained HTML page.

    Parameters
    ----------
    answer : Comparison
        What to show.
    desk : Desk
        Figures of the same scenario, for what is assumed and where it comes from.
    command : str, optional
        The command that made it, for the record.
    more : sequence of str
        Sentences that stand beneath those of the answer.

    Returns
    -------
    str
        HTML; every name and text of the scenario is escaped.
    """
    best, (first, *others) = answer.best.policy, answer.sentences
    before = () if best is None else remarks_on(answer, best)
    page = Page(
        name=answer.works.name,
        lettering=say("compare.kind"),
        question=_question(answer),
        sentences=(" ".join(map(retell, (*before, first))), *others, *more),
        is_settled=answer.best.is_clear,
        sections=list(_sections(answer, desk)),
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
        about=answer.works.about or "",
    )
    return page_html(page)


def _question(answer: Comparison) -> str:
    if len(answer.names) < 2:
        return say("compare.question_one")
    return say("compare.question", of=number_said(len(answer.names)), what=answer.judged_by.words)


def _sections(answer: Comparison, desk: Desk) -> Iterator[Section]:
    """The numbered sections."""
    points = Drawing(output_loss_figure(Frontier(answer)), say("compare.output_caption"), "policies")
    yield Section(say("compare.output"), [points])
    yield Section(say("compare.policies"), policy_pieces(answer))
    yield Section(say("compare.differences"), difference_pieces(answer))
    if (types := type_sheet(answer)) is not None:
        yield Section(say("compare.types"), [Table(types.caption, types.heads, types.rows)])
    if answer.lengths.pilots:
        yield Section(say("compare.warm_up"), list(_warm_up(answer)))
    ledger = Drawing(cost_figure(answer), say("compare.ledger_caption"), "ledger")
    yield Section(say("compare.ledger"), [ledger, *ledger_tables(answer)])
    yield Section(say("compare.times"), list(_times(answer)))
    yield Section(say("compare.details"), [detail_table(answer)])
    if shifts := shift_pieces(answer.details, answer.names):
        yield Section(say("troubles.title_shift"), shifts)
    troubles = trouble_pieces(answer.details, answer.names)
    if troubles:
        yield Section(say("compare.troubles"), troubles)
    yield Section(say("compare.assumptions"), assumption_pieces(answer, desk))
    yield Section(say("methods.sources"), source_pieces(desk))


def _times(answer: Comparison) -> Iterator[Piece]:
    """Picture and table of each line's constraint."""
    for number, line in enumerate(answer.works.lines):
        caption = say("compare.times_picture", line=line)
        yield Drawing(constraint_time_figure(answer, line), caption, f"times{number}")
        yield times_table(answer, line)


def _warm_up(answer: Comparison) -> Iterator[Piece]:
    """Welch's picture of every series by which the warm-up was chosen."""
    lengths = answer.lengths
    yield Bullets([say("compare.cut", minutes=lengths.warm_up.minutes, why=lengths.warm_up.why)])
    for at, kind in enumerate(dict.fromkeys(lengths.series["series"])):
        yield Drawing(
            warm_up_figure(answer, kind), say("compare.pilot_caption", series=begun(series_words(kind))), f"pilot{at}"
        )
