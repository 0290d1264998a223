"""What the foundry delivers, and how it comes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from linesim.units import Mass, Money, Whole
from linesim.works.base import Strict
from linesim.works.durations import Duration
from linesim.works.mishaps import Heats, Sand

__all__ = ["Arrivals", "Casting"]


class Arrivals(Strict):
    """Castings that arrive one by one; without this there is always a casting to be had."""

    between: Duration
    """Time from one casting to the next."""
    when_full: Literal["wait", "turn away"] = "wait"
    """What becomes of a casting that finds the first buffer full: it waits outside, or goes elsewhere."""


class Casting(Strict):
    """What the foundry delivers."""

    price: Money = Field(default=0.0, ge=0)
    """Price of one casting. In the scenario's currency."""
    scrap_value: Money = Field(default=0.0, ge=0)
    """What a scrapped part brings as scrap metal. In the scenario's currency."""
    arrivals: Arrivals | None = None
    """How castings arrive; there is always one to be had unless given."""
    limit: Whole | None = Field(default=None, ge=1, le=100_000_000)
    """Castings to be had in all; no end to them unless given."""
    mass: Mass | None = Field(default=None, gt=0)
    """Mass of the casting, kg: cuts warm it, and what is cut warm is off its size when cool. Not followed unless given.
    """
    heats: Heats | None = None
    """Heats of iron in which castings come, unlike one another; all castings are alike to cut unless given."""
    sand: Sand | None = None
    """Sand and hard spots in the skin, which chip the edges of first cuts; the skin is clean unless given."""
