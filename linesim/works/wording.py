"""The errors of pydantic in the words of the shop: what was found, where, what was expected, and what was meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from linesim.errors import Problem, nearest, quoted
from linesim.works.base import Strict
from linesim.works.model import Works
from linesim.works.nodes import MOST_PROBLEMS, Node, Path
from linesim.works.shape import Shape, dotted, shape_at

__all__ = ["Fault", "faults_of", "meant_entry"]

_BOUNDS = {
    "greater_than": ("too small", "above", "gt"),
    "greater_than_equal": ("too small", "at least", "ge"),
    "less_than": ("too large", "below", "lt"),
    "less_than_equal": ("too large", "at most", "le"),
}
_MOST_LISTED = 40
_LONGEST_SHOWN = 30


@dataclass(frozen=True)
class Fault:
    """One error of the models.

    Parameters
    ----------
    kind : str
        As pydantic names it.
    path : tuple of str and int
        The entry that is wrong or missing.
    problem : Problem
        The same in the words of the shop.
    """

    kind: str
    path: Path
    problem: Problem


def faults_of(error: ValidationError, tree: Node, root: type[Strict] = Works) -> list[Fault]:
    """Return everything that the models found in a scenario.

    Parameters
    ----------
    error : pydantic.ValidationError
        What checking the plain tree against the models raised.
    tree : Node
        The same tree with its files and lines.
    root : type
        The model of the whole file.

    Returns
    -------
    list of Fault
        No more than `MOST_PROBLEMS`.
    """
    return [_fault(entry, tree, root) for entry in error.errors(include_url=False)[:MOST_PROBLEMS]]


def meant_entry(path: Path, value: Any, root: type[Strict] = Works) -> str | None:
    """Return the entry that a misspelt one was most likely meant to be, or None if none is like it.

    Parameters
    ----------
    path : tuple of str and int
        Where the misspelt entry stands.
    value : Any
        What it says, as plain values: an entry that cannot say such a thing was not meant.
    root : type
        The model of the whole file.

    Returns
    -------
    str or None

    >>> meant_entry(("cutters", "face mill", "teethe"), 8)
    'teeth'
    >>> meant_entry(("lines", "block", "operations", "Op 10", "servers"), 3) is None
    True
    """
    near = _nearest_entry(str(path[-1]), _known_entries(path, root))
    shape = shape_at(root, (*path[:-1], near)) if near else None
    return near if shape is not None and shape.takes(value) else None


def _fault(entry: Any, tree: Node, root: type[Strict]) -> Fault:
    """Return one error with its place and its words."""
    path = _path(entry["loc"], tree, root)
    *_, node = tree.along(path)
    if entry["type"] == "missing" and isinstance(entry["loc"][-1], str):
        path = (*path, entry["loc"][-1])
        value: Any = None
    else:
        value = node.plain()
    text, hint = _sentence(entry, value, path, root)
    return Fault(entry["type"], path, Problem(node.file, node.line, dotted(root, path), text, hint))


def _path(loc: Iterable[str | int], tree: Node, root: type[Strict]) -> Path:
    """Return the part of pydantic's location that stands in the scenario; the rest names its own steps."""
    path: Path = ()
    node = tree
    steps = list(loc)
    for at, key in enumerate(steps):
        child = node.get(key)
        known = at == len(steps) - 1 or shape_at(root, (*path, key)) is not None
        if child is not None and known:
            path, node = (*path, key), child
    return path


def _sentence(entry: Any, value: Any, path: Path, root: type[Strict]) -> tuple[str, str]:
    """Return what to say about one error, and a hint."""
    kind, context = entry["type"], entry.get("ctx", {})
    shape = shape_at(root, path) or Shape()
    if kind == "linesim":
        return context["text"], context["hint"] or _instead_of_a_group(value, path, root)
    if kind == "value_error":
        return str(context["error"]), ""
    if kind == "extra_forbidden":
        return _unknown_entry(path, value, root)
    if kind in _BOUNDS:
        return _out_of_bounds(kind, context, value, shape), ""
    if kind in ("too_long", "too_short"):
        return _wrong_count(kind, context, value, shape), ""
    if kind in ("string_too_long", "string_too_short"):
        bound = f"at most {context['max_length']}" if "max_length" in context else f"at least {context['min_length']}"
        return (
            f"{quoted(value)} has {len(value)} signs; {bound} {'was' if bound.endswith(' 1') else 'were'} expected",
            "",
        )
    return _wrong_kind(kind, value, shape)


