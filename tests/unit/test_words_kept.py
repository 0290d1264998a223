"""Words that were sent to a desk are kept with it, and a file that cannot be read loses nobody's words."""

from __future__ import annotations

import json
from pathlib import Path

from sqlalchemy import update
from streamlit.testing.v1 import AppTest

from dashboard.kept import text_at
from dashboard.parts.sheet_words import _WORDS, words_of
from linesim.store import open_store
from linesim.store.desks import COPY, TOGETHER, link_to, withdraw_link
from linesim.store.schema import desk_drafts
from linesim.store.sums import summed
from linesim.words import ENGLISH
from linesim.works import changed
from tests.unit.dashboard_app import _script, desk_of, settled, texts_of
from tests.unit.test_desks_kept import address_of, forget, opened

CARDS = "Cards and their approval"
GERMAN = "language: de-CH\ncards: {at_hand: Scharfe Sätze bereit}\n"


def cards_at(where: dict[str, str]) -> AppTest:
    """The cards of a desk as somebody sees them whose browser is given this address."""
    desk_of(opened(where, "manual")).choices["sheet to carry"] = CARDS
    return opened(where, "carry")


def sent(app: AppTest, text: str, name: str = "de.yaml") -> AppTest:
    key = next(str(each.key) for each in app.file_uploader if str(each.key).endswith("words file"))
    return settled(app.file_uploader(key=key).set_value((name, text.encode(), "text/yaml")).run())


def labels_of(app: AppTest) -> list[str]:
    return [each.proto.label.replace("\\", "") for each in app.get("download_button")]


def begun() -> tuple[AppTest, dict[str, str]]:
    """The page of cards of a new desk, and its address."""
    app = AppTest.from_function(_script, kwargs={"url": "manual"}, default_timeout=60)
    desk = desk_of(settled(app.run()))
    desk.choices["sheet to carry"] = CARDS
    return opened({"desk": desk.address}, "carry"), {"desk": desk.address}


def test_words_that_were_sent_are_there_again_after_a_restart(own_store: Path) -> None:
    app, where = begun()
    assert "Your words (YAML)" not in labels_of(app)
    app = sent(app, GERMAN)
    where = where | address_of(app)
    assert "Your words (YAML)" in labels_of(app)
    forget()
    again = cards_at(where)
    words = words_of(desk_of(again))
    assert (words.language, words.entries["cards.at_hand"]) == ("de-CH", "Scharfe Sätze bereit")
    assert "Your words (YAML)" in labels_of(again)

    sent(again, "language: de\ncards: {at_hnd: x}\n", "odd.yaml")
    assert words_of(desk_of(again)).language == "de-CH"
    forget()
    again = cards_at(where)
    assert words_of(desk_of(again)).language == "de-CH"

    settled(next(each for each in again.button if each.label == "English again").click().run())
    forget()
    assert words_of(desk_of(cards_at(where))) is ENGLISH
    assert not open_store(own_store).studies()


def test_kept_words_that_cannot_be_read_any_more_are_told_and_stay_to_be_had(own_store: Path) -> None:
    app, where = begun()
    app = sent(app, GERMAN)
    where = where | address_of(app)
    forget()
    with open_store(own_store) as store, store.writing() as connection:
        row = dict(connection.execute(desk_drafts.select()).mappings().one())
        cells = json.dumps({"text": "language: de\ncards: {was_there_once: x}\n", "called": "old.yaml"})
        own = summed({name: value for name, value in (row | {"cells": cells}).items() if name != "sum"})
        connection.execute(update(desk_drafts).values(own))
    again = cards_at(where)
    assert words_of(desk_of(again)) is ENGLISH
    assert "old.yaml, line 2" in texts_of(again).replace("\\", "")
    assert "Your words (YAML)" in labels_of(again)
    assert not again.exception

    forget()
    with open_store(own_store) as store, store.writing() as connection:  # damaged: its sum does not fit
        connection.execute(update(desk_drafts).values(cells='{"text": "language: de", "called": "x"}'))
    again = cards_at(where)
    assert words_of(desk_of(again)) is ENGLISH
    assert not again.exception
    again = sent(again, GERMAN)  # nothing is written to a damaged store; the words stay in hand
    assert words_of(desk_of(again)).language == "de-CH"
    assert not again.exception


def test_a_copy_of_a_desk_takes_its_words_along_and_keeps_them_as_its_own(own_store: Path) -> None:
    """By a link to copy, and where a link to work together has been withdrawn and its user keeps what he had."""
    app, where = begun()
    app = sent(app, GERMAN + "frame: {undo: Zurück}\n")
    key = (where | address_of(app))["desk"]
    with open_store(own_store) as store:
        copy, together = (link_to(store, key, way) for way in (COPY, TOGETHER))
    guest = settled(opened({"desk": copy}, "manual").button(key="take copy").click().run())
    bob = opened({"desk": together}, "manual")
    with open_store(own_store) as store:
        withdraw_link(store, together)
    bob = settled(settled(bob.run()).button(key="keep left").click().run())
    for other in (guest, bob):
        own = address_of(other)["desk"]
        assert own not in (key, copy, together)
        assert "Zurück" in [each.label for each in other.button]
        with open_store(own_store) as store:
            assert text_at(store, own, _WORDS) == text_at(store, key, _WORDS)
    settled(next(each for each in cards_at({"desk": key}).button if each.label == "English again").click().run())
    forget()
    assert words_of(desk_of(cards_at(address_of(guest)))).language == "de-CH"


def test_a_copy_of_a_desk_without_words_has_none(own_store: Path) -> None:
    app, where = begun()
    desk_of(app).put(changed(desk_of(app).works, {"run": {"seed": 5}}), "seed")
    with open_store(own_store) as store:
        link = link_to(store, where["desk"], COPY)
    guest = settled(opened({"desk": link}, "manual").button(key="take copy").click().run())
    assert words_of(desk_of(guest)) is ENGLISH
