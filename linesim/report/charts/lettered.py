"""What a picture says, in the words of its reader."""

from __future__ import annotations

import textwrap

from linesim.report.theme.safe import in_picture
from linesim.words import say

__all__ = ["along", "lettered", "upright"]

_MOST = 200
_ALONG, _UPRIGHT = 95, 42
"""Signs in one line along and beside a picture; English titles are shorter."""


def lettered(key: str, **values: object) -> str:
    """What stands under a key, as a picture takes it: no markup is read in it.

    >>> lettered("search.parts", parts="%{x}")
    '%{x} parts'
    """
    return in_picture(say(key, **values), _MOST)


def along(text: str, most: int = _ALONG) -> str:
    """The title of an axis along a picture, in as many lines as it needs; no markup is read in it.

    >>> along("share of time"), along("a " * 60).count("<br>")
    ('share of time', 1)
    """
    return _in_lines(text, most)


def upright(text: str) -> str:
    """The title of an axis beside a picture, in as many lines as it needs; no markup is read in it."""
    return _in_lines(text, _UPRIGHT)


def _in_lines(text: str, most: int) -> str:
    lines = textwrap.wrap(in_picture(text, _MOST), most, break_long_words=False, break_on_hyphens=False)
    return "<br>".join(lines)
