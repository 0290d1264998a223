"""One cell becomes one value: figures with decimal comma or point and with units, dates, words."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from linesim.errors import listed, quoted
from linesim.quantity import tidy
from linesim.unit_table import kind_of, root_of

__all__ = [
    "DoubtError",
    "Writing",
    "count_in",
    "factor",
    "is_missing",
    "moment_in",
    "name_in",
    "number_in",
    "parted",
    "word_in",
]

_BLANKS = re.compile("[\\s\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}']+")
_NUMBER = re.compile(r"([+-]?)([0-9][0-9.,]*|[.,][0-9]+)([eE][+-]?[0-9]{1,2})?\s*([^\d\s.,+-].{0,30})?")
_UNIT = re.compile(r"(?:[A-Za-zµμ°%][A-Za-zµμ_]{0,23}(?:\^?[1-9])?)(?:\s?[*/]\s?[A-Za-zµμ][A-Za-zµμ_]{0,23}){0,2}")
_REVOLUTION = re.compile(r"\s*/\s*(?:rev|revolution|r|tooth|z|u|t)$", re.IGNORECASE)
_ALIASES = {
    "'": "ft", '"': "in", "zoll": "in", "stück": "", "µ": "um", "fpm": "ft/min", "mins": "min", "std": "h", "hrs": "h",
    "secs": "s", "ipr": "in", "ipt": "in", "thousandths": "thou",
}  # fmt: skip
"""What shops write for a unit, in small letters, where the table of units would not know it."""
_GROUPED = {".": re.compile(r"\d{1,3}(?:\.\d{3})+"), ",": re.compile(r"\d{1,3}(?:,\d{3})+")}
_MISSING = {"", "-", "--", "n/a", "na", "nan", "none", "null", "?", "x", "#n/a", "k.a."}
_DATE = re.compile(
    r"(?P<a>\d{1,4})(?P<sign>[./-])(?P<b>\d{1,2})(?P=sign)(?P<c>\d{1,4})"
    r"(?:[T\s]+(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,]\d{1,9})?)?\s*(?P<half>[AaPp]\.?[Mm]\.?)?\s*(?:Z|[+-]\d\d:?\d\d)?)?"
)
_ORDERS = {"day first": "cba", "month first": "cab", "year first": "abc"}
_FIRST_YEAR, _LAST_YEAR = 1950, 2100


class DoubtError(ValueError):
    """Why a cell cannot be taken as it stands, in words."""


@dataclass(frozen=True)
class Writing:
    """How a file writes its figures and dates.

    Attributes
    ----------
    decimal : str
        "." or ",".
    dates : str
        "day first", "month first" or "year first".
    """

    decimal: str = "."
    dates: str = "year first"


def is_missing(cell: Any) -> bool:
    """Whether a cell says nothing."""
    if isinstance(cell, float):
        return math.isnan(cell)
    return cell is None or (isinstance(cell, str) and cell.strip().casefold() in _MISSING)


def parted(text: str) -> tuple[str, str] | None:
    """Part a figure from its unit; None if a text is no figure.

    >>> parted("12,5 mm"), parted("0.015 in/rev"), parted("worn")
    (('12,5', 'mm'), ('0.015', 'in/rev'), None)
    """
    match = _NUMBER.fullmatch(text.strip()) or _NUMBER.fullmatch(_BLANKS.sub("", text.strip()))
    if match is None:
        return None
    return match[1] + match[2] + (match[3] or ""), (match[4] or "").strip()


def plain_number(text: str, decimal: str) -> float:
    """Return a figure by the sign of its decimals.

    >>> plain_number("1.234,5", ","), plain_number("1,234.5", ".")
    (1234.5, 1234.5)

    Raises
    ------
    DoubtError
        It can be read in two ways, or in none.
    """
    other = "," if decimal == "." else "."
    whole, _, rest = text.partition(decimal)
    if other in rest or decimal in rest:
        raise DoubtError(f"{quoted(text)} is no figure with a decimal {_sign_words(decimal)}")
    sign, digits = ("-", whole[1:]) if whole.startswith("-") else ("", whole.lstrip("+"))
    if other in digits:
        if not _GROUPED[other].fullmatch(digits):
            raise DoubtError(f"{quoted(text)} is no figure with a decimal {_sign_words(decimal)}")
        digits = digits.replace(other, "")
    value = float(f"{sign}{digits or '0'}.{rest}" if rest else f"{sign}{digits or '0'}")
    if not math.isfinite(value):
        raise DoubtError(f"{quoted(text)} is not a finite figure")
    return value


def _sign_words(decimal: str) -> str:
    return "comma" if decimal == "," else "point"


def factor(unit: str, own: str) -> float:
    """Return what one of a unit is in the unit of the column.

    >>> round(factor("ft/min", "m/min"), 4), factor("thou", "um")
    (0.3048, 25.4)

    Raises
    ------
    DoubtError
        It is no unit, or measures something else.
    """
    bare = _REVOLUTION.sub("", unit.strip())
    bare = _ALIASES.get(bare.casefold(), bare)
    if bare in ("", own):
        return 1.0
    root, of_own = (root_of(bare) if _UNIT.fullmatch(bare) else None), root_of(own or "dimensionless")
    if root is None or of_own is None:
        raise DoubtError(f"{quoted(unit)} is no unit that is known; one such as {own or 'none'} was expected")
    if root[1] != of_own[1]:
        raise DoubtError(
            f"{quoted(unit)} is the unit of {kind_of(bare, root)}; one such as {own or 'none'} was expected"
        )
    return root[0] / of_own[0]


def number_in(cell: Any, own: str, unit: str, writing: Writing, bounds: tuple[float, float]) -> float:
    """Return the figure in a cell.

    Parameters
    ----------
    cell : object
        Not missing.
    own, unit : str
        The column's unit, and the one that its figures have unless a cell says otherwise.
    writing : Writing
        How the file writes.
    bounds : tuple of float
        Least and greatest, in the column's unit.

    Raises
    ------
    DoubtError
        It is none, or is out of bounds.
    """
    value = tidy(_figure(cell, own, unit, writing))
    if not bounds[0] <= value <= bounds[1]:
        raise DoubtError(
            f"{value:g} {own} is out of reason; from {bounds[0]:g} to {bounds[1]:g} was expected".replace("  ", " ")
        )
    return value


def _figure(cell: Any, own: str, unit: str, writing: Writing) -> float:
    """Return the figure in a cell, converted."""
    if isinstance(cell, bool):
        raise DoubtError(f"{quoted(cell)} is no figure")
    if isinstance(cell, timedelta) or (isinstance(cell, time) and root_of(own) == root_of("min")):
        return _minutes(cell) * factor("min", own)
    if isinstance(cell, (int, float)):
        if not math.isfinite(cell) or abs(cell) > 1e15:
            raise DoubtError("this is not a finite figure")
        return float(cell) * factor(unit, own)
    text = str(cell) if isinstance(cell, str) or type(cell).__name__ == "Decimal" else ""
    both = parted(text)
    if both is None:
        raise DoubtError(f"{quoted(cell)} is no figure")
    return plain_number_with_power(both[0], writing.decimal) * factor(both[1] or unit, own)


def plain_number_with_power(text: str, decimal: str) -> float:
    """Return a figure that may be written with a power of ten."""
    head, sign, power = text.replace("E", "e").partition("e")
    value = plain_number(head, decimal)
    return value * 10.0 ** int(power) if sign else value


def _minutes(cell: timedelta | time) -> float:
    """Return the minutes of a length of time as a spreadsheet holds it."""
    if isinstance(cell, timedelta):
        return cell.total_seconds() / 60.0
    return cell.hour * 60.0 + cell.minute + cell.second / 60.0


def count_in(cell: Any, writing: Writing, most: float) -> int:
    """Return the whole number in a cell; a fraction is a `DoubtError`."""
    value = number_in(cell, "", "", writing, (0.0, most))
    if value != round(value):
        raise DoubtError(f"{value:g} is no whole number")
    return int(value)


def moment_in(cell: Any, writing: Writing) -> datetime:
    """Return the date in a cell, at midnight if no time of day stands there.

    >>> moment_in("3.2.26 14:05", Writing(dates="day first"))
    datetime.datetime(2026, 2, 3, 14, 5)

    Raises
    ------
    DoubtError
        It is none.
    """
    if isinstance(cell, datetime):
        moment = cell.replace(tzinfo=None)
    elif isinstance(cell, date):
        moment = datetime.combine(cell, time())
    elif isinstance(cell, str):
        moment = _moment(cell.strip(), writing.dates)
    else:
        raise DoubtError(f"{quoted(cell)} is no date")
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise DoubtError(f"the year {moment.year} is out of reason")
    return moment


def _moment(text: str, dates: str) -> datetime:
    """Return the date that a text says."""
    match = _DATE.fullmatch(text)
    if match is None:
        raise DoubtError(f"{quoted(text)} is no date such as {_example(dates)}")
    order = "abc" if len(match["a"]) == 4 else _ORDERS[dates]
    year, month, day = (int(match[part]) for part in order)
    hour = int(match["hour"] or 0)
    if match["half"]:
        hour = hour % 12 + (12 if match["half"][0] in "Pp" else 0)
    try:
        day_of = date(year + 2000 if year < 100 else year, month, day)
        return datetime.combine(day_of, time(hour, int(match["minute"] or 0), int(match["second"] or 0)))
    except ValueError as error:
        raise DoubtError(f"{quoted(text)} is no date, with the {dates}") from error


def _example(dates: str) -> str:
    return {"day first": "31.12.2026", "month first": "12/31/2026", "year first": "2026-12-31"}[dates]


def word_in(cell: Any, words: tuple[str, ...], meanings: Mapping[str, str]) -> str:
    """Return which of a few words a cell means.

    Raises
    ------
    DoubtError
        None of them.
    """
    text = " ".join(str(cell).split()).casefold()[:100]
    meant = meanings.get(text, text)
    if meant not in words:
        raise DoubtError(
            f"{quoted(str(cell))} is not known; {listed(words)}, or a line for it under words, was expected"
        )
    return meant


def name_in(cell: Any) -> str:
    """Return a name as it is written, whole numbers without a point."""
    if isinstance(cell, float) and cell == int(cell) and abs(cell) < 1e15:
        return str(int(cell))
    return " ".join(str(cell).split())[:100]
