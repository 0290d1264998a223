"""Saying what stands on a sheet in the words of its reader."""

from __future__ import annotations

import functools
import string
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

from linesim.words.catalogue import ENGLISH, Words
from linesim.words.plurals import form_of

__all__ = [
    "Begun", "Choice", "Figure", "Joined", "KeptText", "Series", "begun", "figure", "in_a_row", "keep", "language",
    "listed_words", "localised", "plainly", "reader", "reading", "retell", "say", "spoken", "within",
]  # fmt: skip

_Drawn = TypeVar("_Drawn")
_Of = TypeVar("_Of")

_reader: ContextVar[Words] = ContextVar("words of whoever reads", default=ENGLISH)


class KeptText(str):
    """An English text that knows its key, so that it can be said in a reader's words later on.

    What a study keeps in its tables and records is such a text: plain English for machines, files and comparisons.
    """

    __slots__ = ("key", "values")

    key: str
    values: Mapping[str, Any]


class Figure(str):
    """A figure for people that knows how Python has written it, so that it can be told with a reader's own signs."""

    __slots__ = ("written",)

    written: str


class Begun(str):
    """A text that stands at the beginning of a sentence: told, its first letter is a capital one."""

    __slots__ = ("text",)

    text: str


class Within(str):
    """A text that stands within a sentence: told, its first letter is a small one."""

    __slots__ = ("text",)

    text: str


class Choice(tuple[str, ...]):
    """Texts of which one holds: they stand with "or" between them."""

    __slots__ = ()


class Series(tuple[str, ...]):
    """Texts one after another, some with commas of their own: they stand with semicolons between them."""

    __slots__ = ()


class Joined(tuple[str, ...]):
    """Texts that go together: they stand with "and" before the last."""

    __slots__ = ()


@contextmanager
def reading(words: Words) -> Iterator[None]:
    """Within this, `say` and `retell` speak a reader's language, and figures are written as he writes them."""
    token = _reader.set(words)
    try:
        yield
    finally:
        _reader.reset(token)


def reader() -> Words:
    """The words that are spoken now."""
    return _reader.get()


def plainly(texts: Callable[[_Of], Iterable[str]], of: _Of) -> tuple[str, ...]:
    """Texts about something in English, whoever reads: what an answer keeps and a file holds."""
    with reading(ENGLISH):
        return tuple(texts(of))


def spoken(draw: Callable[..., _Drawn]) -> Callable[..., _Drawn]:
    """The same function, which speaks the words of now whenever it is called: later, or in another thread."""
    words = reader()

    @functools.wraps(draw)
    def drawn(*given: Any, **named: Any) -> _Drawn:
        with reading(words):
            return draw(*given, **named)

    return drawn


def language() -> str:
    """The tag of the language that is spoken now."""
    return _reader.get().language


def say(key: str, **values: object) -> str:
    """What stands under a key, with its placeholders filled in, in the words of the reader.

    Parameters
    ----------
    key : str
        Of the catalogue.
    **values
        One for each placeholder; ``count`` chooses the form where there are several. A list stands with commas, and a
        text that was kept is told.

    Raises
    ------
    KeyError
        There is no such key, or a placeholder has no value.

    >>> say("cards.parts", count=1), say("cards.parts", count=14)
    ('1 part', '14 parts')
    """
    return _worded(_reader.get(), key, values)


def keep(key: str, **values: object) -> KeptText:
    """What stands under a key in English, to be told in a reader's words later; parameters as for `say`."""
    with reading(ENGLISH):
        text = KeptText(_worded(ENGLISH, key, values))
    text.key, text.values = key, values
    return text


def retell(text: str) -> str:
    """A text that was kept, in the words of the reader, and a figure with his signs; any other text as it stands."""
    if isinstance(text, KeptText):
        return say(text.key, **text.values)
    if isinstance(text, Figure):
        return localised(text.written)
    if isinstance(text, Within):
        return _small(retell(text.text))
    return _capital(retell(text.text)) if isinstance(text, Begun) else text


def figure(written: str) -> Figure:
    """A figure that Python has written, to be told with the signs of whoever reads it, now and later.

    >>> figure("1,234.5") == localised("1,234.5")
    True
    """
    shown = Figure(localised(written))
    shown.written = written
    return shown


def begun(text: str) -> Begun:
    """A text as it stands at the beginning of a sentence, now and in a reader's words later.

    >>> begun("two of them")
    'Two of them'
    """
    opening = Begun(_capital(text))
    opening.text = text
    return opening


def within(text: str) -> Within:
    """A sentence as it stands behind the name of what it is about, now and in a reader's words later.

    >>> within("Still does not hold")
    'still does not hold'
    """
    inner = Within(_small(text))
    inner.text = text
    return inner


def _small(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def in_a_row(texts: Sequence[str]) -> str:
    """Sentences one after another, now and in a reader's words later; empty for none.

    >>> in_a_row(["It rains.", "Stay."])
    'It rains. Stay.'
    """
    return functools.reduce(lambda first, then: keep("format.then", first=first, then=then), texts) if texts else ""


def listed_words(texts: Sequence[str]) -> str:
    """Texts in a row, as the reader sets them apart."""
    return say("format.comma").join(map(retell, texts))


def localised(text: str) -> str:
    """A figure that Python has written, with the reader's point and his sign between thousands.

    >>> localised("1234.5")
    '1234.5'
    """
    signs = {".": say("format.decimal"), ",": say("format.thousands")}
    return "".join(signs.get(sign, sign) for sign in text)


class _Filling(string.Formatter):
    """Fills in placeholders; it is given names alone, as files of words are looked through before."""

    def format_field(self, value: Any, format_spec: str) -> str:
        """A value as its reader writes it."""
        if isinstance(value, str):
            return retell(value)
        if isinstance(value, Choice):
            return say("format.or").join(map(retell, value))
        if isinstance(value, Joined) and len(value) > 1:
            return say("format.and", first=list(value[:-1]), last=value[-1])
        if isinstance(value, Series):
            return say("format.semicolon").join(map(retell, value))
        if isinstance(value, (list, tuple)):
            return listed_words(value)
        if format_spec.endswith("%"):
            return say("format.percent", figure=localised(format(value, format_spec)[:-1]))
        return localised(format(value, format_spec)) if format_spec else str(value)


_FILLING = _Filling()


def _worded(words: Words, key: str, values: Mapping[str, Any]) -> str:
    entry, rule = words.entry(key)
    if not isinstance(entry, str):
        entry = entry.get(form_of(rule, values["count"])) or entry["other"]
    return _FILLING.vformat(entry, (), values) if "{" in entry else entry
