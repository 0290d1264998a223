"""Papers that sheets are printed on."""

from __future__ import annotations

__all__ = ["MARGINS_MM", "PAPERS_MM"]

PAPERS_MM = {"A4": (210, 297), "Letter": (216, 279)}
"""Width and height of the papers, mm (ISO 216; ANSI/ASME Y14.1)."""

MARGINS_MM = (24, 18)
"""Of the paper, both sides together."""
