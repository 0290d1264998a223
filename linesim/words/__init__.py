"""The words of what is carried to the floor: one catalogue in English, and translations as files of the same keys."""

from linesim.words.catalogue import ENGLISH, Words
from linesim.words.saying import Choice, KeptText, keep, language, listed_words, localised, reading, retell, say

__all__ = [
    "ENGLISH",
    "Choice",
    "KeptText",
    "Words",
    "keep",
    "language",
    "listed_words",
    "localised",
    "reading",
    "retell",
    "say",
]
