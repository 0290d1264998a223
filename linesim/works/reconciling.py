"""Two changes of one scenario put together: entry by entry, what only one of them has changed is taken from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from linesim.works.load import works_from_dict
from linesim.works.model import Works
from linesim.works.writing import plain

__all__ = ["Reconciled", "new_names", "reconciled"]

_GONE = object()
_SHELVES = ("lines", "operations", "strokes", "cuts")
"""Entries that say nothing beside the names that stand in them."""


class Reconciled(NamedTuple):
    """Two changes in one scenario.

    Attributes
    ----------
    works : Works
        With both.
    clashes : tuple of str
        Entries that both have changed, each in its own way.
    """

    works: Works
    clashes: tuple[str, ...]


def reconciled(base: Works, first: Works, second: Works) -> Reconciled:
    """Put two changes of one scenario together.

    Parameters
    ----------
    base : Works
        From which both were made.
    first, second : Works
        After the one change, and after the other. Where both have changed the same entry, the first one's stays.

    Returns
    -------
    Reconciled

    Raises
    ------
    ScenarioError
        The two do not go together in one scenario, say because one speaks of what the other has taken away.
    """
    clashes: list[str] = []
    tree = _both((), plain(base), plain(first), plain(second), clashes)
    return Reconciled(works_from_dict(tree, "both changes"), tuple(clashes))


def _both(path: tuple[str, ...], base: Any, first: Any, second: Any, clashes: list[str]) -> Any:
    """An entry after both changes; `_GONE` if it is not there."""
    if _same(first, second) or _same(second, base):
        return first
    if _same(first, base):
        return second
    if isinstance(first, dict) and isinstance(second, dict):
        below, first, second = _under_new_names(base if isinstance(base, dict) else {}, first, second)
        entries = {}
        for name in _in_order(below, first, second):
            was, one, other = (each.get(name, _GONE) for each in (below, first, second))
            entry = _both((*path, str(name)), was, one, other, clashes)
            if entry is not _GONE:
                entries[name] = entry
        return entries
    clashes.append(", ".join(part for part in path if part not in _SHELVES))
    return first


def new_names(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """Names that have become others: what stood under the one stands, in the same slot and unchanged, under the other.

    Parameters
    ----------
    before, after : mapping of str
        The same group, before a change and after it.

    Returns
    -------
    dict of str to str
        New names by old ones.

    >>> new_names({"setters": {"rate": 36}, "bore": {}}, {"fitters": {"rate": 36}, "bore": {}})
    {'setters': 'fitters'}
    >>> new_names({"setters": {"rate": 36}}, {"fitters": {"rate": 40}})
    {}
    """
    slots = zip(before.items(), after.items(), strict=False)
    return {
        old: new
        for (old, was), (new, now) in slots
        if old not in after and new not in before and isinstance(was, dict) and was and _same(was, now)
    }


def _under_new_names(
    base: dict[str, Any], first: dict[str, Any], second: dict[str, Any]
) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """The three with what either has renamed under its new name; where both have renamed the same, it stays two."""
    by_first, by_second = new_names(base, first), new_names(base, second)
    by_first = {old: new for old, new in by_first.items() if old in second and new not in second}
    by_second = {old: new for old, new in by_second.items() if old in first and new not in first}
    return _renamed(base, by_first | by_second), _renamed(first, by_second), _renamed(second, by_first)


def _renamed(group: dict[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {names.get(name, name): entry for name, entry in group.items()}


def _same(one: Any, other: Any) -> bool:
    """Whether two entries say the same; the order of operations is part of what is said."""
    if isinstance(one, dict) and isinstance(other, dict):
        pairs = zip(one.items(), other.items(), strict=False)
        return len(one) == len(other) and all(a[0] == b[0] and _same(a[1], b[1]) for a, b in pairs)
    return one is other or bool(type(one) is type(other) and one == other)


def _in_order(base: Mapping[str, Any], first: Mapping[str, Any], second: Mapping[str, Any]) -> list[str]:
    """Names of both in the order of the one that has changed it; what only the other has follows its neighbour."""
    is_moved = [name for name in base if name in first] != [name for name in first if name in base]
    lead, other = (first, second) if is_moved else (second, first)
    names = list(lead)
    before: str | None = None
    for name in other:
        if name not in lead:
            names.insert(_after(names, before), name)
        before = name
    return names


def _after(names: Iterable[str], before: str | None) -> int:
    """Where what follows a name is put: at the beginning if it follows none."""
    return list(names).index(before) + 1 if before is not None else 0
