"""The magazine of a machining centre, in which sister cutters take over from each other within the cycle."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from linesim.units import Whole
from linesim.works.base import Strict
from linesim.works.durations import Duration

__all__ = ["Magazine"]


class Magazine(Strict):
    """Cutters of the same kind that wait in the magazine of each machine.

    When the one at work is due or breaks, the next takes over without a setter, as a fresh set would. When none of a
    kind is left, the machine stops and the setter renews all that are used up, in one stop. A cutter whose part is
    salvaged when it breaks always calls the setter.
    """

    pockets: Whole | None = Field(default=None, ge=1, le=1000)
    """Pockets of the magazine, which must hold all of its cutters; not counted unless given."""
    sisters: dict[str, Annotated[Whole, Field(ge=1, le=100)]] = Field(default={}, max_length=100)
    """Cutters of a kind in the magazine, the one at work among them ({drill: 3}); one of each kind unless given."""
    exchange: Duration = Field(default=0.0, validate_default=True)
    """Time in which the next cutter takes over, from chip to chip; 2 to 6 s are usual (from memory)."""
    renewed: Literal["at a stop", "every shift"] = "at a stop"
    """When the setter renews what is used up: at any stop of the machine for cutters; or before its first part of each
    shift as well. While none of the pool attends, the machine runs on with the sisters that it has, and he renews them
    when he is back."""
    used_up: Whole | None = Field(default=None, ge=1, le=99)
    """He is called for it as well when so many cutters of a kind are used up; not before the last one unless given."""

    def of_kind(self, kind: str) -> int:
        """Cutters of a kind in it, the one at work among them."""
        return self.sisters.get(kind, 1)
