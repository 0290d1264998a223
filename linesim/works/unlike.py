"""Machines side by side at one operation that are not alike."""

from __future__ import annotations

from pydantic import Field

from linesim.units import Number, Small
from linesim.works.ageing import Breakdowns
from linesim.works.base import Strict

__all__ = ["Unlike"]


class Unlike(Strict):
    """What one of several machines has of its own; all else is as the operation says."""

    time: Number = Field(default=1.0, ge=0.05, le=20)
    """What the minutes of its work are multiplied by: 1.25 for a machine that takes a quarter longer. An edge loses as
    much in each part as on the others, and its cutting minutes count as on a machine with 1."""
    breakdowns: Breakdowns | None = None
    """Its own failures; the operation's unless given."""
    position: Small = 0.0
    """How far its fixture holds the part aside, µm; for a face or a depth, how much too high. It adds to what fixtures
    of the operation have."""
    tilt: Small = 0.0
    """How far its fixture holds the part out of square, µm over the distance of the pads."""
