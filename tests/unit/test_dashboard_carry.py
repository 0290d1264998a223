"""The sheets to carry away, on the page: each is the library's, can be carried away, and is approved from there."""

from __future__ import annotations

import io
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from streamlit.testing.v1 import AppTest
from typer.testing import CliRunner

from dashboard.desk import Desk
from dashboard.parts import approving, carry, office_sheets, room
from dashboard.parts.sheet_words import words_of
from dashboard.questions import carry as carry_page
from linesim.cards import tool_cards
from linesim.cli.main import app as command
from linesim.report.theme.shown import number
from linesim.store import open_store
from linesim.store.approvals import approvals_in
from linesim.study.options import StudyOptions
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.words import ENGLISH
from linesim.works import Works, changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": 480, "warm_up": 0}, "name": "<b>=1+1"})
ROOM, CARDS, SYSTEMS = "The tool room's weeks", "Cards and their approval", "For other systems"
_taken: dict[str, carry.Carried] = {}


@pytest.fixture(autouse=True)
def _offered(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is offered is looked at without a browser; the buttons are drawn as ever."""
    _taken.clear()
    monkeypatch.setattr(carry_page, "_REPLICATIONS", 3)
    offer = carry.offer

    def seen(desk: Desk, key: str, make: Any, **options: Any) -> None:
        _taken[key] = make()
        offer(desk, key, make, **options)

    for module in (approving, office_sheets, carry_page):
        monkeypatch.setattr(module, "offer", seen)


def page_of(sheet: str, **choices: object) -> AppTest:
    choices |= {"sheet to carry": sheet}
    return open_page("carry", {"desk": room.desks().add(Desk(WORKS, "smallest", choices=choices)).id})


def html_file(key: str) -> str:
    return carry._html(lambda: _taken[key], "Letter").decode()


def test_the_tool_room_s_weeks_are_the_library_s_and_can_be_asked_again(tmp_path: Path) -> None:
    page = html_of(page_of(ROOM, weeks=2, policy="every 60 parts"))
    plan = ToolRoomStudy(WORKS, "every 60 parts", 2, StudyOptions()).run()
    week = plan.weeks.iloc[1]
    assert f"{number(week['changes'], 0)} ({number(week['changes_low'], 0)} to " in page
    assert "<b>=1+1" not in page
    file = tmp_path / "toolroom.html"
    file.write_text(html_file("toolroom"), encoding="utf-8")
    again = CliRunner().invoke(command, ["rerun", str(file)])
    assert again.exit_code == 0, again.output
    assert "same" in again.output
    book = load_workbook(io.BytesIO(carry._excel(lambda: _taken["toolroom"])))
    assert book["weeks"]["A3"].value == 1
    assert all(cell.data_type != "f" for row in book["where from"].iter_rows() for cell in row)


def test_other_systems_get_the_indicators_of_the_policy_in_hand() -> None:
    page = html_of(page_of(SYSTEMS, policy="full life"))
    assert "OEE index" in page
    assert _taken["handover"].provenance["policy"] == "full life"
    assert _taken["handover"].provenance["replications"] == 3
    assert ">yes<" in page or ">no<" in page
    assert "True<" not in page


def test_cards_are_proposed_and_approved_and_an_old_one_is_told_from_a_new_one() -> None:
    """Who proposed, who approved, from when, and what it replaced; a card in the hand is told by its number."""
    today = date.today()  # noqa: DTZ011
    app = page_of(CARDS, policy="every 60 parts")
    cards = tool_cards(WORKS, "every 60 parts")
    (place, old) = next(iter(cards.numbers.items()))
    assert f"0 of {len(cards.numbers)} cards" in html_of(app)
    assert "Op 20 (mill face)" in html_of(app)
    assert "flange / Op 20" not in html_of(app)
    app.text_input(key="propose by").set_value("A. Setter")
    app.text_input(key="propose why").set_value("=1+1 <i>fewer stops")
    app = settled(next(each for each in app.button if each.label == "Propose").click().run())
    assert "Not approved: proposed by A. Setter as number " in html_of(app)
    assert "<i>fewer" not in html_of(app)
    app = settled(next(each for each in app.button if each.label == "Approve").click().run())
    assert "cannot be a name" in texts_of(app).replace("\\", "")
    app.text_input(key="approve by").set_value("B. Foreman")
    app = settled(next(each for each in app.button if each.label == "Approve").click().run())
    assert f"{len(cards.numbers)} of {len(cards.numbers)} cards" in html_of(app)
    assert f"Approved: revision 1, from {today}." in html_of(app)
    assert "B. Foreman" in html_file("tool-change-cards")

    other = page_of(CARDS, policy="full life")
    other.text_input(key="propose by").set_value("C. Setter")
    other = settled(next(each for each in other.button if each.label == "Propose").click().run())
    other.text_input(key="approve by").set_value("B. Foreman")
    other = settled(next(each for each in other.button if each.label == "Approve").click().run())
    other.text_input(key="card in hand").set_value(old.lower()).run()
    assert "replaced by revision 2" in other.warning[-1].value.replace("\\", "")
    with open_store() as store:
        first, second = approvals_in(store, WORKS.name)
    assert (first.revision, first.proposed_by, first.approved_by, first.valid_from) == (
        1, "A. Setter", "B. Foreman", today,
    )  # fmt: skip
    assert (second.revision, second.replaces, second.policy) == (2, 1, "full life")
    assert first.review == today + timedelta(days=182)
    assert first.cards[place] == old


def test_what_is_proposed_from_another_scenario_is_shown_with_its_own_cards() -> None:
    name = "a works of many scenarios"
    one = changed(WORKS, {"name": name})
    other: Works = changed(one, {"policies": {"every 60 parts": {"default": {"parts": 7}}}})
    choices = {"sheet to carry": CARDS, "policy": "every 60 parts"}
    first = open_page("carry", {"desk": room.desks().add(Desk(other, "other", choices=dict(choices))).id})
    first.text_input(key="propose by").set_value("A. Setter")
    settled(next(each for each in first.button if each.label == "Propose").click().run())
    page = open_page("carry", {"desk": room.desks().add(Desk(one, "one", choices=dict(choices))).id})
    assert "another scenario than the one on the desk" in html_of(page)
    proposed = next(of for key, of in _taken.items() if key.startswith("cards of proposal"))
    counts = [tool_cards(works, "every 60 parts").tables["sets"]["count"].tolist() for works in (other, one)]
    assert proposed.tables["sets"]["count"].tolist() == counts[0] != counts[1]


def test_without_a_store_cards_are_carried_away_and_nothing_is_approved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LINESIM_STORE", "none")
    app = page_of(CARDS)
    assert "Nothing is kept on this server" in html_of(app)
    assert not [each for each in app.button if each.label == "Propose"]
    assert "Proposed by" in html_file("tool-change-cards")


@pytest.mark.longer
def test_the_brief_is_the_one_that_the_command_makes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(carry_page, "_MOST_MOVES", 10)
    page = html_of(page_of("The brief"))
    content = json.loads(html_file("brief").rpartition('id="linesim-report">')[2].partition("</script>")[0])
    assert content["asked"] == {"command": "brief", "options": {"replications": 3}}
    assert content["sentences"][-1] in page.replace("&#34;", '"')


@pytest.mark.longer
def test_a_pdf_is_one() -> None:
    page_of(CARDS)
    content = carry._pdf(lambda: _taken["tool-change-cards"], "A4")
    assert content.startswith(b"%PDF-")


def test_sheets_are_printed_in_words_that_were_sent_and_wrong_ones_are_told_by_line() -> None:
    """Only what was sent is said otherwise; what a file asks beside words is never done."""
    app = page_of(CARDS, policy="every 60 parts")
    desk = desk_of(app)
    words = "language: de\ncards: {at_hand: Scharfe <b>Sätze bereit}\n"
    app.file_uploader(key="tool-change-cards words file").set_value(("de.yaml", words.encode(), "text/yaml")).run()
    settled(app)
    assert words_of(desk).language == "de"
    page = carry._html(lambda: _taken["tool-change-cards"], "A4", words_of(desk)).decode()
    assert '<html lang="de"' in page
    assert "Scharfe &lt;b&gt;Sätze bereit" in page
    assert "Sharp sets at hand" not in page
    assert "Sharp sets at hand" in html_file("tool-change-cards")

    for name, content, told in (
        ("odd.yaml", b"language: de\ncards: {at_hnd: x}\n", "odd\\.yaml, line 2"),
        ("evil.yaml", b"a: !!python/object:os.x {}", "evil\\.yaml, line 1"),
        ("binary.yaml", b"\xff\xfe", "binary\\.yaml is not a text"),
    ):
        app.file_uploader(key="tool-change-cards words file").set_value((name, content, "text/yaml")).run()
        assert told in texts_of(app)
        assert words_of(desk).language == "de"
    settled(app.button(key="tool-change-cards english").click().run())
    assert words_of(desk) is ENGLISH
    assert not app.exception


def test_words_that_were_sent_at_two_places_of_a_page_are_each_taken_once() -> None:
    """The cards of the policy and those of a proposal stand on one page; what is sent last holds."""
    app = page_of(CARDS, policy="every 60 parts")
    app.text_input(key="propose by").set_value("A. Setter")
    app = settled(next(each for each in app.button if each.label == "Propose").click().run())
    desk = desk_of(app)
    first, second = [each.key for each in app.file_uploader if str(each.key).endswith("words file")]
    for key, language in ((first, "de"), (second, "fr"), (first, "nl")):
        content = f"language: {language}\n".encode()
        settled(app.file_uploader(key=key).set_value((f"{language}.yaml", content, "text/yaml")).run())
        assert words_of(desk).language == language
    assert not app.exception
