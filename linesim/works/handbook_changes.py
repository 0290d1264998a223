"""What a scenario says in place of the handbook, or beside it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Discriminator, Field, Tag

from linesim.units import Number
from linesim.works.base import Strict, text_or_other

__all__ = ["HandbookChanges"]

Coefficient = Annotated[Annotated[Number, Tag("other")] | Annotated[str, Tag("text")], Discriminator(text_or_other)]
"""A coefficient of the handbook: a number in its documented unit, or a word."""


class HandbookChanges(Strict):
    """Coefficients of the shop's own: changes to handbook entries by name, or new entries based on one."""

    materials: dict[str, dict[str, Coefficient]] = Field(default={})
    """Materials of parts, by name."""
    grades: dict[str, dict[str, Coefficient]] = Field(default={})
    """Cutter grades, by name."""
    abrasives: dict[str, dict[str, Coefficient]] = Field(default={})
    """Honing stones and grinding wheels, by name."""
