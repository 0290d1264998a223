"""A comparison of policies as a page for the office."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.desk import Desk
from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.charts.shares import constraint_time_figure, cost_figure
from linesim.report.charts.warm_up import warm_up_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import (
    assumption_pieces,
    difference_pieces,
    ledger_tables,
    policy_pieces,
    source_pieces,
    times_table,
)
from linesim.report.theme.pieces import Bullets, Drawing, Piece, Section
from linesim.study import Comparison
from linesim.study.comparing.words import number_word
from linesim.study.questions.frontier import Frontier

__all__ = ["comparison_page"]


def comparison_page(found: Comparison, desk: Desk, command: str | None = None) -> str:
    """A comparison as one self-contained HTML page.

    Parameters
    ----------
    found : Comparison
        What to show.
    desk : Desk
        Figures of the same scenario, for what is assumed and where it comes from.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
        HTML; every name and text of the scenario is escaped.
    """
    page = Page(
        name=found.works.name,
        lettering="tool-change policies compared",
        question=_question(found),
        sentences=found.sentences,
        is_settled=found.best.is_clear,
        sections=list(_sections(found, desk)),
        block=entries(found.provenance, command),
        about=found.works.about or "",
    )
    return page_html(page)


def _question(found: Comparison) -> str:
    if len(found.names) < 2:
        return "What does this tool-change policy give?"
    count, asked = number_word(len(found.names)), found.judged_by.words
    return f"When should the cutters be changed? Which of {count} policies gives the best {asked}?"


def _sections(found: Comparison, desk: Desk) -> Iterator[Section]:
    """The numbered sections."""
    caption = (
        "Output against quality loss. Bars are intervals; the dotted line joins the policies that are not dominated, "
        "which no other one beats in both. Right and down is better."
    )
    yield Section("Output and quality", [Drawing(output_loss_figure(Frontier(found)), caption, "policies")])
    yield Section("Policies", policy_pieces(found))
    yield Section("Differences", difference_pieces(found))
    if found.lengths.pilots:
        yield Section("Warm-up", list(_warm_up(found)))
    ledger = Drawing(cost_figure(found), "What one good part costs, item by item.", "ledger")
    yield Section("Ledger per good part", [ledger, *ledger_tables(found)])
    yield Section("Where the time goes at the constraint", list(_times(found)))
    yield Section("Assumptions and findings", assumption_pieces(found, desk))
    yield Section("Sources", source_pieces(desk))


def _times(found: Comparison) -> Iterator[Piece]:
    """Picture and table of each line's constraint."""
    for number, line in enumerate(found.works.lines):
        caption = f"{line}: time of the operation whose machines are left waiting or held up least."
        yield Drawing(constraint_time_figure(found, line), caption, f"times{number}")
        yield times_table(found, line)


def _warm_up(found: Comparison) -> Iterator[Piece]:
    """Welch's picture of every series by which the warm-up was chosen."""
    lengths = found.lengths
    yield Bullets([f"{lengths.warm_up.minutes:g} minutes, {lengths.warm_up.why}."])
    caption = (
        "Means over pilot runs from the empty shop, smoothed by Welch's moving average; what stands before the upright "
        "line is not counted."
    )
    for at, kind in enumerate(dict.fromkeys(lengths.series["series"])):
        yield Drawing(warm_up_figure(found, kind), f"{kind.capitalize()}. {caption}", f"pilot{at}")
