"""What stands on controls, in the words of whoever looks: Markdown is read there, and obeys nobody's file of words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from linesim.report.theme.safe import in_markdown
from linesim.words import ENGLISH, reader, say

__all__ = ["label", "labels"]

_LONGEST = 600


def label(key: str, **values: object) -> str:
    """What stands under a key, for a control or a line of Markdown; parameters as for `linesim.words.say`.

    Names of a scenario among the values are made harmless, and so are words that somebody has sent.
    """
    if reader() is not ENGLISH:
        return in_markdown(say(key, **values), _LONGEST)
    plain = {name: in_markdown(value, _LONGEST) if isinstance(value, str) else value for name, value in values.items()}
    return say(key, **plain)


def labels(keys: Mapping[str, str]) -> Callable[[str], str]:
    """What each of some choices is called now, by its key: for a control, which may ask later and elsewhere."""
    return {choice: label(key) for choice, key in keys.items()}.__getitem__
