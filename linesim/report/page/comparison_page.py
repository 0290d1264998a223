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
from linesim.study.comparing.words import number_word
from linesim.study.questions.frontier import Frontier
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
        lettering="tool-change policies compared",
        question=_question(answer),
        sentences=(" ".join((*before, first)), *others, *more),
        is_settled=answer.best.is_clear,
        sections=list(_sections(answer, desk)),
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
        about=answer.works.about or "",
    )
    return page_html(page)


def _question(answer: Comparison) -> str:
    if len(answer.names) < 2:
        return "What does this tool-change policy give?"
    count, asked = number_word(len(answer.names)), answer.judged_by.words
    return f"When should the cutters be changed? Which of {count} policies gives the best {asked}?"


def _sections(answer: Comparison, desk: Desk) -> Iterator[Section]:
    """The numbered sections."""
    caption = (
        "Output against quality loss. Bars are intervals; the dotted line joins the policies that are not dominated, "
        "which no other one beats in both. Right and down is better."
    )
    yield Section("Output and quality", [Drawing(output_loss_figure(Frontier(answer)), caption, "policies")])
    yield Section("Policies", policy_pieces(answer))
    yield Section("Differences", difference_pieces(answer))
    if (types := type_sheet(answer)) is not None:
        yield Section("Part types", [Table(types.caption, types.heads, types.rows)])
    if answer.lengths.pilots:
        yield Section("Warm-up", list(_warm_up(answer)))
    ledger = Drawing(cost_figure(answer), "What one good part costs, item by item.", "ledger")
    yield Section("Ledger per good part", [ledger, *ledger_tables(answer)])
    yield Section("Where the time goes at the constraint", list(_times(answer)))
    yield Section("Stock, waits and capability", [detail_table(answer)])
    if shifts := shift_pieces(answer.details, answer.names):
        yield Section("People by shift", shifts)
    troubles = trouble_pieces(answer.details, answer.names)
    if troubles:
        yield Section("What went wrong", troubles)
    yield Section("Assumptions and findings", assumption_pieces(answer, desk))
    yield Section("Sources", source_pieces(desk))


def _times(answer: Comparison) -> Iterator[Piece]:
    """Picture and table of each line's constraint."""
    for number, line in enumerate(answer.works.lines):
        caption = f"{line}: time of the operation whose machines are left waiting or held up least."
        yield Drawing(constraint_time_figure(answer, line), caption, f"times{number}")
        yield times_table(answer, line)


def _warm_up(answer: Comparison) -> Iterator[Piece]:
    """Welch's picture of every series by which the warm-up was chosen."""
    lengths = answer.lengths
    yield Bullets([f"{lengths.warm_up.minutes:g} minutes, {lengths.warm_up.why}."])
    caption = (
        "Means over pilot runs from the empty shop, smoothed by Welch's moving average; what stands before the upright "
        "line is not counted."
    )
    for at, kind in enumerate(dict.fromkeys(lengths.series["series"])):
        yield Drawing(warm_up_figure(answer, kind), f"{kind.capitalize()}. {caption}", f"pilot{at}")
