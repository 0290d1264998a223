"""Which column of a sheet holds which entry, by its heading; the unit that a heading names counts for its figures."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from pydantic_core import PydanticCustomError

from linesim.errors import nearest, quoted
from linesim.quantity import Quantity
from linesim.units import MoneyQuantity
from linesim.works.book.figures import shown_unit
from linesim.works.book.layout import Column
from linesim.works.book.spots import Raw, Spot, is_empty, refuse

__all__ = ["EXAMPLE", "Read", "columns_of", "folded", "is_example", "is_note", "parted", "unit_in"]

EXAMPLE = "e.g."
"""What the first cell of a worked row begins with; such a row shows how, and is not read."""

_NOTE = "note"
_PARTED = re.compile(r"(?P<words>[^(\[]*)[(\[](?P<unit>[^)\]]*)[)\]]\s*", re.DOTALL)
_OWN_COLUMN = 'A column of your own is passed over if its heading begins with "note".'
_PER_CENT = "Leave the unit away: a cell that shows 5 % is read as such."


class Read(NamedTuple):
    """A column as it stands in a sheet.

    Attributes
    ----------
    at : int
        Which one, from 0.
    column : Column
        What it holds.
    unit : str
        Unit of plain numbers, if it is another one than the scenario's own.
    """

    at: int
    column: Column
    unit: str


def folded(words: str) -> str:
    """Return words as they are compared: small letters, one blank between.

    >>> folded(" Nose_radius  ")
    'nose radius'
    """
    return " ".join(re.sub(r"[_:\n]", " ", words).casefold().split())


def parted(heading: str) -> tuple[str, str]:
    """Part a heading into its words and its unit.

    >>> parted("depth (mm)"), parted("teeth")
    (('depth', 'mm'), ('teeth', ''))
    """
    match = _PARTED.fullmatch(heading)
    return (folded(match["words"]), match["unit"].strip()) if match else (folded(heading), "")


def is_note(heading: str) -> bool:
    """Whether a column or a sheet is the user's own and not read."""
    return folded(heading).startswith(_NOTE)


def is_example(row: Sequence[Raw]) -> bool:
    """Whether a row is a worked one that shows how."""
    first = next((cell for cell in row if not is_empty(cell)), None)
    return isinstance(first, str) and first.strip().casefold().startswith(EXAMPLE)


def columns_of(headings: Iterable[tuple[str, Spot]], columns: Sequence[Column], currency: str) -> list[Read]:
    """Find the column of each heading; what is wrong with one goes to its spot.

    Parameters
    ----------
    headings : iterable of (str, Spot)
        Those that are not columns of names, with where each stands; empty ones are passed over.
    columns : sequence of Column
        That the sheet may have.
    currency : str
        Of the scenario.

    Returns
    -------
    list of Read
        ``at`` counts the headings given.
    """
    by_words = {folded(column.words): column for column in columns}
    read: dict[str, Read] = {}
    for at, (heading, spot) in enumerate(headings):
        words, unit = parted(heading)
        column = by_words.get(words)
        if not words or is_note(words):
            continue
        if column is None:
            near = nearest(words, by_words)
            hint = f"Did you mean {quoted(near)}?" if near else _OWN_COLUMN
            refuse(spot, f"there is no column {quoted(heading)} on this sheet", hint)
            if near is not None and near not in read:
                read[near] = Read(at, by_words[near], "")  # so that nothing else is said of what was meant
        elif words in read:
            refuse(spot, f"a second column {quoted(heading)}; one was expected")
        else:
            read[words] = Read(at, column, unit_in(unit, column.shape.quantity, currency, spot) or "")
    return list(read.values())


def unit_in(unit: str, quantity: Quantity | None, currency: str, spot: Spot) -> str | None:
    """Return the unit that a heading gives to plain numbers: empty if it is the scenario's own, None if it is wrong.

    Parameters
    ----------
    unit : str
        As the heading has it.
    quantity : Quantity or None
        What is read there.
    currency : str
        Of the scenario.
    spot : Spot
        The heading.
    """
    own = shown_unit(quantity, currency)
    if quantity is None or not unit or unit in (own, quantity.unit) or not own:
        if unit.strip() == "%":
            refuse(spot, 'the unit "%" was found; a share such as 0.05 or "5 %" was expected', _PER_CENT)
            return None
        return ""
    try:
        quantity.converted(f"1 {unit}", {"currency": currency})
    except PydanticCustomError as error:
        context = error.context or {}
        refuse(
            spot, f"the unit of this heading does not fit: {context.get('text', error)}", str(context.get("hint", ""))
        )
        return None
    if isinstance(quantity, MoneyQuantity) and not quantity.unit.endswith("per hour"):
        return ""
    return unit
