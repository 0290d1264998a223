"""In what two scenarios differ, in words."""

from __future__ import annotations

from typing import Any

import yaml

from linesim.report.theme.safe import short
from linesim.words import keep
from linesim.works.reconciling import new_names
from linesim.yaml_text import read_plain

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
        Kept, to be told; names of entries as files have them.

    >>> scenario_changes("cutters: {blade: {price: 20, count: 3}}", "cutters: {blade: {price: 25}, drill: {price: 4}}")
    ['cutters, blade, price: 20 became 25', 'cutters, blade, count: 3 is gone', 'cutters, drill: new, price: 4']
    >>> scenario_changes("cutters: {blade: {price: 20}}", "cutters: {bit: {price: 20}}")
    ['cutters: blade is called bit']
    >>> scenario_changes("pools: {}", "pools: {crib: {rate: 30, breaks: {noon: {starts: 240, lasts: 30}}}}")
    ['pools, crib: new, rate: 30, breaks: noon']
    """
    lines = _changes((), read_plain(first), read_plain(second))
    left = len(lines) - _MOST_CHANGES
    return lines[:_MOST_CHANGES] + ([keep("differences.more", left=left)] if left > 0 else [])


def _changes(path: tuple[str, ...], one: Any, other: Any) -> list[str]:
    """Differences below an entry; what only one of them has is told as a whole."""
    if one == other:
        return []
    if isinstance(one, dict) and isinstance(other, dict):
        called = new_names(one, other)
        at = ", ".join(part for part in path if part not in _SHELVES)
        lines: list[str] = [
            keep("differences.called_at" if at else "differences.called", at=at, old=old, new=new)
            for old, new in called.items()
        ]
        names = [name for name in dict.fromkeys([*one, *other]) if name not in called and name not in called.values()]
        pairs = [((*path, str(name)), one.get(name, _NOTHING), other.get(name, _NOTHING)) for name in names]
        return [*lines, *(line for pair in pairs for line in _changes(*pair))]
    where = ", ".join(part for part in path if part not in _SHELVES)
    if one is _NOTHING:
        return [keep("differences.new", at=where, new=_entry(other))]
    if other is _NOTHING:
        return [keep("differences.gone", at=where, old=_entry(one))]
    return [keep("differences.became", at=where, old=_entry(one), new=_entry(other))]


def _entry(value: Any) -> str:
    """An entry in one line, as short as can be; of groups within it the names alone."""
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, dict):
        value = {name: _names(entry) for name, entry in value.items()}
        return short(", ".join(f"{name}: {entry}" for name, entry in value.items()), 120)
    text = yaml.safe_dump(value, default_flow_style=True, width=10_000, sort_keys=False, allow_unicode=True)
    return short(text.strip().removesuffix("...").strip(), 120)


def _names(value: Any) -> str:
    """An entry within a group."""
    return ", ".join(map(str, value)) if isinstance(value, dict) else _entry(value)
