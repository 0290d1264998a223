"""Names of sheets and headings of their columns of names, from where their rows stand in a scenario."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from linesim.works.nodes import Path

__all__ = ["ANY", "ITEM", "keys_of", "titles_of"]

ANY = "*"
"""In the path of a sheet: a name of the user's choosing."""

ITEM = 0
"""In the path of a sheet: an item of a list, which goes by its number from 1."""

_LONGEST_TITLE = 31
_TITLES: dict[Path, str] = {
    ("lines", ANY): "Line", ("lines", ANY, "operations", ANY, "fixtures", "measured", ITEM): "Fixtures measured",
}  # fmt: skip
_KEYS: dict[str, tuple[str, ...]] = {
    "aims": ("cutter set",), "batches": ("line", "part type"), "corrections": ("gauge",), "disturbs": ("feature",),
    "edges": ("cutter",), "exceptions": ("cutter set",), "from_to": ("from type", "to type"),
    "grades": ("grade", "figure"),
    "abrasives": ("abrasive", "figure"), "materials": ("material", "figure"), "minutes_by_type": ("part type",),
    "measured": ("fixture",),
    "overhauls": ("operation",), "parts": ("part type",), "people": ("pool",), "rezero": ("cutter set",),
    "sequences": ("operation",), "weights": ("feature", "component"), "field": ("failure",), "sets": ("cutter",),
}  # fmt: skip
"""Headings of the columns of names where the word for one of them does not follow from the entry's own name."""


def keys_of(path: Path) -> tuple[str, ...]:
    """Return the headings of the columns of names of a sheet.

    >>> keys_of(("lines", ANY, "operations", ANY))
    ('line', 'operation')
    """
    keys: list[str] = []
    for at, key in enumerate(path):
        if key in (ANY, ITEM):
            named = max(end for end in range(at) if path[end] not in (ANY, ITEM))
            keys.append(_key(str(path[named]), at - named - 1, path))
    return tuple(keys)


def _key(name: str, depth: int, path: Path) -> str:
    """Return the word for one name below an entry."""
    if path[0] == "now" and name == "lines":
        return ("line", "operation")[depth]
    known = _KEYS.get(name, (_singular(name),))
    return known[depth] if depth < len(known) else f"{known[-1]} {depth + 1}"


def _singular(name: str) -> str:
    """Return the word for one of several."""
    words = name.replace("_", " ")
    return f"{words[:-3]}y" if words.endswith("ies") else words.removesuffix("s")


def titles_of(paths: Sequence[Path]) -> dict[Path, str]:
    """Return a name for each sheet: as short as keeps them apart.

    Parameters
    ----------
    paths : sequence of tuple
        Where the rows of each stand.
    """
    titles = {path: _title(path, 1) for path in paths}
    for length in range(2, 5):
        often = Counter(titles.values())
        titles = {path: _title(path, length) if often[title] > 1 else title for path, title in titles.items()}
    return titles


def _title(path: Path, length: int) -> str:
    """Return a name for a sheet from its path, with so many words at the least."""
    if path in _TITLES:
        return _TITLES[path]
    names = [str(key).replace("_", " ") for key in path if key not in (ANY, ITEM)]
    words = names[-length:] if names[0] == "lines" or length > 1 else names[:1] * (len(names) > 1) + names[-1:]
    title = " ".join([*(_singular(word) for word in words[:-1]), words[-1]])
    return (title[0].upper() + title[1:])[:_LONGEST_TITLE]
