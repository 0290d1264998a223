"""The words of what is carried to the floor: one catalogue in English, and translations as files of the same keys."""

from linesim.words.catalogue import ENGLISH, Words
from linesim.words.plurals import counted
from linesim.words.recognising import recognised
from linesim.words.saying import (
    Begun,
    Choice,
    Figure,
    Joined,
    KeptText,
    Series,
    begun,
    figure,
    in_a_row,
    keep,
    language,
    listed_words,
    localised,
    plainly,
    reader,
    reading,
    retell,
    say,
    spoken,
    within,
)  # fmt: skip

__all__ = [
    "ENGLISH",
    "Begun",
    "Choice",
    "Figure",
    "Joined",
    "KeptText",
    "Series",
    "Words",
    "begun",
    "counted",
    "figure",
    "in_a_row",
    "keep",
    "language",
    "listed_words",
    "localised",
    "plainly",
    "reader",
    "reading",
    "recognised",
    "retell",
    "say",
    "spoken",
    "within",
]
