"""The foot of a printed page: what was printed, of which revision, when, by whom, and room for a signature."""

from __future__ import annotations

from datetime import datetime

from linesim.report.theme.markup import bullets
from linesim.report.theme.safe import short
from linesim.report.theme.shown import moment_words
from linesim.words import say

__all__ = ["signed_foot"]

_REVISION = 10
"""Signs of the scenario's digest that are printed; any change of any entry changes them."""


def signed_foot(name: str, origin: str, digest: str, printed: datetime, author: str = "") -> str:
    """The foot as HTML, everything escaped.

    Parameters
    ----------
    name, origin : str
        Of the scenario, and where it came from.
    digest : str
        Of its content.
    printed : datetime
        When, as the clock of the server shows it.
    author : str
        Who prints; room is left to write it where that is not known.

    Returns
    -------
    str
    """
    texts = (
        say("frame.scenario", name=short(name, 80), origin=short(origin, 60)),
        say("frame.revision", revision=digest[:_REVISION], printed=moment_words(printed)),
        say("frame.author", author=short(author, 60)),
        say("frame.signature"),
    )
    return bullets(texts, "signed")
