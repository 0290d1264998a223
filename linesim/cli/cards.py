"""``linesim cards``: a tool-change card for each operation, to hang at the machine."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from typing import Annotated

import typer

from linesim import __version__
from linesim.cards import CardsOf, tool_cards
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, ScenarioFile, StorePlace
from linesim.cli.output import PageOutlet, announce_compiling
from linesim.cli.papers import Paper, Units, day_from, system_of
from linesim.errors import StoreError
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.report.terminal.cards import cards_text
from linesim.store import default_location, is_no_store, open_store
from linesim.store.approvals import approvals_in
from linesim.store.card_state import CardState, card_state
from linesim.works import digest, load_works

__all__ = ["cards"]

Previous = Annotated[
    str | None,
    typer.Option("--previous", metavar="NAME", help="Policy that it replaces; today's practice unless given."),
]
Revision = Annotated[str, typer.Option("--revision", metavar="TEXT", help="Of the cards, as the works counts them.")]
Proposed = Annotated[str, typer.Option("--proposed-by", metavar="NAME", help="Left out: a line to sign on.")]
Approved = Annotated[str, typer.Option("--approved-by", metavar="NAME", help="Left out: a line to sign on.")]
ValidFrom = Annotated[str, typer.Option("--valid-from", metavar="DATE", help="From when they hold (2031-04-01).")]
Review = Annotated[str, typer.Option("--review", metavar="DATE", help="When they are looked at again.")]


@dataclass(frozen=True)
class CardPaper(Paper):
    """Where the cards go, in which units, and who stands for them."""

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
        super().check(is_forced)
        system_of(self.units)

    @property
    def is_signed(self) -> bool:
        """Whether the command itself says who stands for the cards."""
        return any((self.revision, self.proposed_by, self.approved_by, self.valid_from))

    @property
    def signatures(self) -> Signatures:
        """Who stands for the cards, and how long."""
        days = day_from("--valid-from", self.valid_from), day_from("--review", self.review)
        return Signatures(self.revision, self.proposed_by, self.approved_by, *days)


@command
def cards(
    file: ScenarioFile,
    out: PageOutlet,
    on_paper: CardPaper,
    policy: OnePolicy = None,
    previous: Previous = None,
    store: StorePlace = None,
) -> None:
    """Write a tool-change card for each operation: what the setter changes when, what he looks for."""
    works = load_works(file)
    out.check("sets", "stops")
    on_paper.check(out.force)
    signatures = on_paper.signatures
    announce_compiling()
    answer = tool_cards(works, policy, previous)
    today = date.today()  # noqa: DTZ011 - the day of whoever asks
    states = {} if on_paper.is_signed else _states(store, answer, today)
    printing = Printed(digest(works), today, on_paper.paper, system_of(on_paper.units))

    @on_paper.in_words
    def page() -> str:
        return cards_page(answer, signatures, printing, states)

    on_paper.put(page, out.force)
    provenance = {"linesim": __version__, "digest": digest(works), "policy": answer.policy}
    out.put(answer.tables, provenance, answer.as_dict, on_paper.in_words(lambda: cards_text(answer)), page, works=works)


def _states(location: str | None, answer: CardsOf, today: date) -> dict[str, CardState]:
    """How each card stands to what has been approved, by where it hangs; empty where nothing was ever proposed."""
    if is_no_store(location) or not (location or os.environ.get("LINESIM_STORE") or default_location().exists()):
        return {}
    try:
        with open_store(location, only_reads=True) as opened:
            known = approvals_in(opened, answer.works)
    except StoreError as error:
        if location is not None:
            raise
        typer.echo(f"{error}\nWhether the cards are approved is not known.", err=True)
        return {}
    states = {at: card_state(known, answer.works, at, number, today) for at, number in answer.numbers.items()}
    return {at: state for at, state in states.items() if state is not None}
