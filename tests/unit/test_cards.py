"""Tool-change cards: counts, stops, numbers, paper; and a run that follows the printed card is the study's."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from linesim.cards import CardSet, CardsOf, tool_cards
from linesim.cards.stops import counter_stops
from linesim.cli.main import app
from linesim.report.files.pdf_file import write_pdf
from linesim.report.page.card_words import look_words
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.study import run
from linesim.works import Works, changed, load_works

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
TODAY = date(2031, 4, 1)


def block() -> Works:
    return load_works(SCENARIOS / "block-line.yaml")


def card_of(cards: CardsOf, operation: str) -> dict[str, CardSet]:
    return {each.cutter: each for card in cards.cards if card.operation == operation for each in card.sets}


def page_of(cards: CardsOf, **asked: object) -> str:
    return cards_page(cards, Signatures(), Printed("0123456789abcdef", TODAY, **asked))  # type: ignore[arg-type]


def test_a_card_says_when_each_set_is_changed_and_what_was_done_before() -> None:
    cards = tool_cards(block(), "check the edge")
    blade = card_of(cards, "Op 60")["finish blade"]
    rule = block().policies["check the edge"].rule_for("Op 60", "finish blade").check
    assert rule is not None
    assert blade.count is None
    assert blade.look_every == rule.every
    assert blade.look_past_mm == pytest.approx(rule.past or 0.3 * float(rule.past_share or 0.0))
    assert blade.before == "after 14 parts"
    assert cards.previous == "by parts"
    assert card_of(tool_cards(block()), "Op 60")["finish blade"].before == ""


def test_sharp_sets_at_hand_are_those_of_a_shift_and_one_for_a_breakage() -> None:
    # 33.18 parts a shift at the constraint's pace: 2.37 changes of the blade after 14 parts, so three sets and one; an
    # edge in four of the mill after 32 parts, so one set and one.
    cards = tool_cards(block())
    blade, mill = card_of(cards, "Op 60")["rough blade"], card_of(cards, "Op 10")["rough mill"]
    assert blade.changes == pytest.approx(2.37, abs=0.005)
    assert blade.at_hand == 4
    assert mill.changes == pytest.approx(1.037, abs=0.001)
    assert mill.at_hand == 2


def test_stops_through_a_shift_go_by_the_counter_together_as_the_policy_has_it() -> None:
    blade = card_of(tool_cards(block()), "Op 60")["rough blade"]
    looked = replace(blade, cutter="looked at", count=None, look_every=25, look_first=25)
    sets = [replace(blade, cutter="ten", count=10), replace(blade, cutter="fourteen", count=14), looked]
    alone = [tuple(stop) for stop in counter_stops(sets, 30.0, None)]
    assert alone == [
        (10, ("ten",), ()),
        (14, ("fourteen",), ()),
        (20, ("ten",), ()),
        (25, (), ("looked at",)),
        (28, ("fourteen",), ()),
        (30, ("ten",), ()),
    ]
    # Past 0.7 of its count a set goes with another: 10 of 14 is 0.714, so both are changed each ten parts.
    together = [tuple(stop) for stop in counter_stops(sets, 30.0, 0.7)]
    assert together == [
        (10, ("ten", "fourteen"), ()),
        (20, ("ten", "fourteen"), ()),
        (25, (), ("looked at",)),
        (30, ("ten", "fourteen"), ()),
    ]


def test_a_card_says_which_look_is_the_first() -> None:
    rule = {"check": {"every": 6, "first": 20, "past_share": 0.9, "minutes": 1}}
    works = changed(block(), {"policies": {"check the edge": {"exceptions": {"finish blade": rule}}}})
    blade = card_of(tool_cards(works, "check the edge"), "Op 60")["finish blade"]
    assert (blade.look_every, blade.look_first) == (6, 20)
    assert blade.when == "when a look every 6 parts, the first after 20, finds it worn past 0.9 of its wear limit"
    assert look_words(blade, "metric").startswith("Look every 6 parts, first after 20; change if")
    assert [stop.reading for stop in counter_stops([blade], 33.0, None)] == [20, 26, 32]


@pytest.mark.parametrize("group_past", [None, 0.7])
def test_a_run_that_follows_the_printed_card_gives_the_studys_figures(group_past: float | None) -> None:
    short = {"run": {"length": 2400, "warm_up": 0}, "policies": {"by parts": {"group_past": group_past}}}
    works = changed(block(), short if group_past else {"run": short["run"]})
    page = html.unescape(page_of(tool_cards(works, "by parts")))
    counts: dict[str, dict[str, int]] = {}
    for article in page.split("<article")[1:]:
        operation = re.search(r"<h1>(.*?)</h1>", article)
        assert operation is not None
        for name, count in re.findall(r'<th scope="row">(.*?)<.*?Change at (\d+) parts', article, re.DOTALL):
            counts[f"{operation[1]} / {name}"] = {"parts": int(count)}
    share = re.search(r"that has done (\d+)%", page)
    printed = works.policies["by parts"].model_dump(exclude_unset=True)
    printed |= {"default": {"parts": 10_000_000}, "exceptions": counts}
    printed |= {} if share is None else {"group_past": int(share[1]) / 100.0}
    followed = run(changed(works, {"policies": {"as printed": printed}}), "as printed")
    study = run(works, "by parts")
    assert (share is None) == (group_past is None)
    assert len(counts) == 12
    assert followed.ledger.equals(study.ledger)
    assert followed.changes.equals(study.changes)


def test_the_number_is_another_as_soon_as_anything_asked_for_is() -> None:
    cards = tool_cards(block(), previous="full life")
    again = tool_cards(changed(block(), {"lines": {"block": {"operations": {"Op 60": {"about": "remarks"}}}}}))
    assert [card.number for card in cards.cards] == [card.number for card in again.cards]
    other = tool_cards(changed(block(), {"policies": {"by parts": {"exceptions": {"finish blade": {"parts": 15}}}}}))
    differing = [
        card.operation for card, now in zip(cards.cards, other.cards, strict=True) if card.number != now.number
    ]
    assert differing == ["Op 60"]


def test_every_card_stays_on_one_sheet_of_either_paper_however_long_its_names(tmp_path: Path) -> None:
    kinds = [f"{'<b>set of blades with a long name & marks</b> '}{number}" for number in range(14)]
    cutter = {"life": 60, "change": 4, "renewal": {"reground": {"stock": 2, "minutes": 5}}, "about": "x" * 60}
    crowded = changed(
        block(),
        {
            "cutters": dict.fromkeys(kinds, cutter),
            "lines": {"block": {"operations": {"Op 50": {"sets": kinds, "about": "many sets " * 12}}}},
        },
    )
    cards = tool_cards(crowded, "grouped")
    assert len(card_of(cards, "Op 50")) == 14
    for paper in ("A4", "Letter"):
        page = page_of(cards, paper=paper)
        assert "<b>set" not in page
        write_pdf(tmp_path / f"{paper}.pdf", page)
        sheets = PdfReader(BytesIO((tmp_path / f"{paper}.pdf").read_bytes())).pages
        assert len(sheets) == len(cards.cards)
        assert all(card.number in sheet.extract_text() for card, sheet in zip(cards.cards, sheets, strict=True))


def crowded_cards() -> CardsOf:
    """Of a line whose Op 50 has as many sets as an operation takes, all with long names."""
    kinds = [f"facing mill {number} with eight inserts, long overhang, for the joint face" for number in range(32)]
    cutter = {"life": 60, "change": 4, "renewal": {"reground": {"stock": 2, "minutes": 5}}}
    crowded = {"cutters": dict.fromkeys(kinds, cutter), "lines": {"block": {"operations": {"Op 50": {"sets": kinds}}}}}
    return tool_cards(changed(block(), crowded), "grouped")


def test_a_card_that_cannot_stay_on_one_sheet_can_be_read_and_its_heads_name_it() -> None:
    cards = crowded_cards()
    page = page_of(cards)
    own = next(card.number for card in cards.cards if card.operation == "Op 50")
    assert [float(size) for size in re.findall(r"font-size: ([0-9.]+)pt", page)].count(8.0) == 1
    assert re.findall(r"<small>(.*?); more than one sheet</small>", page) == [f"Op 50, card {own}"]


@pytest.mark.longer
def test_each_sheet_of_a_crowded_card_says_of_which_card_it_is(tmp_path: Path) -> None:
    cards = crowded_cards()
    write_pdf(tmp_path / "cards.pdf", page_of(cards))
    sheets = [sheet.extract_text() for sheet in PdfReader(BytesIO((tmp_path / "cards.pdf").read_bytes())).pages]
    own = next(card.number for card in cards.cards if card.operation == "Op 50")
    assert len(sheets) > len(cards.cards)
    assert sum(own in text for text in sheets) == len(sheets) - len(cards.cards) + 1


def test_inches_and_signatures_stand_on_the_card() -> None:
    who = Signatures("B", "the setter", "the <foreman>", date(2031, 5, 1))
    page = cards_page(tool_cards(block()), who, Printed("0123456789abcdef", TODAY, "Letter", "inch"))
    assert "0.0118\N{NO-BREAK SPACE}in" in page
    assert "the &lt;foreman&gt;" in page
    assert "2031-05-01" in page
    assert "mm and" not in page


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--policy", "by part"], 'Did you mean "by parts"?'),
        (["--paper", "A5"], "A4 or Letter was expected"),
        (["--units", "feet"], "metric or inch was expected"),
        (["--review", "soon"], "one such as 2031-04-01 was expected"),
        (["--pdf", "no/such/folder/cards.pdf"], "there is no such folder"),
    ],
)
def test_what_cannot_be_is_said(asked: list[str], said: str) -> None:
    answer = CliRunner().invoke(app, ["cards", str(SCENARIOS / "block-line.yaml"), *asked])
    assert answer.exit_code == 2
    assert said in " ".join(answer.output.split())


def test_without_anything_that_prints_the_way_to_a_pdf_is_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("linesim.report.files.pdf_file.shutil.which", lambda _: None)
    monkeypatch.setattr("linesim.report.files.pdf_file.find_spec", lambda _: None)
    answer = CliRunner().invoke(app, ["cards", str(SCENARIOS / "smallest.yaml"), "--pdf", str(tmp_path / "cards.pdf")])
    assert answer.exit_code == 2
    assert "open it in a browser and print it" in " ".join(answer.output.split())
