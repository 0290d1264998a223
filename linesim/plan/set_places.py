"""Where a cutter set is when it is not on a machine."""

from __future__ import annotations

from enum import IntEnum

__all__ = ["SetPlace"]


class SetPlace(IntEnum):
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
        """The place as a person says it."""
        return _WORDS[self]


_WORDS = {
    SetPlace.BEFORE_GRINDER: "waits for a grinder",
    SetPlace.AT_GRINDER: "at the grinder",
    SetPlace.ON_ORDER: "on order",
    SetPlace.BEFORE_PRESETTER: "waits for a presetter",
    SetPlace.AT_PRESETTER: "at the presetter",
    SetPlace.ON_SHELF: "on the shelf",
    SetPlace.DRAWN: "drawn",
}