def _instead_of_a_group(value: Any, path: Path, root: type[Strict]) -> str:
    """Return what to do where a group of entries is given for a plain figure."""
    around = shape_at(root, path[:-1]) if isinstance(value, dict) and path else None
    return around.model.not_a_group.get(str(path[-1]), "") if around is not None and around.model is not None else ""


def _wrong_kind(kind: str, value: Any, shape: Shape) -> tuple[str, str]:
    """Say that something else was expected."""
    if kind == "missing":
        answer = "missing" if value is None else f"a list of {len(value)} was found"
        return f"{answer}; {shape.in_words} was expected", ""
    if kind == "string_pattern_mismatch":
        return f"{quoted(value)} was found; a currency of 1 to 12 letters such as EUR was expected", ""
    if kind == "literal_error" and isinstance(value, str):
        near = nearest(value, shape.words)
        hint = f"Did you mean {quoted(near)}?" if near else ""
        return f"{quoted(value)} is not known here; {shape.in_words} was expected", hint
    return f"{quoted(value)} was found; {shape.in_words} was expected", _way_out(kind, value, shape)


def _way_out(kind: str, value: Any, shape: Shape) -> str:
    """Return a hint at how a plain value is written where a name, a list or a group of entries is expected."""
    shown = value if isinstance(value, str) else quoted(value)
    if isinstance(value, bool) or not isinstance(value, (int, float, str)) or len(shown) > _LONGEST_SHOWN:
        return ""
    if kind == "string_type":
        return f'Put it in quotation marks if it is a name: "{shown}".'
    if kind == "list_type" and shown.isprintable():
        return f"Put it in brackets: [{shown}]."
    needed = [name for name, entry in shape.model.model_fields.items() if entry.is_required()] if shape.model else []
    return f"Write {{{needed[0]}: {shown}}}." if len(needed) == 1 and shown.isprintable() else ""


@lru_cache(maxsize=4096)
def _nearest_entry(name: str, known: tuple[str, ...]) -> str | None:
    """Return the entry that is most like a name; the same misspelling often stands in many places."""
    return nearest(name, known)


def _known_entries(path: Path, root: type[Strict]) -> tuple[str, ...]:
    """Return the entries that may stand beside one."""
    around = shape_at(root, path[:-1])
    return tuple(around.model.model_fields) if around is not None and around.model is not None else ()


def _unknown_entry(path: Path, value: Any, root: type[Strict]) -> tuple[str, str]:
    """Say that an entry is not known, and which is."""
    known, near = _known_entries(path, root), meant_entry(path, value, root)
    if near:
        return f"{quoted(path[-1])} is not known here; did you mean {quoted(near)}?", ""
    listed = ", ".join(known[:_MOST_LISTED])
    return f"{quoted(path[-1])} is not known here", f"Known here: {listed}." if known else "Nothing is expected here."


def _out_of_bounds(kind: str, context: Any, value: Any, shape: Shape) -> str:
    """Say which bound a figure passes, in its unit."""
    word, relation, name = _BOUNDS[kind]
    unit = f" {shape.unit}" if shape.unit else ""
    return f"{quoted(value)} is {word}; it must be {relation} {quoted(context[name])}{unit}"


def _wrong_count(kind: str, context: Any, value: Any, shape: Shape) -> str:
    """Say how many there are and how many there may be."""
    if context["field_type"] == "Tuple":
        return f"a list of {len(value)} was found; {shape.in_words} was expected"
    if kind == "too_long":
        return f"{len(value)} entries were found; at most {context['max_length']} was expected"
    return f"{len(value)} entries were found; at least {context['min_length']} was expected"
