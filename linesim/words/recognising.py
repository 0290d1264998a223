"""A plain English text finds its key again: what has gone through a table, a store or a file of data has lost it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from linesim.words.catalogue import ENGLISH
from linesim.words.saying import KeptText, Series, figure, keep, language

__all__ = ["recognised"]

_FIGURE = re.compile(r"[-+]?\d+(\.\d+)?(e[-+]?\d+)?")
_NAME = re.compile(r"\{(\w+)(?::[^}]*)?\}")
_LEAST = 3
"""Signs of its own that an entry needs to be known by."""


def recognised(text: str, *groups: str) -> str:
    """A text of the catalogue with its key, so that it can be told to its reader.

    Parameters
    ----------
    text : str
        In English; one that knows its key stays as it is.
    *groups : str
        Sections of the catalogue in which it may stand, and what stands within it.

    Returns
    -------
    str
        As it was given where no entry gives exactly this text, and where English is read anyway.
    """
    if isinstance(text, KeptText) or language() == ENGLISH.language:
        return text
    for key, form, pattern in _patterns(groups):
        match = pattern.fullmatch(text)
        if match is not None:
            values = {name: _value(name, value, groups) for name, value in match.groupdict().items()}
            kept = keep(key, **({"count": 1} if form == "one" else {}) | values)
            if kept == text:
                return kept
    return text


def _value(name: str, text: str, groups: tuple[str, ...]) -> Any:
    """What stood in place of a name in braces."""
    if name == "count" and text.isdigit():
        return int(text)
    if _FIGURE.fullmatch(text):
        return figure(text)
    several = [recognised(each, *groups) for each in text.split("; ")]
    if len(several) > 1 and all(isinstance(each, KeptText) for each in several):
        return Series(several)
    known = recognised(text, *groups)
    if known is text and "; " in text:
        return Series(recognised(each, *groups) for each in text.split("; "))
    return [recognised(each, *groups) for each in text.split(", ")] if known is text and ", " in text else known


@cache
def _patterns(groups: tuple[str, ...]) -> list[tuple[str, str, re.Pattern[str]]]:
    """Entries of some sections as patterns; those with most signs of their own first."""
    texts = [
        (key, form, text)
        for key, entry in ENGLISH.entries.items()
        if key.partition(".")[0] in groups
        for form, text in ({"": entry} if isinstance(entry, str) else entry).items()
    ]
    ranked = sorted(((len(_NAME.sub("", text)), key, form, text) for key, form, text in texts), reverse=True)
    return [
        (key, form, re.compile("".join(_pieces(text)), re.DOTALL)) for own, key, form, text in ranked if own >= _LEAST
    ]


def _pieces(text: str) -> Iterator[str]:
    """A text as a pattern, with a group for each name in braces; the same name stands for the same text."""
    seen: set[str] = set()
    for at, piece in enumerate(_NAME.split(text)):
        if at % 2 == 0:
            yield re.escape(piece)
        elif piece in seen:
            yield f"(?P={piece})"
        else:
            seen.add(piece)
            yield rf"(?P<{piece}>\d+)" if piece == "count" else f"(?P<{piece}>.+?)"
