"""A file that says how a line stands becomes its rows: a table typed by hand, or an earlier forecast's end."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from linesim.errors import Problem, ScenarioError, hint_at, listed, quoted
from linesim.records.tables import table_in
from linesim.study.coming.standing import COLUMNS, DOWN, StandingRow, standing_rows, with_figures
from linesim.works import Works
from linesim.works.reading import Allowance, file_content
from linesim.works.yaml_tree import refused_at

__all__ = ["AT_END", "rows_from_cells", "rows_from_content", "rows_from_file"]

AT_END = "state_at_end"
"""Under which a report carries how the line stands at the end of what it foretells."""

_ENDINGS = (".csv", ".txt", ".tsv", ".xlsx", ".xlsm", ".json")
_MOST_BYTES = 20_000_000
_GREATEST = 1e6
_ABOUT = ("line", "operation", "machine", "cutter")


def rows_from_file(path: Path, works: Works) -> list[StandingRow]:
    """The rows of a line with the figures of a file.

    Parameters
    ----------
    path : pathlib.Path
        CSV or a workbook with the columns of `COLUMNS`, or a report of an earlier forecast (JSON).
    works : Works
        Whose line it is.

    Raises
    ------
    ScenarioError
        It cannot be read, or says what cannot be; with every row at fault.
    """
    shown = str(path)
    if path.suffix.lower() not in _ENDINGS:
        raise refused_at(shown, None, "a table (.csv, .xlsx) or an earlier forecast (.json) was expected")
    return rows_from_content(file_content(path, shown, Allowance(size=_MOST_BYTES)), shown, works)


def rows_from_content(content: bytes, shown: str, works: Works) -> list[StandingRow]:
    """The same from what stands in the file; the ending of its name says what it is."""
    if shown.lower().endswith(".json"):
        return rows_from_cells(_of_report(content, shown), shown, works)
    table = table_in(content, shown)
    heads = [" ".join(head.casefold().split()) for head in table.headings]
    for needed in ("what", "figure"):
        if needed not in heads:
            text = f"there is no column {quoted(needed)}; the columns {listed(COLUMNS[:-1])} were expected"
            raise refused_at(shown, 1, text, "write a table to fill in with linesim shift FILE --template state.csv")
    rows = [(number, dict(zip(heads, cells, strict=False))) for number, cells in table.rows]
    return rows_from_cells(rows, shown, works)


def _of_report(content: bytes, shown: str) -> list[tuple[int, dict[str, Any]]]:
    """The rows that a forecast carries."""
    try:
        report = json.loads(content.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise refused_at(shown, None, "this is not JSON; a report of linesim shift --json was expected") from error
    rows = report.get(AT_END) if isinstance(report, dict) else None
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise refused_at(shown, None, f"there is no {AT_END} in it; a report of linesim shift --json was expected")
    return [(number, row) for number, row in enumerate(rows, start=1)]


def rows_from_cells(cells: Sequence[tuple[int, Mapping[str, Any]]], shown: str, works: Works) -> list[StandingRow]:
    """The rows of a line with figures out of cells.

    Parameters
    ----------
    cells : sequence of (int, mapping)
        Number of each row in its table, and what stands in it, by the names of `COLUMNS`.
    shown : str
        What to call the table in errors.
    works : Works
        Whose line it is.

    Raises
    ------
    ScenarioError
        With every row at fault.
    """
    blank = [replace(row, figure=None) for row in standing_rows(works)]
    figures: dict[tuple[str, ...], float | None] = {}
    problems: list[Problem] = []
    for number, row in cells:
        try:
            figure = _figure(row)
            if figure is not None:
                keys = _keys(row, blank)
                _refuse_again(keys, figures)
                figures |= dict.fromkeys(keys, figure)
        except _RowError as error:
            problems.append(Problem(shown, number, "", str(error), error.hint))
    if problems:
        raise ScenarioError(problems)
    return with_figures(blank, figures)


class _RowError(Exception):
    def __init__(self, text: str, hint: str = "") -> None:
        super().__init__(text)
        self.hint = hint


def _refuse_again(keys: Sequence[tuple[str, ...]], figures: Mapping[tuple[str, ...], float | None]) -> None:
    again = next((key for key in keys if key in figures), None)
    if again is not None:
        raise _RowError(f"{quoted(' / '.join(filter(None, again)))} is stated in an earlier row already")


def _text(row: Mapping[str, Any], column: str) -> str:
    value = row.get(column)
    text = "" if value is None or (isinstance(value, float) and math.isnan(value)) else " ".join(str(value).split())
    # A table that linesim wrote sets off what a spreadsheet would take for a formula.
    return text.removeprefix("'")


def _figure(row: Mapping[str, Any]) -> float | None:
    """The figure of a row; None where the cell is empty."""
    text = _text(row, "figure").replace(" ", "")
    if not text or text in ("<NA>", "None"):
        return None
    try:
        figure = float(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)
    except ValueError:
        raise _RowError(f"{quoted(text)} is no figure; a number such as 34 was expected") from None
    if not 0.0 <= figure <= _GREATEST:
        raise _RowError(f"{quoted(text)} cannot be; a figure from 0 to {_GREATEST:,.0f} was expected")
    if _text(row, "what").casefold() != DOWN and figure != int(figure):
        raise _RowError(f"{quoted(text)} parts or sets cannot be; a whole number was expected")
    return figure


def _keys(row: Mapping[str, Any], blank: Sequence[StandingRow]) -> list[tuple[str, ...]]:
    """What a row is the figure of: of one thing, or of all machines of an operation where none is named."""
    fitting = list(blank)
    for at, column in enumerate(("what", *_ABOUT)):
        text = _text(row, column)
        if not text and column != "what":
            continue
        known = list(dict.fromkeys(each.key[at] for each in fitting if each.key[at]))
        chosen = next((name for name in known if name.casefold() == text.casefold()), None)
        if chosen is None:
            here = f"; one of {listed(known)} was expected" if known else ", and none belongs here"
            raise _RowError(f'column "{column}": {quoted(text)} is not known here{here}', hint_at(text, known))
        fitting = [each for each in fitting if each.key[at] == chosen]
    places = {tuple(each.key[at] for at in (1, 2, 4)) for each in fitting}
    if len(places) > 1:
        column = next(name for at, name in enumerate(_ABOUT, start=1) if len({each.key[at] for each in fitting}) > 1)
        raise _RowError(f'it may be any of {len(fitting)}; name the {column} in column "{column}"')
    return [each.key for each in fitting]
