"""Which form of a sentence goes with a count, in the languages that workshops speak."""

from __future__ import annotations

from collections.abc import Callable, Mapping

__all__ = ["FORMS", "PLURALS", "counted", "form_of"]

FORMS = ("one", "few", "many", "other")
"""Names of the forms, as Unicode's Common Locale Data Repository has them; "other" goes for whatever is not named."""


def _english(count: int) -> str:
    return "one" if count == 1 else "other"


def _french(count: int) -> str:
    return "one" if count in (0, 1) else "other"


def _east_slavic(count: int) -> str:
    if count % 10 == 1 and count % 100 != 11:
        return "one"
    return "few" if count % 10 in (2, 3, 4) and count % 100 not in (12, 13, 14) else "many"


def _polish(count: int) -> str:
    if count == 1:
        return "one"
    return "few" if count % 10 in (2, 3, 4) and count % 100 not in (12, 13, 14) else "many"


def _czech(count: int) -> str:
    return "one" if count == 1 else "few" if count in (2, 3, 4) else "other"


PLURALS: Mapping[str, Callable[[int], str]] = {
    "english": _english, "french": _french, "none": lambda _: "other", "east slavic": _east_slavic,
    "polish": _polish, "czech": _czech,
}  # fmt: skip
"""Rules by the name under which a file of words asks for one (Unicode CLDR, Language Plural Rules, cardinals; from
memory). German, Italian, Spanish, Turkish and Hindi go with "english" near enough, Chinese and Japanese with "none"."""


def form_of(rule: str, count: float) -> str:
    """The form that goes with a count.

    Parameters
    ----------
    rule : str
        A key of `PLURALS`.
    count : float
        0 or more; one with a fraction takes the form "other".

    >>> form_of("english", 1), form_of("english", 1.5), form_of("east slavic", 22), form_of("polish", 12)
    ('one', 'other', 'few', 'many')
    """
    return PLURALS[rule](int(count)) if float(count).is_integer() else "other"


def counted(count: int, one: str, other: str) -> str:
    """So many things, in an English text that no sheet carries.

    >>> counted(1, "edge", "edges"), counted(0, "edge", "edges")
    ('1 edge', '0 edges')
    """
    return f"{count} {one if count == 1 else other}"
