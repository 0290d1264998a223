"""A page for the office: one self-contained HTML file that asks nothing of a network or of other files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup
from plotly.offline import get_plotlyjs

from linesim import __version__
from linesim.report.charts.frame import theme
from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.colours import DAY, NIGHT
from linesim.report.theme.pieces import Entry, Section
from linesim.report.theme.render import render, style, variables
from linesim.words import ENGLISH, listed_words, localised, retell, say

__all__ = ["Page", "entries", "page_html"]

_ALLOWED = "img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
"""What a browser may load for a page: nothing from outside."""

_SHOWN = {"counted_min": "counted", "warm_up_min": "warm_up", "digest": "digest_of"}
"""Entries of the title block that are said otherwise than a file has them, by their keys."""
_NARROW = 24
"""Signs that fit into a narrow entry of the title block."""


@dataclass(frozen=True)
class Page:
    """What stands on a page.

    Attributes
    ----------
    name : str
        Of the works.
    lettering : str
        What kind of page it is.
    question : str
        What was asked.
    sentences : sequence of str
        The answer, then what belongs to it.
    is_settled : bool
        Whether the data carry the answer.
    sections : sequence of Section
        Numbered in this order; the cautions follow as the last one.
    block : sequence of Entry
        What is needed to make the page again.
    about : str
        A remark on the works.
    scenario : str
        As a file has it; folded away before the cautions. Empty for none.
    """

    name: str
    lettering: str
    question: str
    sentences: Sequence[str]
    is_settled: bool
    sections: Sequence[Section]
    block: Sequence[Entry]
    about: str = ""
    scenario: str = ""


def page_html(page: Page) -> str:
    """A page as HTML.

    Parameters
    ----------
    page : Page
        What stands on it; every text is escaped.

    Returns
    -------
    str
        It follows the light of the screen, and is printed by day.
    """
    return render(
        "page.html",
        page=page,
        title=page.name,
        version=__version__,
        allowed=_ALLOWED,
        style=style("page.css"),
        day=variables(DAY),
        night=variables(NIGHT),
        library=Markup(get_plotlyjs()),  # noqa: S704 - the library's own code
        day_theme=theme(DAY),
        night_theme=theme(NIGHT),
        cautions=CAUTIONS,
    )


def entries(provenance: Mapping[str, object], command: str | None) -> list[Entry]:
    """The title block of a page: where its figures come from, and the command that made it.

    Parameters
    ----------
    provenance : mapping
        Of the result.
    command : str or None
        None if it was made from Python.

    Returns
    -------
    list of Entry
        What is not known is left out.
    """
    known = {name: _value_words(name, value) for name, value in provenance.items() if value not in (None, {}, "")}
    listed = [Entry(_name_words(name), text, "half" if len(text) > _NARROW else "") for name, text in known.items()]
    return [*listed, Entry(say("origin.command"), command or say("report.from_python"), "all")]


def _name_words(name: str) -> str:
    key = f"origin.{_SHOWN.get(name, name)}"
    return say(key) if key in ENGLISH.entries else name.replace("_", " ")


def _value_words(name: str, value: object) -> str:
    """A value of the title block; minutes with their unit."""
    if name.endswith("_min"):
        return say("report.minutes", minutes=value)
    if isinstance(value, (list, tuple)):
        return listed_words(list(map(str, value)))
    return retell(value) if isinstance(value, str) else localised(str(value))
