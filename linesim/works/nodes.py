"""The plain tree of a scenario, in which every value knows the file and the line it came from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from numbers import Integral, Real
from typing import Any
from unicodedata import category

from linesim.errors import Problem, ScenarioError, quoted

__all__ = [
    "DEEPEST", "MOST_NODES", "MOST_PROBLEMS", "UNREADABLE", "Node", "Path", "Sources", "collected", "has_room",
    "hidden_sign", "node_from_plain", "sign_refused",
]  # fmt: skip

Path = tuple[str | int, ...]
"""Names and positions that lead from the top of a scenario to one of its values."""

UNREADABLE: Any = object()
"""Stands where a value was refused, so that reading can go on and everything else is told with it."""

DEEPEST = 40
MOST_NODES = 60_000
MOST_PROBLEMS = 1000
"""Errors that are looked for in one scenario; nobody reads more, and a broken file may have a hundred thousand."""
_SHOWN = ("Zs", "Co", "Cn")
"""Kinds of sign that are not printable by Python's rules and yet take room: blanks, and what a font may know."""
_REFUSED = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Node:
    """One value of a scenario.

    Parameters
    ----------
    value : mapping of str to Node, list of Node, or str, int, float, bool, None
        What the file says.
    file : str
        Name of the file, as the user knows it.
    line : int or None
        Line of the entry's name or of the list's item, from 1; None for what was not read from a text.
    """

    value: Any
    file: str
    line: int | None

    def plain(self) -> Any:
        """Return the value without files and lines."""
        if isinstance(self.value, dict):
            return {name: node.plain() for name, node in self.value.items()}
        if isinstance(self.value, list):
            return [node.plain() for node in self.value]
        return self.value

    def get(self, key: str | int) -> Node | None:
        """Return one entry or item, or None if there is no such thing here."""
        if isinstance(self.value, dict):
            return self.value.get(key) if isinstance(key, str) else None
        inside = isinstance(self.value, list) and isinstance(key, int) and 0 <= key < len(self.value)
        return self.value[key] if inside else None

    def along(self, path: Path) -> Iterator[Node]:
        """Yield this node and those on the way, for as far as the path leads."""
        node: Node | None = self
        yield self
        for key in path:
            node = node.get(key) if node is not None else None
            if node is None:
                return
            yield node

    def with_value(self, value: Any) -> Node:
        """Return the same place with another value."""
        return replace(self, value=value)


class Sources:
    """Where everything in a scenario stands; kept beside the scenario and no part of what it says."""

    def __init__(self, root: Node) -> None:
        self.root = root

    def problem(self, path: Path, dotted: str, text: str, hint: str) -> Problem:
        """Return a problem at the file and line nearest to a path.

        Parameters
        ----------
        path : tuple of str and int
            Place in the scenario.
        dotted : str
            The same place as it is shown.
        text, hint : str
            As in `Problem`.
        """
        *_, node = self.root.along(path)
        return Problem(node.file, node.line, dotted, text, hint)

    def __eq__(self, other: object) -> bool:
        """Say that two scenarios do not differ by where they were written."""
        return isinstance(other, Sources)

    def __hash__(self) -> int:
        """Agree with equality."""
        return 0


@contextmanager
def collected(problems: list[Problem] | None) -> Iterator[list[Problem]]:
    """Collect what is wrong, and raise all of it at the end, or leave it with a caller that goes on collecting.

    Parameters
    ----------
    problems : list of Problem or None
        The caller's own list; with None everything is raised here.

    Yields
    ------
    list of Problem
        Takes what is wrong; an error that ends the work is raised with what was found before it.
    """
    wrong: list[Problem] = [] if problems is None else problems
    try:
        yield wrong
    except ScenarioError as error:
        if problems is not None:
            raise
        raise ScenarioError([*wrong, *error.problems]) from error.__cause__
    if problems is None and wrong:
        raise ScenarioError(wrong)


def has_room(problems: list[Problem]) -> bool:
    """Whether a list takes another error; what a further one would say is not even worked out.

    >>> has_room([])
    True
    """
    return len(problems) < MOST_PROBLEMS


