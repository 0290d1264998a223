"""What stands in one cell becomes a value of the scenario that knows its cell, and the other way round."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta
from typing import Any

from linesim.errors import quoted
from linesim.works.book.braces import read_braces, written_out
from linesim.works.book.figures import NO, UNCLEAR, YES, converted_from, with_point
from linesim.works.book.spots import Raw, Spot, is_empty, refuse
from linesim.works.book.spreads import Parts, entries_of, fault_of, joined, parted
from linesim.works.nodes import Node, sign_refused
from linesim.works.scalars import plain_scalar
from linesim.works.shape import Shape

__all__ = ["name_in", "node_in", "shown_cell"]

_TRUTH, _TEXT = "true or false", "a text"
_EXACT = 2**53


def name_in(raw: Raw, spot: Spot) -> str:
    """Return the name in a cell of a column of names; empty if there is none or it cannot be one.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    spot : Spot
        The cell.
    """
    if raw is None or isinstance(raw, str):
        text = (raw or "").strip()
    elif isinstance(raw, bool) or not isinstance(raw, (int, float)):
        refuse(spot, f"{_kind(raw)} was found; a name was expected", "Format the cell as text and type it again.")
        return ""
    else:
        text = f"{raw:.15g}"
    if sign_refused(text) is not None:
        refuse(spot, f"{quoted(text)} holds a control character; plain text was expected")
        return ""
    return text


def node_in(raw: Raw, shape: Shape, spot: Spot, unit: str = "") -> Node | None:
    """Return the value in a cell, or None if it is empty.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    shape : Shape
        What may stand there.
    spot : Spot
        The cell.
    unit : str
        Unit of plain numbers, if the heading names another one than the scenario's own.

    Returns
    -------
    Node or None
        `UNREADABLE` if it cannot be read; why is among the problems.
    """
    if raw is None or is_empty(raw):
        return None
    if isinstance(raw, (date, time, timedelta)):
        hint = "Format the cell as text or as a number and type it again, times as 90 min or 1.5 h."
        return refuse(spot, f"{_kind(raw)} was found; {shape.in_words} was expected", hint)
    if isinstance(raw, bool):
        return spot.node(raw)
    if isinstance(raw, str):
        return _of_text(raw, shape, spot, unit)
    return spot.node(_of_number(raw, shape, unit))


def _of_number(raw: float, shape: Shape, unit: str) -> Any:
    """Return a number as it is meant by its heading."""
    whole = int(raw) if abs(raw) < _EXACT and raw == int(raw) else raw
    if unit and shape.quantity is not None:
        return converted_from(shape.quantity, raw, unit)
    if shape.quantity is None and shape.items is None and _TEXT in shape.expected:
        return f"{raw:.15g}"
    number: Any = bool(raw) if _TRUTH in shape.expected and raw in (0, 1) else whole
    return [number] if shape.items is not None and len(shape.expected) == 1 else number


def _of_text(raw: str, shape: Shape, spot: Spot, unit: str) -> Node:
    """Return what a text in a cell says."""
    at = sign_refused(raw)
    if at is not None:
        return refuse(spot, f"{quoted(raw)} holds a control character; plain text was expected")
    text = raw.strip()
    if text[0] in "{[" and (shape.model is not None or shape.items is not None or not shape.expected):
        return read_braces(text, spot)
    if shape.model is not None and shape.model.in_one_cell and (parts := parted(text)).kind:
        fault = fault_of(parts)
        return refuse(spot, fault) if fault else read_braces(written_out(entries_of(parts, unit)), spot)
    words = (*shape.words, *shape.also)
    word = next((word for word in words if word.casefold() == text.casefold()), None)
    if word is not None:
        return spot.node(word)
    if shape.items is not None and (len(shape.expected) == 1 or ";" in text):
        return _of_list(text, shape, spot, unit)
    if shape.model is not None and shape.quantity is None and not words and len(shape.expected) == 1:
        return _of_mark(text, spot)
    if _TRUTH in shape.expected and text.casefold() in (*YES, *NO):
        return spot.node(text.casefold() in YES)
    is_figure = shape.quantity is not None or not shape.expected
    return _of_figure(text, spot, unit) if is_figure else spot.node(raw)


def _of_figure(text: str, spot: Spot, unit: str) -> Node:
    """Return a figure that was typed as a text, or the text with its unit."""
    pointed = with_point(text)
    if pointed is None:
        return refuse(spot, f"{quoted(text)} {UNCLEAR}", 'Such as 1250, or "1.250" for one and a quarter.')
    plain = plain_scalar(pointed)
    is_figure = isinstance(plain, (int, float)) and not isinstance(plain, bool)
    return spot.node(f"{pointed} {unit}" if is_figure and unit else plain if is_figure else pointed)


def _of_list(text: str, shape: Shape, spot: Spot, unit: str) -> Node:
    """Return the items of a list, which stand one behind another; figures are in the unit of the heading."""
    has_figures = shape.quantity is not None
    parts = text.split(";") if ";" in text or has_figures else text.split(",")
    items = [part.strip() for part in parts if part.strip()]
    return spot.node([_item(item, shape, spot, unit) if has_figures else spot.node(item) for item in items])


def _item(text: str, shape: Shape, spot: Spot, unit: str) -> Node:
    """Return a figure of a list as it is meant by its heading."""
    node = _of_figure(text, spot, "")
    is_plain = isinstance(node.value, (int, float)) and not isinstance(node.value, bool)
    return node.with_value(_of_number(node.value, replace(shape, items=None), unit)) if is_plain and unit else node


def _of_mark(text: str, spot: Spot) -> Node:
    """Return a group of which only is said that it is there."""
    if text.casefold() in YES:
        return spot.node({})
    return refuse(spot, f'{quoted(text)} was found; "yes" or an empty cell was expected')


def _kind(raw: Raw) -> str:
    """Return what a cell holds that is no text and no number."""
    if isinstance(raw, bool):
        return quoted(raw)
    return "a time of day" if isinstance(raw, (time, timedelta)) else "a date"


def shown_cell(value: Any, shape: Shape) -> str | int | float | None:
    """Return how a plain value is written into a cell, so that `node_in` gives it back.

    Parameters
    ----------
    value : Any
        As a file could say it.
    shape : Shape
        What may stand there.

    Returns
    -------
    str, int, float or None
        None if no way to write it is known; see `linesim.works.book.placing`.
    """
    if isinstance(value, bool):
        return YES[0] if value else NO[0]
    if isinstance(value, dict) and not value and shape.model is not None and not shape.model.in_one_cell:
        return YES[0]
    if isinstance(value, dict):
        return _worded(written_out(value), shape)
    if isinstance(value, list):
        return _listed(value) or _figures(value, shape) or written_out(value)
    if isinstance(value, int) and abs(value) >= _EXACT:
        return str(value)
    return value if isinstance(value, (str, int, float)) else None


def _listed(value: Any) -> str:
    """Return short names one behind another; empty if they are not."""
    is_plain = isinstance(value, list) and all(
        isinstance(item, str) and item == item.strip() and item and not set(item) & set(",;[]{}") for item in value
    )
    return ", ".join(value) if is_plain else ""


def _worded(text: str, shape: Shape) -> str:
    """Return a time that spreads in words, if it can be said so."""
    is_time = shape.model is not None and shape.model.in_one_cell
    parts = parted(text) if is_time else Parts(text)
    return text if parts.kind is None or fault_of(parts) else str(joined(parts))


def _figures(value: Any, shape: Shape) -> str:
    """Return figures one behind another; empty if they are not, or if a single one would be read as no list."""
    is_plain = isinstance(value, list) and all(
        (isinstance(item, (int, float)) and not isinstance(item, bool)) or _is_figure_with_unit(item) for item in value
    )
    is_read = shape.quantity is not None and (len(value) > 1 or (bool(value) and len(shape.expected) == 1))
    return "; ".join(item if isinstance(item, str) else repr(item) for item in value) if is_plain and is_read else ""


def _is_figure_with_unit(item: Any) -> bool:
    return isinstance(item, str) and item[:1].isdigit() and not set(item) & set(",;[]{}")
