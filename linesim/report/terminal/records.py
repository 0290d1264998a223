"""A shop's records for the terminal: what a guess makes of them, how many rows serve, which are set aside and why."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any

import pandas as pd
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.records.fitted import Fitted
from linesim.records.mapping import FileMapping
from linesim.records.reading import Aside, Records
from linesim.report.theme.grid import Column, grid, number_columns, plain

__all__ = [
    "aside_table",
    "coefficients_table",
    "figure_words",
    "guess_text",
    "json_rows",
    "known_words",
    "records_text",
    "rows_table",
]

_MOST_SHOWN = 40


def rows_table(records: Records) -> pd.DataFrame:
    """How many rows of each file serve."""
    rows = [
        {
            "file": file,
            "record": next((row.kind for row in records.rows if row.file == file), ""),
            "rows": sum(row.file == file for row in records.rows),
            "set_aside": sum(each.file == file and not each.is_used for each in records.asides),
            "remarks": sum(each.file == file and each.is_used for each in records.asides),
        }
        for file in records.files
    ]
    return pd.DataFrame(rows, columns=["file", "record", "rows", "set_aside", "remarks"])


def aside_table(asides: Sequence[Aside]) -> pd.DataFrame:
    """Every row that is set aside or remarked on, and why."""
    rows = [(each.file, each.row, "used" if each.is_used else "set aside", each.reason) for each in asides]
    return pd.DataFrame(rows, columns=["file", "row", "what", "reason"])


def coefficients_table(fitted: Fitted) -> pd.DataFrame:
    """Every figure with its bounds at 95 %; a bound that the data do not set is infinite."""
    names = ["of", "name", "value", "low", "high", "unit", "state", "origin", "note"]
    rows = [
        (each.of, each.name, each.interval.value, each.interval.low, each.interval.high, each.unit, each.state,
         each.origin, each.note)
        for each in fitted.coefficients
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=names)


def json_rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows of a table for JSON, which knows no infinite figures: nothing stands for a bound that is not set."""
    return [
        {str(name): None if isinstance(value, float) and not isfinite(value) else value for name, value in row.items()}
        for row in table.to_dict(orient="records")
    ]


def records_text(records: Records, fitted: Fitted, remarks: Sequence[str] = ()) -> Group:
    """All that was read and fitted, laid out for a terminal of 100 columns.

    Parameters
    ----------
    records : Records
        What was read.
    fitted : Fitted
        What it says.
    remarks : sequence of str
        What stays the handbook's in a scenario, and what lies outside the records.
    """
    parts = [
        *_coefficients(fitted),
        *_listed("In the scenario", remarks),
        _rows(records),
        *_asides((*records.asides, *fitted.asides)),
    ]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _coefficients(fitted: Fitted) -> list[RenderableType]:
    """Figures with their bounds, and what has to be known of them."""
    if not fitted.coefficients and not fitted.sentences:
        return [Text("No figure can be fitted to these rows.")]
    heads = [Column("of", True, 18), Column("figure", True, 34), *number_columns("value", "from", "to")]
    heads += [Column("in", True, 6), Column("state", True, 26)]
    rows = [
        [each.of, each.name, *map(figure_words, (each.interval.value, each.interval.low, each.interval.high)),
         each.unit, each.state]
        for each in fitted.coefficients
    ]  # fmt: skip
    title = "Figures from the records, with 95 % (profile likelihood for lives and times)"
    return [grid(title, heads, rows), *_listed("What has to be known of them", known_words(fitted))]


def known_words(fitted: Fitted) -> list[str]:
    """What has to be known of the figures."""
    notes = [f"{each.of}, {each.name}: {each.note}." for each in fitted.coefficients if each.note]
    return [*fitted.sentences, *notes]


def _listed(title: str, lines: Sequence[str]) -> list[RenderableType]:
    """Sentences under a title; nothing if there are none."""
    text = Text(title, style="bold")
    for line in lines:
        text.append("\n- ", style="not bold").append(plain(line), style="not bold")
    return [text] if lines else []


def figure_words(value: float) -> str:
    """A figure to four digits; a bound that the data do not set says so.

    >>> figure_words(12.3456), figure_words(float("inf"))
    ('12.35', 'open')
    """
    return f"{value:.4g}" if isfinite(value) else "open"


def guess_text(mappings: Sequence[FileMapping], records: Records, path: str) -> Group:
    """What a guess makes of files, and what to do next.

    Parameters
    ----------
    mappings : sequence of FileMapping
        The guess.
    records : Records
        What it reads.
    path : str
        Where it was written.
    """
    head = Text(plain(f"A guess of the mapping was written to {path}. Nothing is fitted yet."), style="bold")
    lines = [line for mapping in mappings for line in _remarks(mapping)]
    for line in (*lines, f"Look it through, mend it, then: linesim records {path}"):
        head.append("\n").append(plain(line), style="not bold")
    parts: list[RenderableType] = [head, *(_columns(mapping, records) for mapping in mappings)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in (*parts, _rows(records), *_asides(records.asides))))


def _remarks(mapping: FileMapping) -> list[str]:
    """What a file is taken for, and what the guess is not sure of."""
    return [f"- {mapping.shown}: {mapping.kind.name}", *(f"    {remark}" for remark in mapping.remarks)]


def _columns(mapping: FileMapping, records: Records) -> RenderableType:
    """Each column beside its heading and what the first row is read as."""
    first = next((row.values for row in records.rows if row.file == mapping.shown), {})
    rows = []
    for column in mapping.kind.columns:
        at = mapping.columns.get(column.name)
        value = _value_words(first.get(column.name))
        unit = (at.unit or column.unit) if at else ""
        rows.append([column.name, at.heading if at else "", unit, f"{value} {column.unit}".strip() if value else ""])
    columns = [Column("column", True, 20), Column("heading", True, 34), Column("in", True, 10)]
    columns.append(Column("first row", True, 24))
    return grid(mapping.shown, columns, rows)


def _rows(records: Records) -> RenderableType:
    """How many rows of each file serve."""
    rows = [
        [row["file"], row["record"], *(str(row[name]) for name in ("rows", "set_aside", "remarks"))]
        for row in rows_table(records).to_dict(orient="records")
    ]
    heads = [Column("file", True, 40), Column("record", True, 20), *number_columns("rows used", "set aside", "remarks")]
    return grid("Rows", heads, rows)


def _asides(asides: Sequence[Aside]) -> list[RenderableType]:
    """Rows set aside, as many as anybody reads here; all are in --csv and --json."""
    if not asides:
        return []
    shown = asides[:_MOST_SHOWN]
    lines = [f"{each.file}, row {each.row}: {each.reason}" for each in shown]
    more = len(asides) - len(shown)
    lines += [f"and {more} more (all of them: --csv DIR)"] if more else []
    text = Text("Set aside or remarked on", style="bold")
    for line in lines:
        text.append("\n").append(plain(line), style="not bold")
    return [text]


def _value_words(value: object) -> str:
    """A value as it was read; nothing where there is none."""
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)
