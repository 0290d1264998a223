"""What went wrong under each of several policies or variants: blame, hidden faults, first pieces, tests, the field.

Means of a run with their intervals, from the details that a study brings home.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import pandas as pd

from linesim.report.page.sheet_records import Amount, Block, Measured
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Table
from linesim.report.theme.shown import UNKNOWN, pair
from linesim.words import ENGLISH, keep

__all__ = ["FIGURES", "KINDS", "MOST_BLAMED", "shift_pieces", "trouble_blocks", "trouble_pieces"]

MOST_BLAMED = 8
"""Rows on who is to blame that are shown; the table of details has them all."""

KINDS = ("blame", "fault", "first piece", "test", "field")
"""Kinds of figure, in the order of their tables."""

FIGURES: dict[str, tuple[str, ...]] = {
    "blame": ("turned_down",),
    "fault": ("turned_bad", "detected", "unseen_min", "made_bad", "shipped_bad", "shipped_bad_out"),
    "first piece": ("gauged", "corrected", "scrapped", "salvaged", "stood_min"),
    "test": ("tested", "turned_down", "repairs", "scrapped"),
    "field": ("failures",),
}
"""Figures that are shown; no words where there is but one."""

_SHIFTS: dict[str, tuple[str, ...]] = {"shift": ("attended_min", "worked_min", "beyond_min", "free_min", "waited_min")}

_Key = tuple[str, str, str, str]
"""Line, operation, name and characteristic, as `linesim.result.details.Detail` has them."""


class _Row(NamedTuple):
    """What a row is of, and its mean and half width by policy."""

    words: str
    figures: Mapping[str, tuple[float, float]]


def trouble_pieces(details: pd.DataFrame, names: Sequence[str]) -> list[Table]:
    """Tables for a page, each only where there is anything in it.

    Parameters
    ----------
    details : DataFrame
        Of a comparison; see `linesim.study.comparing.tables.DETAIL_COLUMNS`.
    names : sequence of str
        Policies or variants, one column each.
    """
    return _tables(details, names, FIGURES)


def shift_pieces(details: pd.DataFrame, names: Sequence[str]) -> list[Table]:
    """The table on people of whom not always as many attend, by shift of the day; none where there are no such."""
    return _tables(details, names, _SHIFTS)


def _tables(details: pd.DataFrame, names: Sequence[str], figures: Mapping[str, Sequence[str]]) -> list[Table]:
    tables = []
    for of, rows in _rows(details, names, figures).items():
        body = [[row.words, *numbers(*(_text(row.figures.get(name)) for name in names))] for row in rows]
        tables.append(Table(_caption(of, rows), ["", *numbers(*names)], body))
    return tables


def trouble_blocks(details: pd.DataFrame, names: Sequence[str]) -> list[Block]:
    """The same tables for a workbook, with figures that it can calculate with."""
    blocks = []
    for of, rows in _rows(details, names, FIGURES).items():
        body = tuple(_of_block(row, names) for row in rows)
        blocks.append(Block(_caption(of, rows), ("", *names), body))
    return blocks


def _caption(of: str, rows: Sequence[_Row]) -> str:
    title = keep(f"troubles.title_{of}")
    if of == "blame" and len(rows) == MOST_BLAMED:
        return keep("troubles.caption_most", title=title, most=MOST_BLAMED)
    return keep("troubles.caption", title=title)


def _rows(details: pd.DataFrame, names: Sequence[str], shown: Mapping[str, Sequence[str]]) -> dict[str, list[_Row]]:
    """Rows by kind; only kinds and things of which something came."""
    answer = {}
    is_one_line = details.loc[details["line"] != "", "line"].nunique() == 1
    for of, own in details[details["of"].isin(list(shown))].groupby("of", sort=False):
        kind = str(of)
        things = _things(own, names)
        if kind == "blame":
            things = sorted(things, key=lambda thing: -_weight(thing[1]["turned_down"]))[:MOST_BLAMED]
        rows = [
            _Row(_words(key, figure if len(shown[kind]) > 1 else "", is_one_line), figures[figure])
            for key, figures in things
            for figure in shown[kind]
        ]
        if rows:
            answer[kind] = rows
    return answer


_Figures = dict[str, dict[str, tuple[float, float]]]
"""Mean and half width by figure and policy."""


def _things(own: pd.DataFrame, names: Sequence[str]) -> list[tuple[_Key, _Figures]]:
    """What a kind of figure is of; things of which nothing came are left out."""
    things: dict[_Key, _Figures] = {}
    for row in own[own["policy"].isin(list(names))].to_dict(orient="records"):
        key = (str(row["line"]), str(row["operation"]), str(row["name"]), str(row["characteristic"]))
        figures = things.setdefault(key, {}).setdefault(str(row["figure"]), {})
        figures[str(row["policy"])] = float(row["mean"]), float(row["half_width"])
    is_of_note = {
        key: any(_weight(of) for name, of in figures.items() if name != "tested") for key, figures in things.items()
    }
    return [(key, figures) for key, figures in things.items() if is_of_note[key]]


def _weight(figures: Mapping[str, tuple[float, float]]) -> float:
    return sum(mean for mean, _ in figures.values())


def _words(key: _Key, figure: str, is_one_line: bool) -> str:
    """What a row is of: whatever is known of it, and the figure."""
    line, operation, name, what = key
    words = keep(f"troubles.{figure}") if figure else ""
    known = ["" if is_one_line else line, operation, name, _cause(what), words]
    return keep("format.names", names=[text for text in known if text])


def _cause(what: str) -> str:
    """A cause, or a feature with what of it, which a sheet says in its reader's language; any other name as it is."""
    of, comma, characteristic = what.rpartition(", ")
    if comma and f"characteristics.{characteristic}" in ENGLISH.entries:
        return keep("remarks.whose", feature=of, what=keep(f"characteristics.{characteristic}"))
    return _called(what)


def _called(what: str) -> str:
    """A cause or a characteristic, which a sheet says in its reader's language; any other name as it stands."""
    for key in (f"troubles.{what}", f"characteristics.{what}"):
        if key in ENGLISH.entries:
            return keep(key)
    return what


def _text(figure: tuple[float, float] | None) -> str:
    return UNKNOWN if figure is None else " ".join(pair(*figure, 1)).strip()


def _of_block(row: _Row, names: Sequence[str]) -> tuple[Measured, ...]:
    return row.words, *(_amount(row.figures.get(name)) for name in names)


def _amount(figure: tuple[float, float] | None) -> Amount:
    mean, half_width = figure or (math.nan, math.nan)
    return Amount(mean, 2, half_width)
