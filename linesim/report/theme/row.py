"""A few figures side by side."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.report.theme.render import call

__all__ = ["figure_row"]


def figure_row(figures: Sequence[tuple[str, str, str]]) -> str:
    """Figures in a row as HTML: what, value, and its unit or more about it; everything escaped.

    >>> figure_row([("shift", "3", "of five")])
    '<dl class="figures"><div><dt>shift</dt><dd>3<small>of five</small></dd></div></dl>'
    """
    return call("figures", figures)
