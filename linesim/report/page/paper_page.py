"""A sheet for paper: one HTML file without scripts, its pictures small SVG, black on white."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.report.theme.paper import room_mm
from linesim.report.theme.pieces import Section
from linesim.report.theme.render import render_sheets

__all__ = ["PaperPage", "paper_html"]

_USUAL_PT = 10.0


@dataclass(frozen=True)
class PaperPage:
    """What stands on a sheet for paper.

    Attributes
    ----------
    kind, title, whose : str
        What kind of sheet it is, its title, and for what it holds.
    first : sequence of str
        What must be read before anything else; stands in a frame.
    answer : str
        In one sentence.
    sentences : sequence of str
        What belongs to it.
    sections : sequence of Section
        With headings.
    signatures : sequence of (str, str)
        At the foot; an empty value leaves a line to be written on.
    origin : str
        Where the figures come from.
    """

    kind: str
    title: str
    whose: str
    first: Sequence[str]
    answer: str
    sentences: Sequence[str]
    sections: Sequence[Section]
    signatures: Sequence[tuple[str, str]]
    origin: str


def paper_html(page: PaperPage, paper: str = "A4", size_pt: float = _USUAL_PT) -> str:
    """A sheet as HTML.

    Parameters
    ----------
    page : PaperPage
        What stands on it; every text is escaped.
    paper : {"A4", "Letter"}
        On which it is printed.
    size_pt : float
        Of the lettering.

    Returns
    -------
    str
        It asks for nothing outside itself, and holds no script.
    """
    return render_sheets(
        "paper.html",
        paper,
        room_mm(paper),
        "paper.css",
        page=page,
        title=f"{page.kind}: {page.title}",
        size=f"{size_pt:.2f}",
    )
