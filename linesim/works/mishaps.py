"""What befalls castings, cutters and machines beside the cut itself: heats of castings, broken cutters."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from linesim.units import Money, Share, Whole
from linesim.works.base import Strict, text_or_other
from linesim.works.durations import Duration

__all__ = ["Broken", "Heats", "Saved", "TappedOut"]


class Heats(Strict):
    """Castings poured from one heat of iron share its machinability: all cutters meet it while they are cut."""

    of: Annotated[
        Annotated[Whole, Field(ge=1, le=1_000_000), Tag("other")] | Annotated[Literal["day"], Tag("text")],
        Discriminator(text_or_other),
    ]
    """Castings of one heat, by their serial numbers; "day": all that come into the line in one worked day."""
    life: Share = Field(default=0.0, ge=0, le=2)
    """Standard deviation over mean of the factor on edge life from heat to heat (lognormal, mean 1)."""
    force: Share = Field(default=0.0, ge=0, le=1)
    """Standard deviation over mean of the factor on cutting force from heat to heat (lognormal, mean 1)."""


class TappedOut(Strict):
    """The part is freed of what broke in it, where that succeeds, and the cut is made again with the next set."""

    share: Share = Field(ge=0, le=1)
    """Share of such parts that is saved; the others are scrap."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time it takes at the machine, within the stop for the broken set, whether it succeeds or not."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one attempt beside the time. In the scenario's currency."""


class Saved(Strict):
    """A part in which a cutter broke may be saved."""

    salvage: TappedOut
    """How often, how long it takes and what it costs."""


Broken = Annotated[
    Annotated[Saved, Tag("other")] | Annotated[Literal["scrap", "spares the part"], Tag("text")],
    Discriminator(text_or_other),
]
"""What a breaking cutter does to the part: scrap, a share saved, or nothing."""
