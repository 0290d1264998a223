"""Small pictures for paper as SVG: bars by week with their bands, and intervals one below the other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from linesim.report.theme.grid import plain
from linesim.report.theme.shown import number

__all__ = ["Bar", "Span", "bars", "spans"]

_WIDTH, _HEIGHT = 180.0, 44.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 12.0, 28.0, 4.0, 7.0
_GREY, _TEXT = "#bbb", 3.0
_ROW, _NAMES = 5.2, 78.0
_MOST_SIGNS = 42
_BAR_SHARE = 0.6

_BAR = Markup('<rect x="{:.2f}" y="{:.2f}" width="{:.2f}" height="{:.2f}" fill="{}" stroke="#000" stroke-width=".2"/>')
_STROKE = Markup(
    '<line x1="{:.2f}" y1="{:.2f}" x2="{:.2f}" y2="{:.2f}" stroke="#000" stroke-width="{}" stroke-dasharray="{}"/>'
)
_LETTERS = Markup('<text x="{:.2f}" y="{:.2f}" font-size="{}" text-anchor="{}">{}</text>')
_DRAWING = Markup(
    '<svg width="{w}mm" height="{h:.1f}mm" viewBox="0 0 {w} {h:.1f}" role="img" aria-label="{words}">{inner}</svg>'
)


class Bar(NamedTuple):
    """One bar: what stands below it, its height, and between what it may lie."""

    name: str
    mean: float
    low: float
    high: float


class Span(NamedTuple):
    """A figure with its interval."""

    name: str
    mean: float
    half_width: float


def bars(rows: Sequence[Bar], limit: float, words: str) -> Markup:
    """Upright bars with bands, and a line across at a limit.

    Parameters
    ----------
    rows : sequence of Bar
        From left to right, 0 or more.
    limit : float
        Not drawn unless above 0.
    words : str
        What is seen, for those who do not see it, and beside the line at the limit.

    Returns
    -------
    markupsafe.Markup
        SVG; names are escaped.
    """
    top = max([limit, *(row.high for row in rows), 1e-9]) * 1.08
    high, wide = _HEIGHT - _TOP - _BOTTOM, (_WIDTH - _LEFT - _RIGHT) / max(1, len(rows))

    def up(value: float) -> float:
        return _TOP + high * (1.0 - value / top)

    inner = [_text(_LEFT - 1.5, up(0.0), "0", "end"), _line(_LEFT, up(0.0), _WIDTH - _RIGHT, up(0.0), 0.3)]
    for at, row in enumerate(rows):
        middle = _LEFT + wide * (at + 0.5)
        inner += [
            _BAR.format(
                middle - wide * _BAR_SHARE / 2.0, up(row.mean), wide * _BAR_SHARE, up(0.0) - up(row.mean), _GREY
            ),
            _line(middle, up(row.low), middle, up(row.high), 0.5),
            _text(middle, _HEIGHT - 2.5, row.name, "middle"),
        ]  # fmt: skip
    if limit > 0.0:
        inner += [
            _line(_LEFT, up(limit), _WIDTH - _RIGHT, up(limit), 0.5, "2 1.2"),
            _text(_LEFT - 1.5, up(limit) + 1.0, number(limit, 0), "end"),
            _text(_WIDTH - _RIGHT + 1.5, up(limit) + 1.0, words, "start"),
        ]
    return _svg(_HEIGHT, words, inner)


def spans(rows: Sequence[Span], words: str) -> Markup:
    """Points with their intervals one below the other, and an upright line at 0.

    Parameters
    ----------
    rows : sequence of Span
        From the top.
    words : str
        What is seen, for those who do not see it.

    Returns
    -------
    markupsafe.Markup
    """
    ends = [0.0, *(row.mean + sign * row.half_width for row in rows for sign in (-1.0, 1.0))]
    low, high = min(ends), max(ends)
    reach = max(high - low, 1e-9)

    def along(value: float) -> float:
        return _NAMES + 4.0 + (_WIDTH - _NAMES - 8.0) * (value - low) / reach

    height = _ROW * len(rows) + 2.0
    inner = [_line(along(0.0), 0.5, along(0.0), height - 0.5, 0.3, "1 1")]
    for at, row in enumerate(rows):
        y = _ROW * (at + 0.6)
        inner += [
            _text(_NAMES, y + 1.0, _short(row.name), "end"),
            _line(along(row.mean - row.half_width), y, along(row.mean + row.half_width), y, 0.8),
            Markup('<circle cx="{:.2f}" cy="{:.2f}" r="1.3"/>').format(along(row.mean), y),
        ]  # fmt: skip
    return _svg(height, words, inner)


def _short(name: str) -> str:
    return name if len(name) <= _MOST_SIGNS else f"{name[: _MOST_SIGNS - 1]}…"


def _svg(height: float, words: str, inner: Sequence[Markup]) -> Markup:
    return _DRAWING.format(w=int(_WIDTH), h=height, words=plain(words), inner=Markup("").join(inner))


def _line(x1: float, y1: float, x2: float, y2: float, thick: float, dashes: str = "none") -> Markup:
    ends = (value if math.isfinite(value) else 0.0 for value in (x1, y1, x2, y2))
    return _STROKE.format(*ends, thick, dashes)


def _text(x: float, y: float, text: str, anchor: str) -> Markup:
    return _LETTERS.format(x, y, _TEXT, anchor, plain(text))
