"""Minutes and counts as people type them into a routing sheet."""

from __future__ import annotations

import math
import re

from linesim.errors import quoted
from linesim.quantity import tidy
from linesim.works.book.figures import UNCLEAR, with_point
from linesim.works.book.spots import Raw, Spot, is_empty, refuse
from linesim.works.shop.headings import UNITS

__all__ = ["amount_in", "count_in", "minutes_in"]

_FIGURE = re.compile(r"([+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12}))\s*([^\W\d_]*)\.?")
_PARTS = ("", "parts", "part", "pcs", "pieces", "stk", "st", "stück")
_MOST_MINUTES = 100_000.0
_MOST_PARTS = 1_000_000


def minutes_in(raw: Raw, spot: Spot, of_a_unit: float, least: float) -> float | None:
    """Return the minutes in a cell; None if there are none, or none that can be read.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    spot : Spot
        The cell.
    of_a_unit : float
        Minutes of a plain number, as the heading has it.
    least : float
        What is too little; 0 counts where this is below 0.
    """
    figure, unit = _figure_in(raw, spot, "minutes such as 3.5, or 210 s, were expected")
    if figure is None:
        return None
    if unit and unit not in UNITS:
        refuse(spot, f"{quoted(str(raw))} was found; minutes such as 3.5, or 210 s, were expected")
        return None
    minutes = tidy(figure * (UNITS[unit] if unit else of_a_unit))
    if not least < minutes <= _MOST_MINUTES:
        bound = "more than 0" if least >= 0.0 else "0 or more"
        refuse(spot, f"{minutes:g} min was found; {bound}, and at most {_MOST_MINUTES:g}, was expected")
        return None
    return minutes


def count_in(raw: Raw, spot: Spot) -> int | None:
    """Return the whole number in a cell; None if there is none, or none that can be read."""
    wanted = "a whole number of parts, 1 or more, was expected"
    figure, unit = _figure_in(raw, spot, wanted)
    if figure is None:
        return None
    if unit not in _PARTS or figure != int(figure) or not 1 <= figure <= _MOST_PARTS:
        refuse(spot, f"{quoted(raw)} was found; {wanted}")
        return None
    return int(figure)


def amount_in(raw: Raw, spot: Spot, least: float, most: float, is_whole: bool = False) -> float | None:
    """Return the figure in a cell whose heading says what it is of; None if there is none, or none that can be read.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    spot : Spot
        The cell.
    least, most : float
        Its bounds.
    is_whole : bool
        Whether only whole numbers make sense.
    """
    wanted = f"{'a whole number' if is_whole else 'a figure'} from {least:g} to {most:g} was expected"
    figure, unit = _figure_in(raw, spot, wanted)
    if figure is None:
        return None
    if unit or not least <= figure <= most or (is_whole and figure != int(figure)):
        refuse(spot, f"{quoted(raw)} was found; {wanted}")
        return None
    return figure


def _figure_in(raw: Raw, spot: Spot, wanted: str) -> tuple[float | None, str]:
    """Return the figure in a cell and the unit behind it."""
    if raw is None or is_empty(raw):
        return None, ""
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        if math.isfinite(raw):
            return float(raw), ""
    elif isinstance(raw, str):
        pointed = with_point(raw.strip())
        if pointed is None:
            refuse(spot, f"{quoted(raw)} {UNCLEAR}", 'Such as 1250, or "1.250" for one and a quarter.')
            return None, ""
        match = _FIGURE.fullmatch(pointed)
        if match:
            return float(match[1]), match[2].casefold()
    shown = raw if isinstance(raw, (str, int, float)) else "a date or a time of day"
    refuse(spot, f"{quoted(shown) if shown is raw else shown} was found; {wanted}")
    return None, ""
