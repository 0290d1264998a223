"""Moments, figures and sequence numbers as documents of MTConnect write them."""

from __future__ import annotations

import math
from datetime import UTC, datetime

__all__ = ["figure_in", "moment_of", "sequence_of"]

_FIRST_YEAR, _LAST_YEAR = 1950, 2100


def moment_of(text: str) -> datetime | None:
    """Return a moment, in UTC where the document says how far it is from it; None if it is none.

    >>> str(moment_of("2026-03-02T07:10:00.25+01:00")), moment_of("TIME")
    ('2026-03-02 06:10:00.250000', None)
    """
    try:
        moment = datetime.fromisoformat(text.strip()[:40])
        if moment.tzinfo is not None:
            moment = moment.astimezone(UTC).replace(tzinfo=None)
    except (ValueError, OverflowError):
        return None
    return moment if _FIRST_YEAR <= moment.year <= _LAST_YEAR else None


def sequence_of(text: str | None) -> int | None:
    """Return a sequence number; None if it is none."""
    return int(text) if text is not None and len(text) <= 20 and text.isascii() and text.isdigit() else None


def figure_in(text: str) -> float | None:
    """Return a finite figure; None if it is none."""
    try:
        value = float(text) if len(text) <= 40 else math.nan
    except ValueError:
        return None
    return value if math.isfinite(value) else None
