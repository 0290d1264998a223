"""The words of what is carried to the floor: one catalogue in English, and translations as files of the same keys."""

from linesim.words.catalogue import ENGLISH, Words
from linesim.words.plurals import counted
from linesim.words.saying import (
    Begun,
    Choice,
    Figure,
    Joined,
    KeptText,
    begun,
    figure,
    keep,
    language,
    listed_words,
    localised,
    reading,
    retell,
    say,
)  # fmt: skip

__all__ = [
    "ENGLISH",
    "Begun",
    "Choice",
    "Figure",
    "Joined",
    "KeptText",
    "Words",
    "begun",
    "counted",
    "figure",
    "keep",
    "language",
    "listed_words",
    "localised",
    "reading",
    "retell",
    "say",
]
