"""``linesim approvals``: who proposed the cards of a policy, who approved them, and which card still holds."""

from __future__ import annotations

import dataclasses
from datetime import date
from typing import Annotated

import typer

from linesim.cards import tool_cards
from linesim.cli.guard import FOUND_PROBLEM, guarded
from linesim.cli.options import AsJson, OnePolicy, ScenarioFile, StorePlace
from linesim.cli.output import announce_compiling, put_json, show
from linesim.cli.papers import WordsFile, day_from, spoken_words, tell_missing
from linesim.report.terminal.approvals import approvals_text
from linesim.report.theme.grid import plain
from linesim.store import StoredWorks, open_store
from linesim.store.approvals import Proposed, approvals_in, approve, propose
from linesim.store.card_state import states_of_card
from linesim.words import reading, retell
from linesim.works import digest, load_works, to_yaml

__all__ = ["approvals"]

approvals = typer.Typer(
    name="approvals",
    help="Propose the cards of a policy, approve them, list what holds, tell an old card from a new one.",
    no_args_is_help=True,
)

Who = Annotated[str, typer.Option("--by", metavar="NAME", help="Name of the person.", show_default=False)]
Why = Annotated[str, typer.Option("--why", metavar="TEXT", help="Reason, in a line.")]
ValidFrom = Annotated[
    str, typer.Option("--valid-from", metavar="DATE", help="From when it holds (2031-04-01); today unless given.")
]
Review = Annotated[str, typer.Option("--review", metavar="DATE", help="When it is looked at again.")]
Number = Annotated[int, typer.Argument(metavar="NUMBER", help="Of the proposal.", show_default=False)]
Card = Annotated[str, typer.Argument(metavar="CARD", help="Number of a card, such as 12AB-34CD.", show_default=False)]


@approvals.command("propose")
@guarded
def propose_cards(
    file: ScenarioFile, by: Who, policy: OnePolicy = None, why: Why = "", store: StorePlace = None
) -> None:
    """Propose the cards of a policy."""
    works = load_works(file)
    announce_compiling()
    cards = tool_cards(works, policy)
    scenario = StoredWorks(digest(works), works.name, to_yaml(works))
    with open_store(store) as opened:
        number = propose(opened, Proposed(scenario, cards.policy, cards.numbers, by, why))
    typer.echo(f'Proposal {number}: policy "{plain(cards.policy)}", {len(cards.numbers)} cards. To approve it:')
    typer.echo(f"linesim approvals approve {number} --by NAME --valid-from DATE")


@approvals.command("approve")
@guarded
def approve_cards(
    number: Number, by: Who, valid_from: ValidFrom = "", review: Review = "", store: StorePlace = None
) -> None:
    """Approve a proposal; it takes the place of what was approved before from its day on."""
    start = day_from("--valid-from", valid_from) or date.today()  # noqa: DTZ011 - the day of whoever asks
    with open_store(store) as opened:
        done = approve(opened, number, by, start, day_from("--review", review))
    before = "" if done.replaces is None else f" in place of revision {done.replaces}"
    typer.echo(f"Revision {done.revision} of {plain(done.works_name)} holds from {done.valid_from}{before}.")


@approvals.command("list")
@guarded
def list_approvals(store: StorePlace = None, as_json: AsJson = False, words: WordsFile = None) -> None:
    """List what was proposed and approved, works by works."""
    tell_missing(words)
    with open_store(store, only_reads=True) as opened:
        known = approvals_in(opened)
    if as_json:
        plain_rows = [
            {name: str(value) if isinstance(value, date) else value for name, value in dataclasses.asdict(each).items()}
            for each in known
        ]
        put_json({"store": opened.location, "approvals": plain_rows})
    else:
        with reading(spoken_words(words)):
            show(approvals_text(known, date.today(), opened.location))  # noqa: DTZ011 - the day of whoever asks


@approvals.command("card")
@guarded
def tell_card(card: Card, store: StorePlace = None, words: WordsFile = None) -> None:
    """Tell whether a card at a machine still holds, by its number."""
    tell_missing(words)
    with open_store(store, only_reads=True) as opened:
        known = approvals_in(opened)
    states = states_of_card(known, card, date.today())  # noqa: DTZ011 - the day of whoever asks
    with reading(spoken_words(words)):
        for at, state in states:
            typer.echo(f"{plain(at)}: {plain(retell(state.words))}")
    if not all(state.is_in_force for _, state in states):
        raise typer.Exit(FOUND_PROBLEM)
