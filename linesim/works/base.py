"""What every part of a scenario has in common: no unknown entries, no change once checked."""

from __future__ import annotations

import ast
import inspect
import itertools
import textwrap
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field

if TYPE_CHECKING:
    from collections.abc import Mapping

    from pydantic import GetJsonSchemaHandler
    from pydantic_core import core_schema

__all__ = ["AlsoTaken", "Marks", "Strict", "text_or_other"]


class Strict(BaseModel):
    """A part of a scenario: unknown entries are refused, numbers are finite, and nothing changes after checking."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    expected: ClassVar[str] = ""
    """What to ask for where something else was found; worked out from the entries unless given."""
    not_a_group: ClassVar[Mapping[str, str]] = MappingProxyType({})
    """By entry that is a plain figure: what to do about it where a group of entries is given."""
    in_one_cell: ClassVar[bool] = False
    """Whether a workbook holds the whole of it in one cell, not each of its entries in a column."""
    alternatives: ClassVar[frozenset[str]] = frozenset()
    """Entries of which one stands for the whole, so that a file that extends another replaces one by the other."""

    @classmethod
    def entry_words(cls, name: str) -> str:
        """Return what an entry is, as its class says it; empty if it does not.

        Parameters
        ----------
        name : str
            Of an entry of this part.
        """
        kinds = (_texts_below(kind) for kind in cls.__mro__ if issubclass(kind, Strict) and kind is not Strict)
        return cls.model_fields[name].description or next((texts[name] for texts in kinds if name in texts), "")

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Tell editors what each entry is."""
        answer = handler(schema)
        for name, entry in handler.resolve_ref_schema(answer).get("properties", {}).items():
            if words := cls.entry_words(name):
                entry["description"] = words
        return answer


@cache
def _texts_below(model: type[Strict]) -> dict[str, str]:
    """Texts below the entries of a class, read from its file when they are first asked for: no run waits for them."""
    (part,) = ast.parse(textwrap.dedent(inspect.getsource(model))).body
    assert isinstance(part, ast.ClassDef)
    return {
        entry.target.id: inspect.cleandoc(text.value.value)
        for entry, text in itertools.pairwise(part.body)
        if isinstance(entry, ast.AnnAssign) and isinstance(entry.target, ast.Name)
        if isinstance(text, ast.Expr) and isinstance(text.value, ast.Constant) and isinstance(text.value.value, str)
    }


class AlsoTaken:
    """Tells editors that an entry takes these plain values beside its group of entries.

    Parameters
    ----------
    *schemas : dict
        JSON schemas of the plain values.
    """

    def __init__(self, *schemas: dict[str, Any]) -> None:
        self.schemas = schemas

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Put the plain values first."""
        return {"anyOf": [*self.schemas, handler(schema)]}


def text_or_other(value: Any) -> str:
    """Return which of two kinds an entry is meant to be, so that only that one's error is told."""
    return "text" if isinstance(value, str) else "other"


Marks = Annotated[list[str], Field(max_length=20, exclude_if=lambda marks: not marks)]
"""Figures of a part that are typical and not the shop's own; a works that marks none keeps its fingerprint."""
