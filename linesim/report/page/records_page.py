"""A shop's records as a page for the office: figures with their intervals, data and fit, rows set aside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from linesim.records.fitted import Fitted
from linesim.records.reading import Records
from linesim.report.charts.records_all import records_pictures
from linesim.report.page.page import Page, entries, page_html
from linesim.report.terminal.records import aside_table, figure_words, known_words, rows_table
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Section, Table
from linesim.words import counted

__all__ = ["records_page"]

_METHOD = (
    "Lives: likelihood of ended, longer and interval lives; profile intervals, with Student's t in place of the normal "
    "for the few; an edge that broke counts as a wear life that would have lasted longer, and the other way round. "
    "Gauge: crossed analysis of variance, modified large-sample interval. Means: Student's t; spreads: chi-square."
)


def records_page(
    records: Records, fitted: Fitted, remarks: Sequence[str], provenance: Mapping[str, object], command: str | None
) -> str:
    """The page as one self-contained HTML file.

    Parameters
    ----------
    records : Records
        What was read.
    fitted : Fitted
        What it says.
    remarks : sequence of str
        What stays the handbook's in a scenario, and what lies outside the records.
    provenance : mapping
        For the title block.
    command : str or None
        The command that made it.
    """
    known = sum(each.state == "fitted" for each in fitted.coefficients)
    first = (
        f"{counted(len(records.rows), 'row serves', 'rows serve')}; {known} of "
        f"{counted(len(fitted.coefficients), 'figure', 'figures')} {'is' if known == 1 else 'are'} fitted from them "
        "alone."
    )
    sections = [Section("Figures", [_figures(fitted), Bullets(known_words(fitted))]), *_pictures(fitted)]
    sections += [Section("In the scenario", [Bullets(remarks)])] if remarks else []
    sections += [
        Section("Rows", [_rows(records), *_asides(records, fitted)]),
        Section("How this was worked out", [Paragraph(_METHOD)]),
    ]
    page = Page(
        name="The shop's own records",
        lettering="records",
        question="What do the records say, and how surely?",
        sentences=[first],
        is_settled=known > 0,
        sections=sections,
        block=entries(provenance, command),
    )
    return page_html(page)


def _figures(fitted: Fitted) -> Table:
    """Every figure with its bounds, state and origin."""
    heads = ["of", "figure", *numbers("value", "from", "to"), "in", "state", "comes from"]
    rows = [
        [each.of, each.name, *numbers(*map(figure_words, (each.interval.value, each.interval.low, each.interval.high))),
         each.unit, each.state, each.origin]
        for each in fitted.coefficients
    ]  # fmt: skip
    return Table("Figures with their intervals at 95 %", heads, rows)


def _pictures(fitted: Fitted) -> list[Section]:
    """Data and fit, picture by picture."""
    return [
        Section(f"{each.title}: data and fit", [Drawing(each.figure, each.words, f"records-{at}")])
        for at, each in enumerate(records_pictures(fitted))
    ]


def _rows(records: Records) -> Table:
    """How many rows serve."""
    rows = [
        [row["file"], row["record"], *numbers(*(str(row[name]) for name in ("rows", "set_aside", "remarks")))]
        for row in rows_table(records).to_dict(orient="records")
    ]
    return Table("Rows that serve", ["file", "record", *numbers("rows used", "set aside", "remarks")], rows)


def _asides(records: Records, fitted: Fitted) -> list[Folded]:
    """Every row set aside."""
    table = aside_table((*records.asides, *fitted.asides))
    rows = [[str(row[name]) for name in ("file", "row", "what", "reason")] for row in table.to_dict(orient="records")]
    shown = Table("Rows set aside or remarked on", ["file", "row", "", "reason"], rows)
    return [Folded("Rows set aside", [shown])] if rows else []
