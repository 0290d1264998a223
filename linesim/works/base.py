"""What every part of a scenario has in common: no unknown entries, no change once checked."""

from __future__ import annotations

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

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, use_attribute_docstrings=True)

    expected: ClassVar[str] = ""
    """What to ask for where something else was found; worked out from the entries unless given."""
    not_a_group: ClassVar[Mapping[str, str]] = MappingProxyType({})
    """By entry that is a plain figure: what to do about it where a group of entries is given."""
    in_one_cell: ClassVar[bool] = False
    """Whether a workbook holds the whole of it in one cell, not each of its entries in a column."""
    alternatives: ClassVar[frozenset[str]] = frozenset()
    """Entries of which one stands for the whole, so that a file that extends another replaces one by the other."""


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
