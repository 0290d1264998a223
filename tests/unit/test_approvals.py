"""Approvals: kept alike in SQLite and PostgreSQL, never changed again, and an old card told from a new one."""

from __future__ import annotations

import html
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import update
from typer.testing import CliRunner

from linesim.cards import tool_cards
from linesim.cli.main import app
from linesim.errors import StoreError
from linesim.store import StoredWorks, open_store, rescue
from linesim.store.approvals import Approval, Proposed, approvals_in, approve, in_force, propose
from linesim.store.card_state import card_state
from linesim.store.failing import DamagedError
from linesim.store.schema import approvals
from linesim.works import load_works
from tests.postgres import postgres_server

FLANGE = Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"
WORKS = StoredWorks("d" * 64, "a works", "name: a works")
PLACE, OLD, NEW = "block / Op 60", "AAAA-0001", "BBBB-0002"
SPRING, SUMMER = date(2031, 4, 1), date(2031, 7, 1)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    if request.param == "sqlite":
        yield str(tmp_path / "runs.sqlite")
        return
    with postgres_server(tmp_path_factory) as server:
        yield server.new_database()


def proposed(card: str, by: str = "the setter") -> Proposed:
    return Proposed(WORKS, "by parts", {PLACE: card}, by, "fewer stops")


def words_of(known: list[Approval], card: str, day: date) -> tuple[str, bool]:
    standing = card_state(known, WORKS.name, PLACE, card, day)
    assert standing is not None
    return standing.words, standing.is_in_force


def test_what_was_approved_stays_and_a_later_revision_takes_its_place_on_its_day(place: str, tmp_path: Path) -> None:
    hostile = "<b>'; DROP TABLE linesim_approvals; --</b>"
    with open_store(place) as store:
        first, second = propose(store, proposed(OLD, f"  {hostile} ")), propose(store, proposed(NEW))
        assert words_of(approvals_in(store), OLD, SPRING) == (
            f"Not approved: proposed by {hostile} as number 1.",
            False,
        )
        done = approve(store, first, "the foreman", SPRING, date(2032, 4, 1))
        assert (done.revision, done.replaces, done.proposed_by) == (1, None, hostile)
        with pytest.raises(StoreError, match="approved already, as revision 1 by the foreman"):
            approve(store, first, "somebody else", SPRING)
        assert (approve(store, second, "the foreman", SUMMER).revision, approvals_in(store)[1].replaces) == (2, 1)
        with pytest.raises(StoreError, match="no proposal 9"):
            approve(store, 9, "the foreman", SUMMER)
        with pytest.raises(StoreError, match="is not after"):
            approve(store, propose(store, proposed(NEW)), "the foreman", SUMMER, SUMMER)
        for name in ("", "two\x1b[31m", "x" * 81):
            with pytest.raises(StoreError, match="cannot be a name"):
                propose(store, proposed(OLD, name))
        store.prune(is_tried=False)
        assert store.works(WORKS.digest) == WORKS
        known = approvals_in(store, WORKS.name)
        with open_store(str(tmp_path / "saved.sqlite")) as fresh:
            rescue(store, fresh)
            assert [each.cards for each in approvals_in(fresh)] == [each.cards for each in known]
    assert in_force(known, WORKS.name, date(2031, 3, 31)) is None
    assert words_of(known, OLD, date(2031, 6, 30)) == ("Approved: revision 1, from 2031-04-01.", True)
    replaced = "This card is replaced by revision 2 of 2031-07-01. Card BBBB-0002 holds."
    assert words_of(known, OLD, SUMMER) == (replaced, False)
    assert words_of(known, NEW, date(2031, 6, 30))[0] == "Not yet in force: revision 2 holds from 2031-07-01."
    assert words_of(known, "CCCC-0003", SUMMER) == ("Not approved. Card BBBB-0002 of revision 2 holds.", False)
    assert card_state(known, "another works", PLACE, OLD, SUMMER) is None


def test_a_row_that_was_tampered_with_is_seen(tmp_path: Path) -> None:
    with open_store(str(tmp_path / "runs.sqlite")) as store:
        propose(store, proposed(OLD))
        with store.engine.begin() as connection:
            connection.execute(update(approvals).values(proposed_by="somebody else"))
        with pytest.raises(DamagedError, match="proposal 1 does not say what was written"):
            approvals_in(store)


def test_a_printed_card_carries_its_approval_and_an_old_one_says_what_replaces_it(tmp_path: Path) -> None:
    kept, page = str(tmp_path / "runs.sqlite"), tmp_path / "cards.html"

    def asked(*arguments: str) -> str:
        done = CliRunner().invoke(app, [*arguments, "--store", kept])
        assert done.exit_code == 0, done.output
        return " ".join(done.output.split())

    def printed(policy: str) -> str:
        asked("cards", str(FLANGE), "--policy", policy, "--html", str(page))
        return html.unescape(page.read_text(encoding="utf-8"))

    asked("approvals", "propose", str(FLANGE), "--by", "A. <Setter>", "--policy", "every 60 parts")
    assert "Not approved: proposed by A. <Setter> as number 1." in printed("every 60 parts")
    asked("approvals", "approve", "1", "--by", "B. Foreman", "--valid-from", "2025-01-01")
    assert "Approved: revision 1, from 2025-01-01." in printed("every 60 parts")
    assert "B. Foreman" in printed("every 60 parts")
    assert "<Setter>" not in page.read_text(encoding="utf-8")
    asked("approvals", "propose", str(FLANGE), "--by", "A. Setter", "--policy", "every shift")
    asked("approvals", "approve", "2", "--by", "B. Foreman", "--valid-from", "2025-02-01")
    old, new = (
        next(card.number for card in tool_cards(load_works(FLANGE), policy).cards if card.operation == "Op 20")
        for policy in ("every 60 parts", "every shift")
    )
    assert f"This card is replaced by revision 2 of 2025-02-01. Card {new} holds." in printed("every 60 parts")
    assert "revision 2, from 2025-02-01" in asked("approvals", "card", new.lower())
    told = CliRunner().invoke(app, ["approvals", "card", old, "--store", kept])
    assert told.exit_code == 1
    assert f"flange / Op 20: This card is replaced by revision 2 of 2025-02-01. Card {new} holds." in told.output
    assert "holds" in asked("approvals", "list")
    assert CliRunner().invoke(app, ["approvals", "card", "1234", "--store", kept]).exit_code == 2
