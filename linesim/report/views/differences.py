"""In what two scenarios differ, in words."""

from __future__ import annotations

from typing import Any

import yaml

from linesim.report.theme.safe import short

__all__ = ["scenario_changes"]

_MOST_CHANGES = 60
_SHELVES = ("lines", "operations", "strokes", "cuts")
"""Entries that say nothing beside the names that stand in them."""
_NOTHING = object()


def scenario_changes(first: str, second: str) -> list[str]:
    """In what two scenarios differ, entry by entry.

    Parameters
    ----------
    first, second : str
        As files say them; what does not differ is left out.

    Returns
    -------
    list of str

    >>> scenario_changes("cutters: {blade: {price: 20, count: 3}}", "cutters: {blade: {price: 25}, drill: {price: 4}}")
    ['cutters, blade, price: 20 became 25', 'cutters, blade, count: 3 is gone', 'cutters, drill: new, price: 4']
    """
    lines = _changes((), yaml.safe_load(first), yaml.safe_load(second))
    left = len(lines) - _MOST_CHANGES
    return lines[:_MOST_CHANGES] + ([f"... and {left} more entries"] if left > 0 else [])


def _changes(path: tuple[str, ...], one: Any, other: Any) -> list[str]:
    """Differences below an entry; what only one of them has is told as a whole."""
    if one == other:
        return []
    if isinstance(one, dict) and isinstance(other, dict):
        names = list(dict.fromkeys([*one, *other]))
        pairs = [((*path, str(name)), one.get(name, _NOTHING), other.get(name, _NOTHING)) for name in names]
        return [line for pair in pairs for line in _changes(*pair)]
    where = ", ".join(part for part in path if part not in _SHELVES)
    if one is _NOTHING:
        return [f"{where}: new, {_entry(other)}"]
    if other is _NOTHING:
        return [f"{where}: {_entry(one)} is gone"]
    return [f"{where}: {_entry(one)} became {_entry(other)}"]


def _entry(value: Any) -> str:
    """An entry in one line, as short as can be."""
    if isinstance(value, float):
        return f"{value:.10g}"
    text = yaml.safe_dump(value, default_flow_style=True, width=10_000, sort_keys=False, allow_unicode=True)
    return short(text.strip().removesuffix("...").strip().strip("{}"), 120)
