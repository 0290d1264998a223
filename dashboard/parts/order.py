"""A row of names that are put in another order by mouse or keyboard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from streamlit.components.v2 import component
from streamlit.components.v2.get_bidi_component_manager import get_bidi_component_manager
from streamlit.components.v2.manifest_scanner import ComponentConfig, ComponentManifest

from linesim.report.theme.safe import short_labels

__all__ = ["Move", "put_in_order", "shown_names"]

_FILES = "order_files"
_MANIFEST = ComponentManifest("linesim", "1", [ComponentConfig("order", _FILES)])
_NAME = "linesim.order"
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
    """The component; its script is a file of this server, as the headers of its pages let no other script run."""
    return component(_NAME, css="order.css", js="order.js")


def _mounted(**values: Any) -> Any:
    """The component on the page; names reach it as data alone."""
    manager = get_bidi_component_manager()
    if manager.get_component_asset_root(_NAME) is None:
        manager.register_from_manifest(_MANIFEST, Path(__file__).parent)
    return _component()(**values)


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
    data = {"names": shown_names(names), "words": words}
    result = _mounted(data=data, key=key, on_moved_change=lambda: None)
    return _move(result.get("moved"), len(names))


def shown_names(names: Sequence[str]) -> list[str]:
    """Names as they stand side by side, short, and none like another.

    >>> shown_names(["mill"]), len({*shown_names(["a very " * 10 + "end", "a very " * 10 + "one"])})
    (['mill'], 2)
    """
    return short_labels(names, _LONGEST)


def _move(told: object, count: int) -> Move | None:
    """What the browser says, if it can be true."""
    at, to = (told.get("at"), told.get("to")) if isinstance(told, Mapping) else (None, None)
    if type(at) is not int or type(to) is not int or at == to or not (0 <= at < count and 0 <= to < count):
        return None
    return Move(at, to - at)
