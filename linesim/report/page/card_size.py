"""How large the lettering of a card can be, so that all of it stays on one sheet of paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

__all__ = ["Text", "lettering_pt", "runs_on"]

_LARGEST_PT, _SMALLEST_PT, _STEP_PT = 14.0, 5.0, 0.25
_MM_PER_PT = 25.4 / 72.0
_LEADING = 1.28
_SIGN = 0.545
"""Mean width of a sign over the size of the lettering, generously: of DejaVu Sans, the widest of the usual faces."""
_FOOT_MM = 31.0
_RUNNING_ON_PT = 8.0
"""Lettering of a card that takes a second sheet in any case."""
_SURELY = 1.3
"""How far a card must overflow by the estimate, which is generous, to be sure that it does."""


class Text(NamedTuple):
    """A run of text on the card."""

    text: str
    share: float = 1.0
    """Of the card's width."""
    relative: float = 1.0
    """Of the card's lettering."""


def lettering_pt(blocks: Sequence[Sequence[Sequence[Text]]], between_mm: float, paper_mm: tuple[float, float]) -> float:
    """The largest lettering with which a card stays on its paper.

    Parameters
    ----------
    blocks : sequence
        From top to bottom; each holds columns that stand side by side, each of them texts one below the other.
    between_mm : float
        Room for rules, margins and drawings.
    paper_mm : tuple of two float
        Width and height that can be printed on.

    Returns
    -------
    float, pt
        14 at most and 5 at least; a card that is too full even for that goes on on a second sheet, in lettering that
        can be read.
    """
    if runs_on(blocks, between_mm, paper_mm):
        return _RUNNING_ON_PT
    size = _LARGEST_PT
    while size > _SMALLEST_PT and _filled_mm(blocks, between_mm, paper_mm, size) > paper_mm[1]:
        size -= _STEP_PT
    return size


def runs_on(blocks: Sequence[Sequence[Sequence[Text]]], between_mm: float, paper_mm: tuple[float, float]) -> bool:
    """Whether a card takes a second sheet even in the smallest lettering.

    Parameters
    ----------
    blocks, between_mm, paper_mm
        As for `lettering_pt`.
    """
    return _filled_mm(blocks, between_mm, paper_mm, _SMALLEST_PT) > _SURELY * paper_mm[1]


def _filled_mm(
    blocks: Sequence[Sequence[Sequence[Text]]], between_mm: float, paper_mm: tuple[float, float], size: float
) -> float:
    columns = ([_height_mm(column, paper_mm[0], size) for column in block] for block in blocks)
    return sum(max(heights, default=0.0) for heights in columns) + between_mm + _FOOT_MM


def _height_mm(column: Sequence[Text], width_mm: float, size: float) -> float:
    return sum(_lines(each, width_mm, size) * size * each.relative * _LEADING * _MM_PER_PT for each in column)


def _lines(each: Text, width_mm: float, size: float) -> int:
    """Lines that a text takes; words that do not fit go to the next line, and waste a little of it."""
    if not each.text:
        return 0
    signs = max(1.0, each.share * width_mm / (size * each.relative * _SIGN * _MM_PER_PT))
    room = max(1.0, signs - 2.0)
    return math.ceil(len(each.text) / room)
