"""The words of the trade, each with its sentence: read from the page of the manual that lists them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from linesim.manual import page

__all__ = ["meanings", "word_help"]

_ENTRY = re.compile(r"^- \*\*(?P<word>.+?)\*\*(?: \((?P<others>.+?)\))?: (?P<sentence>.+)$", re.MULTILINE)
_UNIT = re.compile(r",\s+[^,()]*$|\s+%$")
"""What stands behind a word in a column's head: its unit."""


@cache
def _words() -> dict[str, tuple[str, str]]:
    """Word and sentence by every name, in small letters."""
    known: dict[str, tuple[str, str]] = {}
    for entry in _ENTRY.finditer(page("words")):
        word, sentence = entry["word"], entry["sentence"]
        for name in (word, *_others(entry["others"] or "")):
            known.setdefault(name.lower(), (word, sentence[:1].upper() + sentence[1:]))
    return known


def _others(text: str) -> list[str]:
    """Other names, between commas; a comma within a name stands before its unit, and comes off with it."""
    return [part.strip() for part in re.split(r"[,;]\s", text)]


def _known(heading: str) -> tuple[str, str] | None:
    """The entry of a heading, with its unit or without it."""
    text = heading.strip().lower()
    if not text:
        return None
    return _words().get(text) or _words().get(_UNIT.sub("", text))


def word_help(heading: str) -> str:
    """The sentence of a column's head or of a figure's name.

    Parameters
    ----------
    heading : str
        As it stands on a page, with its unit or without.

    Returns
    -------
    str
        Empty if it is no word of the list.

    >>> word_help("quality loss, EUR")[:40], word_help("Op 60")
    ('Money that deviation from the aim costs ', '')
    """
    entry = _known(heading)
    return entry[1] if entry else ""


def meanings(headings: Iterable[str]) -> dict[str, str]:
    """The words among some headings, each once, with their sentences.

    >>> list(meanings(["policy", "busy, %", "busy, %", "Op 60"]))
    ['policy', 'busy']
    """
    return dict(entry for heading in headings if (entry := _known(heading)))
