"""Rows of a compiled run that only tell: events of a trace, and lengths of time as the plan has them."""

from __future__ import annotations

__all__ = ["TimeRow", "TraceRow"]


class TraceRow:
    """One event of a trace."""

    minute: float
    what: int
    machine: int
    subject: int
    """State, serial number of the part, or mount."""
    count: int
    """Parts that the edge has done."""
    life_share: float
    role: int
    """Why the set was changed."""


class TimeRow:
    """One length of time."""

    distribution: int
    p1: float
    p2: float
    p3: float
    list_first: int
    list_end: int
