"""What a picture says, in the words of its reader."""

from __future__ import annotations

from linesim.report.theme.safe import in_picture
from linesim.words import say

__all__ = ["lettered"]

_MOST = 200


def lettered(key: str, **values: object) -> str:
    """What stands under a key, as a picture takes it: no markup is read in it.

    >>> lettered("search.parts", parts="%{x}")
    '%{x} parts'
    """
    return in_picture(say(key, **values), _MOST)
