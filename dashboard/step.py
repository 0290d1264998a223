"""A change made at a desk, as it is taken back and done again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from linesim.works import Works

__all__ = ["Step"]


@dataclass(frozen=True)
class Step:
    """A change made at this desk.

    Attributes
    ----------
    start, origin_before : Works or callable, str
        The scenario before it, or what fetches it when it is wanted; and where that came from.
    end, origin_after : Works or callable, str
        The same after it.
    words : str
        What was done.
    """

    start: Works | Callable[[], Works]
    origin_before: str
    end: Works | Callable[[], Works]
    origin_after: str
    words: str

    @cached_property
    def before(self) -> Works:
        """The scenario before it."""
        return self.start() if callable(self.start) else self.start

    @cached_property
    def after(self) -> Works:
        """The scenario after it."""
        return self.end() if callable(self.end) else self.end

    @property
    def is_other(self) -> bool:
        """Whether it has put another scenario on the desk."""
        return self.origin_before != self.origin_after
