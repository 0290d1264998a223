"""Warmth: a machine that warms up while it runs, and a room that swings from morning to noon."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from linesim.units import Kelvin, Minutes, Share, Small
from linesim.works.base import Strict

__all__ = ["Room", "WarmUp"]


class WarmUp(Strict):
    """A machine that grows as it warms: towards warm while its spindle runs, towards cold while it stands."""

    rise: Small
    """How much deeper it cuts warm than cold, µm per side (spindle growth; 10 to 60 is typical, from memory). Negative
    where it draws back."""
    minutes: Minutes = Field(default=60.0, gt=0)
    """Time constant of warming up, minutes; typically 20 to 90 (from memory)."""
    cools: Minutes = Field(default=90.0, gt=0)
    """Time constant of cooling down, minutes."""
    cold: Literal["every day", "every week", "at first"] = "every day"
    """When it begins cold again: after a night, after a weekend, or only at the beginning of the run."""
    set_warm: Share = Field(default=1.0, ge=0, le=1)
    """How warm it was when it was set: 1 warm, 0 cold; there it cuts to size."""


class Room(Strict):
    """The room's temperature over the worked day: coldest when it begins, warmest in the middle.

    A part that is cut warm is smaller when it is measured: its size moves by size x expansion x temperature.
    """

    swing: Kelvin = Field(ge=0, le=100)
    """By how much it goes above and below 20 °C, K (ISO 1)."""
