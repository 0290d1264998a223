"""Part types: the kinds of part that one line makes, how they come, and what it takes to go from one to another."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Discriminator, Field, Tag

from linesim.units import Money, Share, Whole
from linesim.works.base import Strict, text_or_other
from linesim.works.durations import Duration

__all__ = ["MOST_TYPES", "SEQUENCE_NAMES", "Changeover", "PartType", "Sequence", "Turn"]

MOST_TYPES = 32
"""Most part types that one line may have."""

Sequence = Literal["oldest first", "same type first", "least changeover", "in turn"]
SEQUENCE_NAMES: tuple[Sequence, ...] = get_args(Sequence)
"""Which of the waiting parts a machine takes next."""

Turn = Annotated[
    Annotated[Whole, Field(ge=1, le=1_000_000), Tag("other")] | Annotated[Literal["all", "those waiting"], Tag("text")],
    Discriminator(text_or_other),
]
"""How long a type's turn lasts: a number of parts, or words."""


class PartType(Strict):
    """One of the types of part that a line makes; they share its routing, but for what is said to be for some only."""

    share: Share | None = Field(default=None, gt=0, le=1)
    """Share of the castings that are of this type; each is drawn by chance. All types of a line have a share, which add
    up to 100 %, or all have a batch."""
    batch: Whole | None = Field(default=None, ge=1, le=1_000_000)
    """Castings of this type that come one after another, before those of the next type; behind the last type the first
    one comes again."""
    worth: Money | None = Field(default=None, ge=0)
    """What a good finished part of it is worth; the line's unless given. In the scenario's currency."""
    casting_price: Money | None = Field(default=None, ge=0)
    """Price of one of its castings; the line's unless given. In the scenario's currency."""


class Changeover(Strict):
    """What it takes to set a machine from one part type to another: fixture, program, sets to be put in."""

    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time from any type to any other, but for those of which ``from_to`` says more."""
    from_to: dict[str, dict[str, Duration]] = Field(default={}, max_length=MOST_TYPES)
    """Time by the type made before and the type made next: ``{A: {B: 20 min, C: 50 min}, B: {C: 45 min}}``."""
    by: str | None = None
    """The pool of people who make it; nobody is waited for unless given."""
