"""What went wrong in one run, for the terminal: rejects, gauges, blame, hidden faults, first pieces, tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pandas as pd
from rich.console import RenderableType

from linesim.report.theme.grid import Column, grid, number_columns
from linesim.report.theme.shown import UNKNOWN, number
from linesim.result import Result
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["trouble_tables", "with_headings"]

Row = dict[str, Any]
Cells = Callable[[Row], list[str]]

_OPERATIONS = frozenset({"operation", "of_operation"})
_MOST_BLAMED = 8
"""Rows on who is to blame that are shown of a line; the rest stand together in one."""


def trouble_tables(result: Result) -> Iterator[RenderableType]:
    """Tables on what went wrong, each only where there is anything in it.

    Parameters
    ----------
    result : Result
        What to show.

    Yields
    ------
    rich.table.Table
    """
    for table, title, columns, cells in (
        (result.causes, "Rejects by cause", _CAUSE_COLUMNS, _cause),
        (_read(result.gauges), "Gauges: readings", _gauge_columns(result.gauges), _gauge_cells(result.gauges)),
        (_blamed(result.blame), "Readings that failed, and what they are charged to", _BLAME_COLUMNS, _blame),
        (
            result.faults,
            "Hidden faults: machines that turned bad",
            _fault_columns(result.faults),
            _fault_cells(result.faults),
        ),
        (result.first_pieces, "First pieces after changes", _FIRST_COLUMNS, _first),
        (result.measuring, "In the measuring room", _ROOM_COLUMNS, _room),
        (_failed(result.later), "Tests and failures in the field", _LATER_COLUMNS, _later),
    ):
        if len(table):
            yield grid(title, columns, with_headings(result.works, table, cells))


def with_headings(works: Works, table: pd.DataFrame, cells: Cells) -> Iterator[list[str]]:
    """Rows of a table, line by line, a heading before each where there are several; operations with what they do."""
    lines = list(works.lines)
    for line in lines:
        own = table[table["line"] == line].to_dict(orient="records")
        if own and len(lines) > 1:
            yield [line]
        for row in own:
            named = {str(name): value for name, value in row.items()}
            called = {name: called_at(works, line, str(named[name])) for name in _OPERATIONS & named.keys()}
            yield cells(named | called)


# --- rejects ------------------------------------------------------------------------------------------------------

_CAUSE_COLUMNS = [Column("operation", True, 34), Column("cause", True, 26)]
_CAUSE_COLUMNS += number_columns("scrapped", "recut", "salvaged")


def _cause(row: Row) -> list[str]:
    return [row["operation"], row["cause"], *(str(row[name]) for name in ("scrapped", "recut", "salvaged"))]


# --- gauges -------------------------------------------------------------------------------------------------------

_GAUGE_HEADS = {
    "readings": "read",
    "bad_turned_down": "bad, turned down",
    "bad_passed": "bad, passed",
    "good_turned_down": "good, turned down",
    "corrections": "offsets set",
    "masterings": "masterings",
    "mastering_min": "mastering min",
}
_ALWAYS = 4
"""Columns that stand there whether or not there is anything in them."""


def _read(gauges: pd.DataFrame) -> pd.DataFrame:
    return gauges[gauges["readings"] > 0]


def _gauge_heads(gauges: pd.DataFrame) -> list[str]:
    return [name for at, name in enumerate(_GAUGE_HEADS) if at < _ALWAYS or gauges[name].any()]


def _gauge_columns(gauges: pd.DataFrame) -> list[Column]:
    heads = [_GAUGE_HEADS[name] for name in _gauge_heads(gauges)]
    return [Column("after", True, 34), Column("gauge", True, 20), *number_columns(*heads)]


def _gauge_cells(gauges: pd.DataFrame) -> Cells:
    names = _gauge_heads(gauges)
    return lambda row: [row["operation"], row["gauge"], *(number(float(row[name]), 0) for name in names)]


# --- blame --------------------------------------------------------------------------------------------------------

_BLAME_COLUMNS = [Column("charged to", True, 34), Column("cut", True, 20), Column("cutter set", True, 20)]
_BLAME_COLUMNS += [Column("for", True, 24), *number_columns("readings", "%")]
_BLAME_WORDS = {"cut": "size"}


def _blamed(blame: pd.DataFrame) -> pd.DataFrame:
    """By line, what all its gauges charged to each, the most first, with its share; the smallest together."""
    tables = []
    for line, own in blame.groupby("line", sort=False):
        keys = ["of_operation", "cut", "cutter", "cause"]
        sums = own.groupby(keys, sort=False)["turned_down"].sum().sort_values(ascending=False, kind="stable")
        rows = sums.reset_index()
        rest = rows.iloc[_MOST_BLAMED:]
        rows = rows.iloc[: _MOST_BLAMED + (len(rest) == 1)]
        if len(rest) > 1:
            others = {"of_operation": f"{len(rest)} others", "cut": "", "cutter": "", "cause": ""}
            rows = pd.concat([rows, pd.DataFrame([others | {"turned_down": rest["turned_down"].sum()}])])
        tables.append(rows.assign(line=line, share=rows["turned_down"] / sums.sum()))
    return pd.concat(tables) if tables else blame


def _blame(row: Row) -> list[str]:
    names = [row["of_operation"] or UNKNOWN, row["cut"], row["cutter"], _BLAME_WORDS.get(row["cause"], row["cause"])]
    return [*names, str(row["turned_down"]), number(100.0 * row["share"], 0)]


# --- hidden faults ------------------------------------------------------------------------------------------------

_FAULT_COLUMNS = [Column("operation", True, 34), *number_columns("turned bad", "found", "min until found")]
_FAULT_COLUMNS += [*number_columns("cut bad", "of these shipped", "of these out"), Column("found by", True, 34)]


def _fault_columns(faults: pd.DataFrame) -> list[Column]:
    return [*_FAULT_COLUMNS, *([Column("by machine", True, 34)] if faults["by_machine"].any() else [])]


def _fault_cells(faults: pd.DataFrame) -> Cells:
    is_by_machine = bool(faults["by_machine"].any())
    return lambda row: [*_fault(row), *([row["by_machine"]] if is_by_machine else [])]


def _fault(row: Row) -> list[str]:
    counts = [str(row["turned_bad"]), str(row["detected"]), number(row["mean_min_to_find"], 0)]
    return [row["operation"], *counts, *(str(row[name]) for name in _PARTS), row["found_by"]]


_PARTS = ("made_bad", "shipped_bad", "shipped_bad_out")


# --- first pieces -------------------------------------------------------------------------------------------------

_FIRST_COLUMNS = [Column("operation", True, 34)]
_FIRST_COLUMNS += number_columns(
    "stops", "gauged", "corrected", "corr. %", "scrapped", "salvaged", "stood min", "min each"
)


def _first(row: Row) -> list[str]:
    counts = [str(row[name]) for name in ("stops", "gauged", "corrected")]
    lost = [str(row[name]) for name in ("scrapped", "salvaged")]
    minutes = [number(row["stood_min"], 0), number(row["min_per_piece"], 1)]
    return [row["operation"], *counts, number(100.0 * row["corrected_share"], 0), *lost, *minutes]


# --- measuring room -----------------------------------------------------------------------------------------------

_ROOM_COLUMNS = [Column("operation", True, 34)]
_ROOM_COLUMNS += number_columns("answers", "bad", "min each", "work min", "sorted", "bad", "held", "stood min")


def _room(row: Row) -> list[str]:
    counts = [str(row[name]) for name in ("answered", "bad")]
    minutes = [number(row["min_to_answer"], 1), number(row["work_min"], 0)]
    after = [str(row[name]) for name in ("sorted", "sorted_bad")]
    return [row["operation"], *counts, *minutes, *after, number(row["in_quarantine"], 1), number(row["stood_min"], 0)]


# --- tests --------------------------------------------------------------------------------------------------------

_LATER_COLUMNS = [Column("test", True, 18), Column("charged to", True, 30)]
_LATER_COLUMNS += number_columns("tested", "turned down", "repairs", "scrapped", "field failures")


def _failed(later: pd.DataFrame) -> pd.DataFrame:
    return later[(later["turned_down"] > 0) | (later["failures"] > 0.0)]


def _later(row: Row) -> list[str]:
    if row["where"] == "field":
        return [row["test"], row["what"], *[""] * 4, number(row["failures"], 2)]
    return [
        row["test"],
        row["what"],
        *(str(row[name]) for name in ("tested", "turned_down", "repairs", "scrapped")),
        "",
    ]
