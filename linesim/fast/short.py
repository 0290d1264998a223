"""The width of what a compiled run has at hand in every round."""

from __future__ import annotations

from typing import Annotated

__all__ = ["Short"]

Short = Annotated[int, "four bytes"]
"""A whole number that stays below 2**31: a place in an array, a number of steps, parts in one place. What is at hand in
every round is kept small, so that long lines fit into the processor's nearest memory."""
