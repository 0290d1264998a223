"""``linesim cards``: a tool-change card for each operation, to hang at the machine."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from linesim import __version__
from linesim.cards import tool_cards
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, ScenarioFile
from linesim.cli.output import PageOutlet, announce_compiling
from linesim.errors import StudyError
from linesim.report.files.pdf_file import check_pdf, write_pdf
from linesim.report.page.cards_page import Signatures, cards_page
from linesim.report.terminal.cards import cards_text
from linesim.report.theme.paper import PAPERS_MM
from linesim.report.theme.shown import SYSTEMS, System
from linesim.works import digest, load_works

__all__ = ["cards"]

Previous = Annotated[
    str | None,
    typer.Option("--previous", metavar="NAME", help="Policy that it replaces; today's practice unless given."),
]
Pdf = Annotated[Path | None, typer.Option("--pdf", metavar="FILE", help="Write the cards as a PDF.")]
Paper = Annotated[str, typer.Option("--paper", metavar="NAME", help="A4 or Letter.")]
Units = Annotated[str, typer.Option("--units", metavar="NAME", help="metric or inch, on the cards.")]
Revision = Annotated[str, typer.Option("--revision", metavar="TEXT", help="Of the cards, as the works counts them.")]
Proposed = Annotated[str, typer.Option("--proposed-by", metavar="NAME", help="Left out: a line to sign on.")]
Approved = Annotated[str, typer.Option("--approved-by", metavar="NAME", help="Left out: a line to sign on.")]
ValidFrom = Annotated[str, typer.Option("--valid-from", metavar="DATE", help="From when they hold (2031-04-01).")]
Review = Annotated[str, typer.Option("--review", metavar="DATE", help="When they are looked at again.")]


@dataclass(frozen=True)
class CardPaper:
    """Where the cards go and who stands for them."""

    pdf: Pdf = None
    paper: Paper = "A4"
    units: Units = "metric"
    revision: Revision = ""
    proposed_by: Proposed = ""
    approved_by: Approved = ""
    valid_from: ValidFrom = ""
    review: Review = ""

    def check(self, is_forced: bool) -> None:
        """See to it that the PDF can be written.

        Raises
        ------
        StudyError
            It cannot, or paper or units are not known.
        """
        if self.paper not in PAPERS_MM:
            raise StudyError(f'"{self.paper}" is not a paper that is known here; A4 or Letter was expected')
        if self.units not in SYSTEMS:
            raise StudyError(f'"{self.units}" units are not known here; metric or inch was expected')
        if self.pdf is not None:
            check_pdf(self.pdf, is_forced)

    @property
    def system(self) -> System:
        """The units."""
        return "inch" if self.units == "inch" else "metric"

    @property
    def signatures(self) -> Signatures:
        """Who stands for the cards, and how long."""
        days = _day("--valid-from", self.valid_from), _day("--review", self.review)
        return Signatures(self.revision, self.proposed_by, self.approved_by, *days)


def _day(option: str, text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise StudyError(f'{option} "{text}" is not a date; one such as 2031-04-01 was expected') from error


@command
def cards(
    file: ScenarioFile, out: PageOutlet, on_paper: CardPaper, policy: OnePolicy = None, previous: Previous = None
) -> None:
    """Write a tool-change card for each operation: what the setter changes when, what he looks for."""
    works = load_works(file)
    out.check("sets", "stops")
    on_paper.check(out.force)
    signatures = on_paper.signatures
    announce_compiling()
    answer = tool_cards(works, policy, previous)

    def page() -> str:
        return cards_page(answer, signatures, digest(works), date.today(), on_paper.paper, on_paper.system)  # noqa: DTZ011

    if on_paper.pdf is not None:
        write_pdf(on_paper.pdf, page(), out.force)
        typer.echo(f"Cards written to {on_paper.pdf}", err=True)
    provenance = {"linesim": __version__, "digest": digest(works), "policy": answer.policy}
    out.put(answer.tables, provenance, answer.as_dict, lambda: cards_text(answer), page, works=works)
