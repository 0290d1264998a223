"""What the models say may stand at a place of a scenario: used to word errors, to merge files and to show places."""

from __future__ import annotations

import types
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from linesim.units import Quantity
from linesim.works.base import AlsoTaken, Strict
from linesim.works.nodes import Path

__all__ = ["Shape", "dotted", "shape_at"]

_PLAIN = {bool: "true or false", str: "a text", int: "a whole number", float: "a number"}


@dataclass(frozen=True)
class Shape:
    """What may stand at a place.

    Parameters
    ----------
    expected : tuple of str
        The kinds of value, in words.
    model : type or None
        The group of entries, if it is one with fixed names.
    items : type annotation or None
        What the entries or items are, if their names are the user's or there is a list of them.
    named : bool
        Whether the entries have names of the user's choosing.
    words : tuple of str
        The words of which one may stand here.
    unit : str
        Unit of plain numbers.
    quantity : Quantity or None
        How figures are read, if one may stand here.
    count : int
        Items of a list of fixed length; 0 for any other.
    also : tuple of str
        Words that stand for a whole group, which ``expected`` names already.
    """

    expected: tuple[str, ...] = ()
    model: type[Strict] | None = None
    items: Any = None
    named: bool = False
    words: tuple[str, ...] = field(default=())
    unit: str = ""
    quantity: Quantity | None = None
    count: int = 0
    also: tuple[str, ...] = ()

    def __or__(self, other: Shape) -> Shape:
        """Return the shape of what may be either."""
        return Shape(
            self.expected + other.expected,
            self.model or other.model,
            self.items or other.items,
            self.named or other.named,
            self.words + other.words,
            self.unit or other.unit,
            self.quantity or other.quantity,
            self.count or other.count,
            self.also + other.also,
        )

    @property
    def in_words(self) -> str:
        """What to ask for."""
        kinds = [*self.expected, *([_one_of(self.words)] if self.words else [])]
        return " or ".join(dict.fromkeys(kinds)) or "another value"

    def takes(self, value: Any) -> bool:
        """Whether a plain value may be meant for this place by its kind alone, right or wrong as it may be.

        Parameters
        ----------
        value : Any
            A group, a list, a text, a figure, a truth or nothing.

        Returns
        -------
        bool
        """
        if isinstance(value, (dict, list)):
            return self.model is not None or self.items is not None
        is_figure = isinstance(value, (int, float))
        return not (is_figure and set(self.expected) <= {_PLAIN[str]} and self.model is None and self.items is None)


@lru_cache(maxsize=4096)
def shape_at(root: type[Strict], path: Path) -> Shape | None:
    """Return what may stand at a place, or None if the models know no such place.

    Parameters
    ----------
    root : type
        The model of the whole scenario.
    path : tuple of str and int
        Names and positions from the top.

    Returns
    -------
    Shape or None
    """
    shape: Shape | None = _of_model(root)
    for key in path:
        shape = _inside(shape, key) if shape is not None else None
    return shape


def dotted(root: type[Strict], path: Path) -> str:
    """Write a place as it is shown: entries with dots, names of the user's in brackets, lines by their plain names.

    Parameters
    ----------
    root : type
        The model of the whole scenario.
    path : tuple of str and int
        Names and positions from the top.

    Returns
    -------
    str
        Such as ``lines.block.operations[Op 40].strokes[rough].cuts[lead].depth``.
    """
    text = ""
    for at, key in enumerate(path):
        around = shape_at(root, path[:at])
        shown = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in str(key)[:60])
        bare = path[:at] == ("lines",) and shown.isidentifier()
        bracketed = not bare and (isinstance(key, int) or (around is not None and around.named))
        text += f"[{shown}]" if bracketed else f".{shown}"
    return text.removeprefix(".")


def _inside(shape: Shape, key: str | int) -> Shape | None:
    """Return what may stand under one key of a place."""
    if shape.model is not None and key in shape.model.model_fields:
        return _of_entry(shape.model, str(key))
    if shape.items is not None and isinstance(key, str) == shape.named:
        return _of(shape.items, ())
    return None


@cache
def _of_entry(model: type[Any], name: str) -> Shape:
    """Return the shape of a model's entry."""
    entry: FieldInfo = model.model_fields[name]
    return _of(entry.annotation, tuple(entry.metadata))


def _of(annotation: Any, metadata: tuple[Any, ...]) -> Shape:
    """Return the shape of a type with what was said about it."""
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _of(arguments[0], (*arguments[1:], *metadata))
    quantity = next((entry for entry in metadata if isinstance(entry, Quantity)), None)
    if quantity is not None and origin not in (Union, types.UnionType):
        return Shape((quantity.expected,), unit=quantity.unit, quantity=quantity)
    if origin in (Union, types.UnionType):
        return _of_union(arguments) | Shape(words=_also_taken(metadata))
    if origin is Literal:
        plain = tuple(str(word) for word in arguments if not isinstance(word, str))
        return Shape(plain, words=tuple(word for word in arguments if isinstance(word, str)))
    return _of_container(origin, arguments) or _of_class(annotation) | Shape(also=_also_taken(metadata))


def _of_union(arguments: tuple[Any, ...]) -> Shape:
    """Return the shape of what may be one of several kinds; that it may be left out goes without saying."""
    shape = Shape()
    for argument in arguments:
        if argument is not type(None):
            shape |= _of(argument, ())
    return shape


def _of_container(origin: Any, arguments: tuple[Any, ...]) -> Shape | None:
    """Return the shape of a list, a fixed list or named entries."""
    if origin is dict:
        return Shape(("a group of entries by name",), items=arguments[1], named=True)
    if origin is list:
        return Shape(("a list",), items=arguments[0])
    if origin is tuple:
        words = f"a list of {len(arguments)} such as [{', '.join('12'[: len(arguments)])}]"
        return Shape((words,), items=arguments[0], count=len(arguments))
    return None


def _of_class(annotation: Any) -> Shape:
    """Return the shape of a group of entries or of a plain value."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return _of_model(annotation)
    return Shape((_PLAIN[annotation],) if annotation in _PLAIN else ())


@cache
def _of_model(model: type[Any]) -> Shape:
    """Return the shape of a group of entries."""
    if model.expected:
        return Shape((model.expected,), model=model)
    needed = [name for name, entry in model.model_fields.items() if entry.is_required()] or list(model.model_fields)
    listed = f" such as {', '.join(f'{name}:' for name in needed[:3])}" if needed else ""
    return Shape((f"a group of entries{listed}",), model=model)


def _also_taken(metadata: tuple[Any, ...]) -> tuple[str, ...]:
    """Return the words that stand beside a group of entries."""
    schemas = (schema for entry in metadata if isinstance(entry, AlsoTaken) for schema in entry.schemas)
    return tuple(str(schema["const"]) for schema in schemas if "const" in schema)


def _one_of(words: tuple[str, ...]) -> str:
    """Write the words of which one is wanted."""
    return f'"{words[0]}"' if len(words) == 1 else f"one of {', '.join(words)}"
