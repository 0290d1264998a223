"""A change made at a desk, as it is taken back and done again."""

from __future__ import annotations

from typing import NamedTuple

from linesim.works import Works

__all__ = ["Step"]


class Step(NamedTuple):
    """A change made at this desk.

    Attributes
    ----------
    before, origin_before : Works, str
        The scenario before it, and where that came from.
    after, origin_after : Works, str
        The same after it.
    words : str
        What was done.
    """

    before: Works
    origin_before: str
    after: Works
    origin_after: str
    words: str

    @property
    def is_other(self) -> bool:
        """Whether it has put another scenario on the desk."""
        return self.origin_before != self.origin_after
