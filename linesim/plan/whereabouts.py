"""Where a cutter set is when it is not on a machine."""

from __future__ import annotations

from enum import IntEnum

__all__ = ["Whereabouts"]


class Whereabouts(IntEnum):
    """Where a set has come to in the crib; it is there until the next is told of it."""

    BEFORE_GRINDER = 0
    AT_GRINDER = 1
    ON_ORDER = 2
    BEFORE_PRESETTER = 3
    AT_PRESETTER = 4
    ON_SHELF = 5
    DRAWN = 6

    @property
    def words(self) -> str:
        """Where it is, as a person says it."""
        return _WORDS[self]


_WORDS = {
    Whereabouts.BEFORE_GRINDER: "waits for a grinder",
    Whereabouts.AT_GRINDER: "at the grinder",
    Whereabouts.ON_ORDER: "on order",
    Whereabouts.BEFORE_PRESETTER: "waits for a presetter",
    Whereabouts.AT_PRESETTER: "at the presetter",
    Whereabouts.ON_SHELF: "on the shelf",
    Whereabouts.DRAWN: "drawn",
}