def sign_refused(text: str) -> int | None:
    """Return the position of the first sign that no scenario may hold: controls and halves of sign pairs.

    >>> sign_refused("plain"), sign_refused("bell" + chr(7))
    (None, 4)
    """
    match = _REFUSED.search(text)
    return match.start() if match else None


def hidden_sign(name: str) -> str:
    """Return a sign of a name that shows nothing or turns what stands around it, in words; empty if there is none.

    >>> hidden_sign("Op 40"), hidden_sign("Op 4" + chr(0x200B) + "0")
    ('', 'a sign that cannot be seen (U+200B)')
    """
    for sign in name:
        if not sign.isprintable() and category(sign) not in _SHOWN:
            return f"a sign that cannot be seen (U+{ord(sign):04X})"
    return ""


def node_from_plain(value: Any, file: str, problems: list[Problem] | None = None) -> Node:
    """Make a tree from plain Python values, such as those given to a function.

    Parameters
    ----------
    value : dict, list, tuple, str, number, bool or None
        Nested no deeper than 40.
    file : str
        What to call their source in errors.
    problems : list of Problem, optional
        Takes what is wrong with single values, which are then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node

    Raises
    ------
    ScenarioError
        If a value is of another kind, or there are too many or too deep.
    """
    with collected(problems) as wrong:
        node = _Planter(file, wrong).node(value, ())
        if node.value is UNREADABLE:
            raise ScenarioError([])  # the reason is among the problems
        return node


class _Planter:
    """Turns plain values into nodes and keeps count."""

    def __init__(self, file: str, problems: list[Problem]) -> None:
        self.file = file
        self.problems = problems
        self.count = 0

    def node(self, value: Any, path: Path) -> Node:
        """Return the node of one value."""
        self.count += 1
        if len(path) > DEEPEST or self.count > MOST_NODES:
            limit = f"nested deeper than {DEEPEST}" if len(path) > DEEPEST else f"more than {MOST_NODES} values"
            raise self._error(path[:5], f"{limit}; a scenario was expected")
        if isinstance(value, Mapping):
            return self._leaf(self._entries(value, path))
        if isinstance(value, (list, tuple)):
            return self._leaf([self.node(item, (*path, at)) for at, item in enumerate(value)])
        try:
            return self._leaf(self._scalar(value, path))
        except ScenarioError as error:
            if has_room(self.problems):
                self.problems += error.problems
            return self._leaf(UNREADABLE)

    def _entries(self, value: Mapping[Any, Any], path: Path) -> dict[str, Node]:
        """Return named entries, each name once."""
        entries: dict[str, Node] = {}
        for key, entry in value.items():
            name = self._name(key, path)
            if name in entries:
                raise self._error(path, f"{quoted(name)} is given twice; once was expected")
            entries[name] = self.node(entry, (*path, name))
        return entries

    def _scalar(self, value: Any, path: Path) -> Any:
        """Return a text, a truth, nothing or a number as Python's own kind."""
        if value is None or isinstance(value, bool):
            return value
        if isinstance(value, str):
            return self._text(str(value), path)
        if isinstance(value, Integral):
            return int(value)
        if isinstance(value, Real):
            return float(value)
        raise self._error(path, f"{quoted(value)} cannot be part of a scenario; a number or a text was expected")

    def _text(self, value: str, path: Path) -> str:
        """Return a text that holds no control characters."""
        if sign_refused(value) is not None:
            raise self._error(path, f"{quoted(value)} holds a control character; plain text was expected")
        return value

    def _name(self, key: Any, path: Path) -> str:
        """Return the name of an entry; whole numbers are taken as names."""
        if isinstance(key, bool) or not isinstance(key, (str, int)) or not str(key).strip():
            raise self._error(path, f"{quoted(key)} is not a name; a text was expected as the name of an entry")
        hidden = hidden_sign(str(key))
        if hidden:
            raise self._error(path, f"the name {quoted(key)} holds {hidden}; a name that can be read was expected")
        return self._text(str(key), path)

    def _leaf(self, value: Any) -> Node:
        """Return a node without a line."""
        return Node(value, self.file, None)

    def _error(self, path: Path, text: str) -> ScenarioError:
        """Return an error at a place."""
        dotted = ".".join(str(key) for key in path)
        return ScenarioError([Problem(self.file, None, dotted, text)])
