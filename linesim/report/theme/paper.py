"""Papers that sheets are printed on."""

from __future__ import annotations

__all__ = ["MARGINS_MM", "PAPERS_MM", "room_mm"]

PAPERS_MM = {"A4": (210, 297), "Letter": (216, 279)}
"""Width and height of the papers, mm (ISO 216; ANSI/ASME Y14.1)."""

MARGINS_MM = (24, 18)
"""Of the paper, both sides together."""


def room_mm(paper: str, margins_mm: tuple[int, int] = MARGINS_MM) -> tuple[int, int]:
    """Width and height that a paper leaves within its margins, mm.

    >>> room_mm("A4")
    (186, 279)
    """
    width, height = PAPERS_MM[paper]
    return width - margins_mm[0], height - margins_mm[1]
