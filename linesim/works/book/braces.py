"""Groups and lists that are written out within one cell, as a file of text would say them."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from linesim.errors import Problem, ScenarioError
from linesim.works.book.spots import Spot
from linesim.works.nodes import UNREADABLE, Node, has_room
from linesim.works.reading import read_text

__all__ = ["read_braces", "written_out"]


def read_braces(text: str, spot: Spot) -> Node:
    """Return what a cell writes out.

    Parameters
    ----------
    text : str
        Such as ``{uniform: {low: 3 h, high: 1 day}}``, or a plain value.
    spot : Spot
        The cell.

    Returns
    -------
    Node
        `UNREADABLE` if it cannot be read; why is among the problems.
    """
    wrong: list[Problem] = []
    tree: Node | None = None
    try:
        tree = read_text(f"value: {text}", spot.file, wrong).get("value")
    except ScenarioError as error:
        wrong += error.problems
    if tree is None or wrong:
        spot.problems += [replace(problem, line=spot.cell) for problem in wrong if has_room(spot.problems)]
        return spot.node(UNREADABLE)
    return _moved(tree, spot)


def _moved(node: Node, spot: Spot) -> Node:
    """Return a tree of which everything stands in one cell."""
    if isinstance(node.value, dict):
        return spot.node({name: _moved(entry, spot) for name, entry in node.value.items()})
    if isinstance(node.value, list):
        return spot.node([_moved(item, spot) for item in node.value])
    return spot.node(node.value)


def written_out(value: Any) -> str:
    """Return a plain value as `read_braces` reads it.

    >>> written_out({"uniform": {"low": 180.0, "high": 480.0}})
    '{"uniform": {"low": 180.0, "high": 480.0}}'
    """
    return json.dumps(value, ensure_ascii=False).replace("_x", "\\u005fx")  # what spreadsheets take for a sign's code
