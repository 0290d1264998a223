"""A probe that looks for broken cutters, and edges that break unseen."""

from __future__ import annotations

from pydantic import Field

from linesim.units import Share, Whole
from linesim.works.base import Strict
from linesim.works.durations import Duration

__all__ = ["BreakageProbe"]


class BreakageProbe(Strict):
    """Looks after the cuts, before the part is unclamped, at every cutter here that breaks unseen (seen_after).

    What it finds broken is changed before the next part, by a sister where there is one; the part on the machine is
    scrap. Parts before it that were cut with the broken edge have gone on with their metal standing.
    """

    every: Whole = Field(default=1, ge=1, le=1_000_000)
    """It looks after one part in so many."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time of one look at all of them; 2 to 6 s for each cutter are usual (from memory)."""
    finds: Share = Field(default=1.0, gt=0, le=1)
    """Chance that it finds an edge that has broken, at each look."""
