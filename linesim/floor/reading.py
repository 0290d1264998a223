"""What a gauge says of a part."""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.tables import NONE
from linesim.plan.tally import Cause

__all__ = ["Reading"]


class Reading(NamedTuple):
    """What a gauge says of a part.

    Attributes
    ----------
    cause : Cause or None
        Why the part is turned down; None if it passes.
    mean_um : float
        Mean error read over the places, µm per side.
    worst_um : float
        Error furthest from the aim, with its sign, µm per side.
    roughness_um : float
        Greatest Ra read, µm; 0 if it is not read.
    suspect : int
        Who is to blame if it is turned down, as in `linesim.floor.blame.Terms`.
    """

    cause: Cause | None
    mean_um: float
    worst_um: float
    roughness_um: float
    suspect: int = NONE
