"""How a study tells how far it is."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["Progress"]

Progress = Callable[[int, int], None]
"""Told how many runs are done, out of how many."""
