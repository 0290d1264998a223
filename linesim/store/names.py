"""Names that people give to what the store keeps: in one form, on one line."""

from __future__ import annotations

import unicodedata

__all__ = ["one_line"]


def one_line(text: str, longest: int) -> str:
    """A name as it is kept; empty if it is none: too short, too long, or with signs that cannot be shown.

    >>> one_line("  Two   blades ", 40), one_line("x" * 41, 40)
    ('Two blades', '')
    """
    name = " ".join(unicodedata.normalize("NFC", text).split())
    return name if len(name) <= longest and name.isprintable() else ""
