"""A thing known by its identity, so that what was made from it can be kept from run to run."""

from __future__ import annotations

from typing import Generic, TypeVar

__all__ = ["Same"]

Thing = TypeVar("Thing")


class Same(Generic[Thing]):
    """Stands for one thing as a key: equal only to what stands for the very same one, however alike two things are.

    Parameters
    ----------
    thing : object
        What it stands for; it lives as long as this does.
    """

    def __init__(self, thing: Thing) -> None:
        self.thing = thing

    def __hash__(self) -> int:
        return hash(id(self.thing))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and other.thing is self.thing
