"""The width of what a compiled run has at hand in every round."""

from __future__ import annotations

from typing import Annotated

__all__ = ["Few", "Flag", "Short"]

Short = Annotated[int, "four bytes"]
"""A whole number that stays below 2**31: an index of an array, a number of steps, parts in one buffer. What is at hand
in every round is kept small, so that long lines fit into the processor's nearest memory."""

Few = Annotated[int, "two bytes"]
"""As `Short`, for what stays below 2**15; `linesim.fast.layout` sees to it."""

Flag = Annotated[int, "one byte"]
"""Whether something is so."""
