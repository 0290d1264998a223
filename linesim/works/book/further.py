"""The sheet of further entries: what no other sheet holds, by its path, written out in braces where it is a group."""

from __future__ import annotations

import json

from linesim.works.book.braces import read_braces
from linesim.works.book.cells import name_in
from linesim.works.book.spots import Raw, Spot, refuse
from linesim.works.nodes import Node, Path

__all__ = ["FURTHER", "path_in", "shown_path", "value_in"]

FURTHER = "Further"
"""Name of the sheet."""


def shown_path(path: Path) -> str:
    """Return how the sheet names a path.

    >>> shown_path(("cutters", "face mill", "wheel"))
    'cutters > face mill > wheel'
    """
    keys = [str(key) for key in path]
    is_plain = not any(">" in key or key != key.strip() or key.startswith("[") for key in keys)
    return " > ".join(keys) if is_plain else json.dumps(keys, ensure_ascii=False)


def path_in(raw: Raw, spot: Spot) -> Path:
    """Return the path that a cell names; empty if it names none.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    spot : Spot
        The cell.
    """
    text = name_in(raw, spot)
    keys = read_braces(text, spot).plain() if text.startswith("[") else [key.strip() for key in text.split(">")]
    if isinstance(keys, list) and keys and all(isinstance(key, str) and key for key in keys):
        return tuple(keys)
    refuse(spot, 'no path was found; one such as "cutters > face mill > wheel" was expected')
    return ()


def value_in(raw: Raw, spot: Spot) -> Node:
    """Return a value of this sheet, in which texts stand as they would in a file of text.

    Parameters
    ----------
    raw : str, number, bool, date or None
        What stands there.
    spot : Spot
        The cell.
    """
    if isinstance(raw, (int, float)):
        whole = isinstance(raw, float) and raw.is_integer()
        return spot.node(int(raw) if whole else raw)
    if isinstance(raw, str) and raw.strip():
        return read_braces(raw.strip(), spot)
    return refuse(spot, "missing; a value was expected")
