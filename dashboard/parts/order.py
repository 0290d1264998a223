"""A row of names that are put in another order by mouse or keyboard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import streamlit as st

__all__ = ["Move", "put_in_order"]

_FILES = Path(__file__).parent / "order_files"
_LONGEST = 60


class Move(NamedTuple):
    """What is moved.

    Attributes
    ----------
    at : int
        Where it stands, from 0.
    by : int
        So many slots on; a minus goes back.
    """

    at: int
    by: int


@cache
def _component() -> Any:
    """The component; it is written once, and names reach it as data alone."""
    css, js = ((_FILES / name).read_text(encoding="utf-8") for name in ("order.css", "order.js"))
    return st.components.v2.component("linesim order", css=css, js=js)


def put_in_order(names: Sequence[str], words: str, key: str) -> Move | None:
    """Show names in their order, and say which one the user has just moved.

    Parameters
    ----------
    names : sequence of str
        In their order.
    words : str
        What stands in order.
    key : str
        Of the component on the page.

    Returns
    -------
    Move or None
        None if nothing was moved, or what was moved is not there any more.
    """
    shown = [name if len(name) <= _LONGEST else f"{name[: _LONGEST - 1]}…" for name in names]
    data = {"names": shown, "words": words}
    result = _component()(data=data, key=key, on_moved_change=lambda: None)
    return _move(result.get("moved"), len(names))


def _move(told: object, count: int) -> Move | None:
    """What the browser says, if it can be true."""
    at, to = (told.get("at"), told.get("to")) if isinstance(told, Mapping) else (None, None)
    if type(at) is not int or type(to) is not int or at == to or not (0 <= at < count and 0 <= to < count):
        return None
    return Move(at, to - at)
