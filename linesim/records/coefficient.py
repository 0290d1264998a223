"""A coefficient with its interval, how far it is established, and the rows that it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from linesim.records.profiles import Interval
from linesim.records.reading import Record

__all__ = ["Coefficient", "origin_of", "rows_words"]

ESTABLISHED, PRIOR, UNKNOWN = "fitted", "with the handbook as prior", "not established"


@dataclass(frozen=True)
class Coefficient:
    """One figure from the records.

    Attributes
    ----------
    of : str
        The set, operation or gauge.
    name : str
        What it is.
    interval : Interval
        The figure with its bounds at 95 %.
    unit : str
        Its unit; empty for an exponent or a share.
    state : str
        Fitted, with the handbook as prior, or not established.
    origin : str
        Files, rows and dates.
    note : str
        What else has to be known of it.
    """

    of: str
    name: str
    interval: Interval
    unit: str
    state: str
    origin: str
    note: str = ""


def origin_of(rows: Sequence[Record]) -> str:
    """Where figures come from: files, rows, dates.

    Parameters
    ----------
    rows : sequence of Record
        What they were fitted to.
    """
    files = dict.fromkeys(row.file for row in rows)
    words = [f"{file} {rows_words(row.row for row in rows if row.file == file)}" for file in files]
    dates = sorted(row.when for row in rows if row.when is not None)
    span = f", {dates[0]:%Y-%m-%d} to {dates[-1]:%Y-%m-%d}" if dates else ""
    return "; ".join(words) + span


def rows_words(numbers: Iterable[int]) -> str:
    """Rows in short.

    >>> rows_words([2, 3, 4, 7])
    'rows 2-4, 7'
    """
    ordered = sorted(set(numbers))
    runs = [[row for _, row in run] for _, run in groupby(enumerate(ordered), key=lambda each: each[1] - each[0])]
    shown = [f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    more = [f"and {len(shown) - 12} more spans"] if len(shown) > 12 else []
    return f"rows {', '.join([*shown[:12], *more])}"
