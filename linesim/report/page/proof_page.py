"""Proof of a fit as a page for the office: verdicts, pictures of what was foretold and seen, what missed."""

from __future__ import annotations

from linesim.report.charts.proof import proof_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.terminal.proof import missed_rows, verdict_rows
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Section, Table
from linesim.study.proof.proof import Proof

__all__ = ["proof_page"]

_CAPTION = (
    "Bars: what was foretold, at 95 %; dots: what was seen, inside its band; crosses: outside; triangles: changed or "
    "broken before its end, so that it lasted at least so long."
)


def proof_page(answer: Proof, command: str | None = None) -> str:
    """The page as one self-contained HTML file.

    Parameters
    ----------
    answer : Proof
        What to show.
    command : str or None
        The command that made it.
    """
    missed = missed_rows(answer)
    heads = ["of", "quantity", "held back", *numbers("hits", "of", "expected if right"), "verdict"]
    rows: list[list[Cell]] = [[*row[:3], *numbers(*row[3:6]), row[6]] for row in verdict_rows(answer)]
    sections = [Section("Verdicts", [Table("Foretold from the rows not held back", heads, rows)])] if rows else []
    sections += [
        Section(
            f"{each.of}: {each.quantity}, {each.way}",
            [Paragraph(each.words), Drawing(proof_figure(each), _CAPTION, f"proof-{at}")],
        )
        for at, each in enumerate(answer.proven)
    ]
    if missed:
        table = Table(
            "Outside their band", ["of", "quantity", "held back", "what", *numbers("seen", "band")],
            [[*row[:4], *numbers(*row[4:])] for row in missed],
        )  # fmt: skip
        sections.append(Section("What missed", [Folded(f"{len(missed)} outside their band", [table])]))
    sections.append(Section("How this was worked out", [Bullets(answer.method)]))
    page = Page(
        name=answer.works.name,
        lettering="proof",
        question="How well does the fit foretell what it has not seen?",
        sentences=answer.sentences,
        is_settled=bool(answer.proven) and all(each.verdict.word == "foretells" for each in answer.proven),
        sections=sections,
        block=entries(answer.provenance, command),
    )
    return page_html(page)
