"""Figures and words as people type them into cells: a decimal comma, another unit in the heading, yes and no."""

from __future__ import annotations

import re
from collections.abc import Mapping

from pydantic_core import PydanticCustomError

from linesim.quantity import Quantity, tidy
from linesim.units import MoneyQuantity

__all__ = ["INCHES", "NO", "UNCLEAR", "YES", "converted_from", "converted_to", "shown_unit", "with_point"]

YES, NO = ("yes", "y", "true", "x", "1"), ("no", "n", "false", "0")
"""What stands for true and for false, in any letters."""

INCHES: Mapping[str, str] = {"mm": "in", "um": "thou", "m/min": "ft/min", "kW": "hp", "um/min": "thou/min"}
"""Units of a workbook in inches, by those that linesim works in; others stay."""

UNCLEAR = "may mean a thousand and more, or a little over; write it without a sign between thousands, or with a point"

_UNCLEAR = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}(?![0-9,.])")
_COMMA = re.compile(r"(?P<sign>[+-]?)(?P<whole>[0-9]{1,3}(?:\.[0-9]{3})+|[0-9]*),(?P<rest>[0-9]+)(?![0-9,.])")
_GROUPS = re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?P<rest>\.[0-9]+)(?![0-9,.])")
_SHOWN = {"um": "µm", "um/min": "µm/min", "N/um": "N/µm", "um/mm": "µm/mm", "deg": "°"}


def with_point(text: str) -> str | None:
    """Return a text whose figure has a decimal point, or None if it may mean two things.

    >>> with_point("3,5 mm"), with_point("1.234,5"), with_point("1,234.5"), with_point("1,250"), with_point("0,125")
    ('3.5 mm', '1234.5', '1234.5', None, '0.125')
    """
    if _UNCLEAR.match(text):
        return None
    grouped = _GROUPS.match(text)
    if grouped:
        return grouped.group().replace(",", "") + text[grouped.end() :]
    match = _COMMA.match(text)
    if not match:
        return text
    return f"{match['sign']}{match['whole'].replace('.', '') or '0'}.{match['rest']}{text[match.end() :]}"


def shown_unit(quantity: Quantity | None, currency: str, is_inch: bool = False) -> str:
    """Return the unit of plain numbers as a heading shows it; empty for none.

    Parameters
    ----------
    quantity : Quantity or None
        What is read.
    currency : str
        Of the scenario.
    is_inch : bool
        In inches and what goes with them.
    """
    if quantity is None:
        return ""
    if isinstance(quantity, MoneyQuantity):
        return f"{currency}/h" if quantity.unit.endswith("per hour") else currency
    unit = INCHES.get(quantity.unit, quantity.unit) if is_inch else quantity.unit
    return _SHOWN.get(unit, unit)


def converted_from(quantity: Quantity, figure: float, unit: str) -> float | str:
    """Return what a figure means that is given in another unit; a text where only the scenario can say it.

    Parameters
    ----------
    quantity : Quantity
        How it is read.
    figure : float
        In the other unit.
    unit : str
        One that fits.
    """
    try:
        return tidy(figure * quantity.factor(f"1 {unit}", unit))
    except PydanticCustomError:  # worked time, by the calendar; money
        return f"{figure:.15g} {unit}"


def converted_to(quantity: Quantity, value: float, unit: str) -> float | None:
    """Return a figure in another unit, or None if it would not come back as the very same.

    Parameters
    ----------
    quantity : Quantity
        How it is read.
    value : float
        In the quantity's own unit.
    unit : str
        The other one.

    >>> from linesim.works.shape import shape_at
    >>> from linesim.works.model import Works
    >>> diameter = shape_at(Works, ("cutters", "mill", "diameter")).quantity
    >>> converted_to(diameter, 254.0, "in")
    10.0
    """
    whole = value / quantity.factor(f"1 {unit}", unit)
    return next((figure for figure in (tidy(whole), whole) if converted_from(quantity, figure, unit) == value), None)
