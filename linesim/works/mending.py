"""What is left of a scenario when the entries with errors are taken out, so that everything else can be checked too.

An entry that may be left out goes alone. Where something is then missing that has to be there, the smallest thing
around it goes that may be left out: an entry with a name of the user's, such as a cut or a cutter, or an optional
group. A cut keeps its place with next to no depth, as so much else rests on it. A misspelt entry is read as the one
that it was most likely meant to be.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from linesim.errors import Problem
from linesim.quantity import REFUSALS
from linesim.works.model import Calendar, Works
from linesim.works.nodes import MOST_PROBLEMS, UNREADABLE, Node, Path, Sources, has_room
from linesim.works.rejecting import with_losses_as_rejected
from linesim.works.shape import shape_at
from linesim.works.wording import Fault, faults_of, meant_entry

__all__ = ["Mended", "mended"]

_MOST_TRIES = 10
_MOST_CHECKED = 120_000
"""Values that are checked in all tries together; a large file with errors is not tried as often."""
_STAND_INS: dict[str, Any] = {
    "name": "?",
    "lines": {"?": {"operations": {"?": {"minutes": 1}}}},
    "policies": {"?": {"default": "run out"}},
}
_NEXT_TO_NO_DEPTH_MM = 1e-9
_OF_THE_WHOLE = {"value_error", "too_short"}


@dataclass(frozen=True)
class Mended:
    """What the models took of a scenario.

    Parameters
    ----------
    works : Works or None
        What is left without the entries with errors; None if that could not be found.
    gone : frozenset of tuple
        The places of what was taken out.
    problems : tuple of Problem
        What the models found.
    """

    works: Works | None
    gone: frozenset[Path]
    problems: tuple[Problem, ...]


def mended(tree: Node) -> Mended:
    """Check a tree against the models, and go on without what they refuse.

    Parameters
    ----------
    tree : Node
        A group of entries from the top; what could not be read in it has been told.

    Returns
    -------
    Mended
    """
    return _Mender(tree).mended()


class _Mender:
    """Takes out of a tree what the models refuse, until they take the rest."""

    def __init__(self, tree: Node) -> None:
        self.tree = tree
        self.context = _context(tree)
        self.gone = {_to_go(path) for path in _unreadable(tree, ())}
        self.meant: dict[Path, str] = {}
        self.given: set[Path] = set()
        self.problems: list[Problem] = []

    def mended(self) -> Mended:
        """Return what is left, and everything that was found on the way."""
        works, tries, most_tries = None, 0, max(2, min(_MOST_TRIES, _MOST_CHECKED // _size(self.tree)))
        while works is None and tries < most_tries and has_room(self.problems):
            tries += 1
            rest = self._without(self.tree, ()) if self.gone or self.meant else self.tree
            try:
                works = Works.model_validate(rest.plain(), context={**self.context, REFUSALS: [MOST_PROBLEMS]})
            except ValidationError as error:
                self._take_out(faults_of(error, rest), rest)
            else:
                works = with_losses_as_rejected(works)
                works._sources = Sources(rest)  # noqa: SLF001 - the one place where a works learns where it was written
        return Mended(works, frozenset(self.gone), tuple(dict.fromkeys(self.problems)))

    def _take_out(self, faults: list[Fault], rest: Node) -> None:
        """Tell what is wrong, but not what only comes of an entry that is gone, and take out the entries."""
        for fault in faults:
            if fault.kind == "extra_forbidden":
                self._rename(fault.path, rest)
        hollow = {path[:end] for path in self.gone for end in range(len(path))}
        for fault in faults:
            if fault.kind == "missing" and fault.path in self.given:
                continue
            # A group may only be wrong as a whole for what was taken out of it.
            if not (fault.kind in _OF_THE_WHOLE and fault.path in hollow):
                self.problems.append(fault.problem)
            if fault.path not in self.meant:
                self.gone.add(_to_go(fault.path, fault.kind == "missing"))

    def _rename(self, path: Path, rest: Node) -> None:
        """Note what a misspelt entry was most likely meant to be, unless that is there already."""
        *_, around, entry = rest.along(path)
        name = meant_entry(path, entry.plain())
        if name is None or name in around.value:
            return
        place = (*path[:-1], name)
        if place not in self.given and place not in self.gone:
            self.meant[path] = name
            self.given.add(place)

    def _without(self, node: Node, path: Path) -> Node:
        """Return the tree without what is gone, and with misspelt entries under the names that were meant."""
        if not isinstance(node.value, dict):
            return node
        entries: dict[str, Node] = {}
        for name, entry in node.value.items():
            shown = self.meant.get((*path, name)) or name
            if (*path, shown) not in self.gone:
                entries[shown] = self._without(entry, (*path, shown))
        if (*path, "depth") in self.gone and _is_depth_of_cut((*path, "depth")):
            entries["depth"] = _node(_NEXT_TO_NO_DEPTH_MM, node)
        if not path:
            entries |= {name: _stand_in(name, node) for name in _STAND_INS if (name,) in self.gone}
        return node.with_value(entries)


def _unreadable(node: Node, path: Path) -> Iterator[Path]:
    """Yield the places of values that were refused when they were read."""
    if node.value is UNREADABLE:
        yield path
    elif isinstance(node.value, (dict, list)):
        for key, entry in node.value.items() if isinstance(node.value, dict) else enumerate(node.value):
            yield from _unreadable(entry, (*path, key))


def _to_go(path: Path, missing: bool = False) -> Path:
    """Return the smallest thing with or around an entry that may be left out; a top entry has a stand-in."""
    if _is_depth_of_cut(path):
        return path
    for end in range(len(path) - missing, 1, -1):
        if _may_be_left_out(path[:end]):
            return path[:end]
    return path[:1]


def _is_depth_of_cut(path: Path) -> bool:
    """Whether an entry is the depth of a cut, which has a stand-in."""
    return len(path) > 3 and path[-1] == "depth" and path[-3] == "cuts"


def _may_be_left_out(path: Path) -> bool:
    """Whether the models take the group around an entry without it."""
    around, name = shape_at(Works, path[:-1]), path[-1]
    if around is None or around.model is None:
        return around is not None and around.named
    entry = around.model.model_fields.get(str(name))
    return entry is None or not entry.is_required()


def _stand_in(name: str, around: Node) -> Node:
    """Return what stands for a required entry at the top."""
    return _node(_STAND_INS[name], around)


def _node(value: Any, around: Node) -> Node:
    """Return plain values as nodes at a place."""
    if isinstance(value, dict):
        return around.with_value({key: _node(entry, around) for key, entry in value.items()})
    return around.with_value(value)


def _context(tree: Node) -> dict[str, Any]:
    """Return the calendar and the currency, by which the rest is read; a wrong one is told with the rest."""
    written, currency = tree.get("calendar"), tree.get("currency")
    try:
        calendar = Calendar.model_validate({} if written is None else written.plain())
    except ValidationError:
        calendar = Calendar()
    name = "EUR" if currency is None else currency.value
    known = isinstance(name, str) and re.fullmatch(r"[A-Za-z]{1,12}", name)
    return {"calendar": calendar.minutes_per(), "currency": name if known else None}


def _size(node: Node) -> int:
    """Count the values of a tree."""
    if isinstance(node.value, dict):
        return 1 + sum(map(_size, node.value.values()))
    return 1 + (sum(map(_size, node.value)) if isinstance(node.value, list) else 0)
