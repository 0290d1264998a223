"""Where an error came from: the names of the sources in which the account of an error is kept."""

from __future__ import annotations

from enum import IntEnum

from linesim.words import keep

__all__ = ["Source", "source_words"]


class Source(IntEnum):
    """What moves the error of a place, along the model's equations of size, position, tilt and form."""

    CASTING = 0
    DEFLECTION = 1
    WEAR = 2
    STRESS = 3
    DISTURBANCE = 4
    CHIPS = 5
    CHANCE = 6
    GAUGING = 7
    RECUT = 8
    NOT_CLEANED_UP = 9
    SALVAGE = 10
    HEATS = 11
    LEADER = 12
    WHEEL = 13
    OWN_SIZE = 14
    FAULTS = 15
    FIXTURE = 16
    DATUM = 17
    WARMTH = 18
    AIM = 19
    SETTING = 20
    CUT_HEAT = 21
    CLAMPING = 22
    SPINDLE = 23
    OWN_FORM = 24

    @property
    def words(self) -> str:
        """The source as a person says it."""
        return _WORDS[self]


_WORDS = {source: keep(f"sources.{source.name.lower()}") for source in Source}

_KEPT: dict[str, str] = {str(words): words for words in _WORDS.values()}


def source_words(text: str) -> str:
    """A source as a table has it, which a page says in its reader's language."""
    return _KEPT.get(text, text)
