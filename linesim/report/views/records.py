"""What a shop's records say, for the page: figures, pictures, rows set aside, what would go into the scenario."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from linesim.records.coefficient import ESTABLISHED, Coefficient
from linesim.records.reading import Aside
from linesim.records.sent import SentTable
from linesim.records.using import Use
from linesim.report.charts.records_all import records_pictures
from linesim.report.terminal.records import aside_table, coefficients_table, figure_words, known_words
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.study.watching.fitting import FittedRecords
from linesim.works import Works

__all__ = [
    "aside_sheet", "figures_sheet", "first_words", "known", "overlay_name", "pictures", "sent_words", "stays",
    "use_sheet",
]  # fmt: skip


def sent_words(tables: Sequence[SentTable]) -> str:
    """What was sent, in a sentence."""
    good = [table for table in tables if table.mapping is not None and not table.reason]
    kinds = dict.fromkeys(table.mapping.kind.name for table in good if table.mapping is not None)
    rows = sum(table.rows for table in good)
    if not good:
        return "None of these files is like a kind of record yet; say below what their headings mean."
    return f"{rows} rows, taken for {', '.join(kinds)}. Look through what each heading is taken for, then read them."


def first_words(answer: FittedRecords) -> str:
    """How much the records say, in a sentence."""
    used, aside = sum(each.used for each in answer.rows), sum(each.set_aside for each in answer.rows)
    figures = answer.fitted.coefficients
    known_figures = sum(each.state == ESTABLISHED for each in figures)
    rest = f"; {aside} {'row is' if aside == 1 else 'rows are'} set aside" if aside else ""
    what = (
        f"{known_figures} of {len(figures)} figures are fitted from them alone"
        if figures
        else "nothing can be fitted yet"
    )
    return f"{used} rows serve{rest}; {what}."


def known(answer: FittedRecords) -> list[str]:
    """What has to be known of the figures."""
    return known_words(answer.fitted)


def figures_sheet(answer: FittedRecords) -> Sheet:
    """Every figure with its bounds, how far it is established, and where it comes from."""
    return _figures(
        "Figures from the records, with 95 %", answer.fitted.coefficients, coefficients_table(answer.fitted)
    )


def _figures(caption: str, figures: Sequence[Coefficient], frame: pd.DataFrame) -> Sheet:
    heads: list[Cell] = ["of", "figure", *numbers("value", "from", "to"), "in", "state", "comes from"]
    rows: list[list[Cell]] = [
        [each.of, each.name, *numbers(*map(figure_words, (each.interval.value, each.interval.low, each.interval.high))),
         each.unit, each.state, each.origin]
        for each in figures
    ]  # fmt: skip
    return Sheet(caption, heads, rows, frame)


def pictures(answer: FittedRecords, light: Light = DAY) -> list[tuple[str, str, Picture]]:
    """All pictures: title, what it shows, and the picture with its figures.

    Parameters
    ----------
    answer : FittedRecords
        What to show.
    light : Light
        Colours of the page.
    """
    frame, drawn = coefficients_table(answer.fitted), []
    for each in records_pictures(answer.fitted, light):
        own = [figure for figure in answer.fitted.coefficients if figure.of == each.of and figure.name in each.names]
        part = frame[(frame["of"] == each.of) & frame["name"].isin(each.names)]
        drawn.append((each.title, each.words, Picture(each.figure, each.words, _figures(each.title, own, part))))
    return drawn


def aside_sheet(asides: Sequence[Aside]) -> Sheet:
    """Every row that is set aside or remarked on, with the reason."""
    rows: list[list[Cell]] = [
        [each.file, str(each.row), "used" if each.is_used else "set aside", each.reason] for each in asides
    ]
    return Sheet("Rows set aside or remarked on", ["file", "row", "", "reason"], rows, aside_table(asides))


def use_sheet(uses: Sequence[Use]) -> Sheet:
    """What would go into the scenario: what stands there now, what comes in its stead, and whence."""
    rows: list[list[Cell]] = [
        [use.of, use.what, *numbers(use.now or "the handbook's"), *numbers(use.then), use.origin] for use in uses
    ]
    frame = pd.DataFrame(
        [(use.of, use.what, use.now, use.then, use.origin) for use in uses],
        columns=["of", "entry", "now", "then", "origin"],
    )
    heads: list[Cell] = ["of", "figure", *numbers("now", "from the records"), "comes from"]
    return Sheet("Figures for the scenario on the desk", heads, rows, frame)


def stays(answer: FittedRecords) -> list[str]:
    """What stays the handbook's, and why."""
    return list(dict.fromkeys(answer.overlay.remarks))


def overlay_name(works: Works) -> str:
    """Name of the scenario that a downloaded file of figures extends."""
    plain = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in works.name)
    return f"{plain[:60].strip('-') or 'line'}.yaml"
