"""A plain English text finds its key again: what has gone through a table, a store or a file of data has lost it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from linesim.words.catalogue import ENGLISH
from linesim.words.saying import KeptText, figure, keep, language

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
    for key, pattern in _patterns(groups):
        found = pattern.fullmatch(text)
        if found is not None:
            kept = keep(key, **{name: _value(name, value, groups) for name, value in found.groupdict().items()})
            if kept == text:
                return kept
    return text


def _value(name: str, text: str, groups: tuple[str, ...]) -> Any:
    """What stood in place of a name in braces."""
    if name == "count" and text.isdigit():
        return int(text)
    return figure(text) if _FIGURE.fullmatch(text) else recognised(text, *groups)


@cache
def _patterns(groups: tuple[str, ...]) -> list[tuple[str, re.Pattern[str]]]:
    """Entries of some sections as patterns; those with most signs of their own first."""
    texts = [
        (key, text)
        for key, entry in ENGLISH.entries.items()
        if key.partition(".")[0] in groups
        for text in ([entry] if isinstance(entry, str) else entry.values())
    ]
    ranked = sorted(((len(_NAME.sub("", text)), key, text) for key, text in texts), reverse=True)
    return [(key, re.compile("".join(_pieces(text)), re.DOTALL)) for own, key, text in ranked if own >= _LEAST]


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
