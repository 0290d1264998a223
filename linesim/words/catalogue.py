"""The catalogue: every sentence and label of the sheets by its key, and what a translation of it may be."""

from __future__ import annotations

import string
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from linesim.words.plurals import FORMS
from linesim.yaml_text import read_plain

__all__ = ["ENGLISH", "Entry", "Words", "flat", "placeholders", "template"]

Entry = str | Mapping[str, str]
"""A text, or one text for each form that goes with its ``{count}``."""

_FILE = "en.yaml"


@dataclass(frozen=True)
class Words:
    """The words of one reader.

    Attributes
    ----------
    language : str
        Its tag, such as "de" (BCP 47).
    plural : str
        How its forms go with a count: a key of `linesim.words.plurals.PLURALS`.
    entries : mapping of str to Entry
        Texts by key; keys that are missing are said in English.
    """

    language: str
    plural: str
    entries: Mapping[str, Entry] = field(repr=False)

    def entry(self, key: str) -> tuple[Entry, str]:
        """A text with its placeholders, and the rule by which its forms go.

        Raises
        ------
        KeyError
            There are no words for this key, in English either: a mistake in the program.
        """
        own = self.entries.get(key)
        if own is not None:
            return own, self.plural
        if key not in ENGLISH.entries:
            raise KeyError(f"{_FILE} has no words for {key!r}")
        return ENGLISH.entries[key], ENGLISH.plural

    @property
    def missing(self) -> list[str]:
        """Keys that are said in English."""
        return [key for key in ENGLISH.entries if key not in self.entries]


def placeholders(text: str) -> frozenset[tuple[str, str]]:
    """Names in braces with the digits that they ask for.

    Raises
    ------
    ValueError
        The braces do not close, or hold anything but a name and digits.

    >>> sorted(placeholders("{share:.0%} of {name}"))
    [('name', ''), ('share', '.0%')]
    """
    names = set()
    for _, name, digits, conversion in string.Formatter().parse(text):
        if name is not None:
            if not name.isidentifier() or conversion or "{" in (digits or ""):
                raise ValueError(f"{{{name}}} is no name in braces")
            names.add((name, digits or ""))
    return frozenset(names)


def is_plural(value: object) -> bool:
    """Whether a group of entries holds the forms of one text."""
    return isinstance(value, Mapping) and bool(value) and "other" in value and set(value) <= set(FORMS)


def flat(tree: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Entry]]:
    """Entries of a tree by their keys, with points between.

    >>> dict(flat({"cards": {"change": "x", "part": {"one": "1", "other": "n"}}}))
    {'cards.change': 'x', 'cards.part': {'one': '1', 'other': 'n'}}
    """
    for name, value in tree.items():
        if isinstance(value, Mapping) and not is_plural(value):
            yield from flat(value, f"{before}{name}.")
        else:
            yield f"{before}{name}", value


def template() -> str:
    """The catalogue as a file to begin a translation with."""
    return files(__package__).joinpath(_FILE).read_text(encoding="utf-8")


def _english() -> Words:
    tree = read_plain(template())
    language, plural = tree.pop("language"), tree.pop("plural")
    return Words(language, plural, dict(flat(tree)))


ENGLISH: Words = _english()
"""The whole catalogue."""
