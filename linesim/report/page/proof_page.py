"""Proof of a fit as a page for the office: verdicts, pictures of what was foretold and seen, what missed."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.report.charts.proof import proof_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.terminal.proof import missed_rows, verdict_rows
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Section, Table
from linesim.study.proof.proof import Proof
from linesim.study.proof.words import quantity_words, way_words
from linesim.words import retell, say

__all__ = ["proof_page"]


def proof_page(answer: Proof, command: str | None = None) -> str:
    """The page as one self-contained HTML file.

    Parameters
    ----------
    answer : Proof
        What to show.
    command : str or None
        The command that made it.
    """
    sections = [
        Section(
            say("proof.title", of=each.of, quantity=quantity_words(each.quantity), way=way_words(each.way)),
            [Paragraph(retell(each.words)), Drawing(proof_figure(each), say("proof.caption"), f"proof-{at}")],
        )
        for at, each in enumerate(answer.proven)
    ]
    page = Page(
        name=answer.works.name,
        lettering=say("proof.kind"),
        question=say("proof.question"),
        sentences=[*map(retell, answer.sentences)],
        is_settled=bool(answer.proven) and all(each.verdict.word == "foretells" for each in answer.proven),
        sections=[
            *_verdicts(answer), *sections, *_missed(answer),
            Section(say("search.method"), [Bullets([*map(retell, answer.method)])]),
        ],
        block=entries(answer.provenance, command),
    )  # fmt: skip
    return page_html(page)


def _verdicts(answer: Proof) -> Iterator[Section]:
    heads: list[Cell] = [*map(say, ("proof.of", "proof.quantity", "proof.held_back"))]
    heads += numbers(*map(say, ("proof.hits", "proof.of", "proof.expected")))
    rows: list[list[Cell]] = [[*row[:3], *numbers(*row[3:6]), row[6]] for row in verdict_rows(answer)]
    if rows:
        yield Section(say("proof.verdicts"), [Table(say("proof.table"), [*heads, say("proof.verdict")], rows)])


def _missed(answer: Proof) -> Iterator[Section]:
    missed = missed_rows(answer)
    heads: list[Cell] = [*map(say, ("proof.of", "proof.quantity", "proof.held_back", "proof.what"))]
    heads += numbers(say("proof.seen"), say("proof.band"))
    if missed:
        table = Table(say("proof.outside_table"), heads, [[*row[:4], *numbers(*row[4:])] for row in missed])
        yield Section(say("proof.missed"), [Folded(say("proof.outside", count=len(missed)), [table])])
