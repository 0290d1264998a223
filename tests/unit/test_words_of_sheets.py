"""One file translates a sheet: with every word of the catalogue marked, no English word is left on it."""

from __future__ import annotations

import html
import json
import pickle
import re
import string
import tempfile
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from linesim import __version__
from linesim.cards import tool_cards
from linesim.cards.rule_said import rule_said
from linesim.cli.main import app
from linesim.errors import StudyError
from linesim.records.reading import Aside, Record, Records
from linesim.report.files.words_file import missing_words, words_from_file, words_from_text
from linesim.report.page.brief_page import brief_page
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.report.page.coming_page import coming_page
from linesim.report.page.justification_content import justification
from linesim.report.page.justification_excel import write_workbook
from linesim.report.page.justification_html import justification_page
from linesim.report.page.sheet_records import Reader, SheetContent
from linesim.report.page.toolroom_page import toolroom_page
from linesim.report.page.trial_page import answered_page, trial_page
from linesim.routing import RoutingStudy, variants_from_text
from linesim.routing.why import accounts_of, warnings_of
from linesim.rules import rule_words
from linesim.store.approvals import Approval
from linesim.store.card_state import card_state
from linesim.study.advice.brief import Brief
from linesim.study.advice.moves import moves_of
from linesim.study.advice.study import AdviceStudy
from linesim.study.coming.study import ForecastStudy
from linesim.study.options import StudyOptions
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.study import TrialStudy
from linesim.words import ENGLISH, KeptText, Words, keep, reading, retell, say
from linesim.words.catalogue import Entry, placeholders, template
from linesim.words.plurals import form_of
from linesim.works import Works, changed, load_works, scenario_schema
from linesim.works.policies import Rule
from linesim.works.writing import plain
from tests.unit.test_like_names import named
from tests.unit.test_rules import WORDS

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = ROOT / "scenarios"
TODAY = date(2031, 4, 1)
MARKED = str.maketrans(
    {letter: chr(0x561 + at) for at, letter in enumerate(string.ascii_lowercase)}
    | {letter: chr(0x531 + at) for at, letter in enumerate(string.ascii_uppercase)}
)
"""Every Latin letter becomes an Armenian one."""
NO_WORDS = {"linesim", "mm", "in", "EUR", "semi", "finish", "setters", "fitters", "fast"}
"""Units, an option of commands, and names of the demonstration that stand in the schema as well or have a hyphen."""


def marked_text(text: str) -> str:
    return "".join(
        piece if piece.startswith("{") else piece.translate(MARKED) for piece in re.split(r"(\{.*?\})", text)
    )


def marked(entry: Entry) -> Entry:
    return marked_text(entry) if isinstance(entry, str) else {form: marked_text(own) for form, own in entry.items()}


@cache
def translation() -> Words:
    """Every word of the catalogue marked; figures and days written as nobody writes them in English."""
    own = {"format.date": "{day}·{month}·{year}", "format.decimal": "٫", "format.thousands": "٬"}
    return Words("hy", "english", {key: marked(entry) for key, entry in ENGLISH.entries.items()} | own)


@cache
def nameless(file: str) -> Works:
    """A scenario of the demonstration whose operations, cutters, features and policies are called by numbers."""
    numbers: dict[str, str] = {}
    return named(load_works(SCENARIOS / file), lambda name: numbers.setdefault(name, f"№{len(numbers) + 101}"))


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from (str(name), *strings(inner))
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner)
    elif isinstance(value, str):
        yield value


@cache
def own_words_of_the_schema() -> frozenset[str]:
    """Names of entries and of choices, which a scenario shares with every other one."""
    return frozenset(_of_schema(scenario_schema()))


def _of_schema(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        yield from value.get("properties", ())
        yield from (str(each) for each in value.get("enum", ()))
        for inner in value.values():
            yield from _of_schema(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _of_schema(inner)


def seen_texts(page: str) -> str:
    """What a page shows, and what it says to those who do not see it."""
    page = re.sub(r"<style>.*?</style>|<meta[^>]*>", " ", page, flags=re.DOTALL)
    beside = re.findall(r'(?:aria-label|title|alt)="([^"]*)"', page)
    return html.unescape(" ".join([*beside, re.sub(r"<[^>]*>", " ", page)]))


def english_left(page: str, works: Works) -> list[str]:
    """Latin words, figures with a point and days in the English form that a page shows, but for the scenario's own."""
    text = seen_texts(page).replace(__version__, "")
    text = re.sub(r"\b[0-9A-F]{4}-[0-9A-F]{4}\b|\b[0-9a-f]{10,64}\b|\b1910\.\d+", "", text)
    own = sorted(set(strings(plain(works))), key=len, reverse=True)
    for whole in own:
        if " " in whole:
            text = text.replace(whole, " ")
    names = {word for word in own if word.isalpha()} - own_words_of_the_schema()
    words = [word for word in re.findall(r"[A-Za-z]{2,}", text) if word not in NO_WORDS | names]
    return words + re.findall(r"\d+\.\d+|\d+-\d\d-\d\d|\d\N{NARROW NO-BREAK SPACE}\d+", text)


def cards(works: Works, policy: str) -> str:
    answer = tool_cards(works, policy)
    numbers = answer.numbers
    old = Approval(1, "0" * 64, works.name, policy, numbers, "", "№1", "", "№2", "", TODAY, TODAY, 2, 1)
    states = {at: card_state([old], works.name, at, card, TODAY) for at, card in numbers.items()}
    known = {at: state for at, state in states.items() if state is not None}
    return cards_page(answer, Signatures("3", "", "", TODAY, TODAY), Printed("0123456789abcdef", TODAY), known)


def coming(works: Works) -> str:
    some = next(card for card in tool_cards(works).cards if card.sets)
    asked: dict[str, Any] = {"leave": f"{some.operation} / {some.sets[0].cutter}", "shifts": 2}
    return coming_page(ForecastStudy(works, options=StudyOptions(replications=39), **asked).run(), TODAY)


def tool_room(works: Works) -> str:
    return toolroom_page(ToolRoomStudy(works, None, 3, StudyOptions(replications=4)).run(), TODAY)


def trial(works: Works) -> str:
    short = {"calendar": {"shift": "60 min", "shifts_per_day": 1}, "run": {"warm_up": "1 shift"}}
    works = changed(works, short)
    card = next(card for card in tool_cards(works).cards if card.sets)
    key = f"{card.operation} / {card.sets[0].cutter}"
    study = TrialStudy(works, key, 300, None, 2, True, StudyOptions(replications=3))
    return trial_page(study.run(), TODAY)


def answered(works: Works) -> str:
    works = changed(works, {"calendar": {"shift": "60 min", "shifts_per_day": 1}, "run": {"warm_up": "1 shift"}})
    card = next(card for card in tool_cards(works).cards if card.sets)
    operation, cutter = card.operation, card.sets[0].cutter
    study = TrialStudy(works, f"{operation} / {cutter}", 300, None, 2, True, StudyOptions(replications=3))
    rows = [
        Record("1", at, "tool changes", {"set": cutter, "machine": operation, "parts": 300.0, "why": "by interval"})
        for at in range(6)
    ]
    aside = Aside("1", 7, "", "")
    return answered_page(TrialAnswered(study.run(), Records(tuple(rows), (aside,), ("1",))), TODAY)


def brief(works: Works) -> str:
    works = changed(works, {"run": {"length": "2 shifts", "warm_up": "1 shift"}})
    study = AdviceStudy(works, 12, StudyOptions(replications=4))
    return brief_page(Brief(study.run()), TODAY)


def justified(works: Works) -> SheetContent:
    works = changed(works, {"run": {"length": "3 shifts"}})
    line, (first, second, *_) = next(iter(works.lines)), list(next(iter(works.lines.values())).operations)
    stroke, cuts = next(iter(works.lines[line].operations[second].strokes.items()))
    cut = next(iter(cuts.cuts))
    deeper = {"strokes": {stroke: {"cuts": {cut: {"depth": "3.5 mm"}}}}}
    alone = {"lines": {line: {"operations": {first: None, second: deeper}}}}
    content = {
        "name": "№1", "question": "№2?", "line": line,
        "features": list(works.lines[line].features), "variants": {"№3": {}, "№4": {"changes": alone}},
    }  # fmt: skip
    answer = RoutingStudy(variants_from_text(json.dumps(content), works), 1, StudyOptions(2)).run()
    return justification(answer, accounts_of(answer), Reader(currency="EUR", per_unit=0.5), warnings_of(answer), "№5")


def justifying(works: Works) -> str:
    return justification_page(justified(works), "Letter")


def justifying_book(works: Works) -> str:
    with tempfile.TemporaryDirectory() as folder:
        write_workbook(Path(folder) / "1.xlsx", justified(works))
        book = load_workbook(Path(folder) / "1.xlsx")
    titles = [sheet.title for sheet in book]
    cells = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    return f'<html lang="hy">{html.escape(" ".join((*titles, *cells)))}'


SHEETS: dict[str, tuple[str, Callable[[Works], str]]] = {
    f"cards of {file} {number}": (file, lambda works, at=number: cards(works, list(works.policies)[at]))  # type: ignore[misc]
    for file, count in (("block-line.yaml", 7), ("crankcase-line.yaml", 3))
    for number in range(count)
} | {
    "coming": ("block-line.yaml", coming),
    "tool room": ("block-line.yaml", tool_room),
    "trial": ("smallest.yaml", trial),
    "trial answered": ("smallest.yaml", answered),
    "brief": ("block-line.yaml", brief),
    "brief of one machine": ("smallest.yaml", brief),
    "justification": ("smallest.yaml", justifying),
    "workbook of the justification": ("smallest.yaml", justifying_book),
}


@pytest.mark.parametrize("name", list(SHEETS))
def test_with_every_word_marked_no_english_is_left_on_a_sheet(name: str) -> None:
    file, make = SHEETS[name]
    works = nameless(file)
    with reading(translation()):
        page = make(works)
    assert '<html lang="hy">' in page
    assert not english_left(page, works)


@pytest.mark.parametrize("file", ["block-line.yaml", "crankcase-line.yaml", "mixed-line.yaml"])
def test_no_change_that_is_tried_is_said_in_english_alone(file: str) -> None:
    works = nameless(file)
    with reading(translation()):
        text = " ".join(retell(move.words) for move in moves_of(works))
    assert not english_left(re.sub("(three|two)-cylinder", "", text), works)


def test_english_is_found_where_it_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    works = nameless("block-line.yaml")
    few = Words("hy", "english", {key: entry for key, entry in translation().entries.items() if key != "cards.broken"})
    with reading(few):
        left = english_left(cards(works, next(iter(works.policies))), works)
    assert {"spoils", "counter", "anew"} <= set(left)


def test_what_a_study_keeps_is_english_whoever_reads_and_a_card_keeps_its_number() -> None:
    works = nameless("block-line.yaml")
    plainly = tool_cards(works)
    with reading(translation()):
        foreign = tool_cards(works)
        assert retell(foreign.cards[0].sets[0].when) != foreign.cards[0].sets[0].when
    assert foreign == plainly
    assert foreign.numbers == plainly.numbers


def test_a_kept_text_comes_back_from_a_worker_with_its_key() -> None:
    text = pickle.loads(pickle.dumps(keep("doing.beside", name="Op 60", does=keep("doing.boring", features="bores"))))
    assert text == "Op 60 (bore bores)"
    with reading(translation()):
        assert retell(text) == f"Op 60 ({marked_text('bore ')}bores)"


@pytest.mark.parametrize("name", list(WORDS))
def test_a_rule_is_said_on_sheets_as_everywhere(name: str) -> None:
    entry, _ = WORDS[name]
    for own in (entry, *_LIKE.get(name, ())):
        rule = Rule.model_validate(own)
        assert rule_said(rule) == rule_words(rule, of_one=True)
        assert isinstance(rule_said(rule), KeptText)


_LIKE: dict[str, tuple[dict[str, Any], ...]] = {
    "parts": ({"parts": 1},),
    "life": ({"life": 0.6},),
    "shift": ({"shift": 1},),
    "check": (
        {"check": {"every": 5, "past": 0.25}},
        {"check": {"every": 1, "past": 0.25}},
        {"check": {"every": 5, "first": 20, "past": 0.25}},
        {"check": {"every": 5, "first": 20, "past_share": 0.9}},
    ),
    "gauge": ({"gauge": {"size": 20}},),
    "load": ({"load": {"past": 1.2}},),
}


def test_each_key_is_used_and_each_that_is_used_is_there() -> None:
    sources = [
        path.read_text(encoding="utf-8")
        for room in ("linesim", "dashboard")
        for path in (ROOT / room).rglob("*")
        if path.suffix in (".py", ".html")
    ]
    text = "\n".join(source for source in sources if "There are no words for this key" not in source)
    unused = [key for key in ENGLISH.entries if f'"{key}"' not in text and not _is_made(key, text)]
    written = text + "\n".join(file.read_text(encoding="utf-8") for file in (ROOT / "linesim/handbook/data").glob("*"))
    assert not [key for key in unused if not (key.startswith("taken.") and _is_written(key, written))]
    asked = set(re.findall(r'(?:say|keep|label)\(\s*"([a-z_]+\.[A-Za-z_ ]+)"', text))
    assert asked <= set(ENGLISH.entries)


def _is_written(key: str, text: str) -> bool:
    """Whether every piece of a text that is recognised alone stands in what writes it."""
    entry = ENGLISH.entries[key]
    assert isinstance(entry, str)
    return all(piece in text for piece in re.split(r"\{\w+\}|, |,$", entry))


def _is_made(key: str, text: str) -> bool:
    """Whether a key is put together from the name of its group and what it is of."""
    group, _, name = key.partition(".")
    for begins in set(re.findall(rf'f"{group}\.(\w*)\{{', text)):
        if name.startswith(begins) and all(piece in text for piece in name.removeprefix(begins).split("_")):
            return True
    return False


def test_forms_of_an_english_text_have_the_same_names_in_braces() -> None:
    for key, entry in ENGLISH.entries.items():
        if not isinstance(entry, str):
            one, other = placeholders(entry["one"]), placeholders(entry["other"])
            assert {name for name, _ in other - one} <= {"count", "shown", "parts"}, key
            assert one <= other, key


def test_forms_go_with_a_count() -> None:
    # Unicode CLDR, cardinals, from memory: 1, 21 one; 2, 24 few; 5, 11, 12 many in Russian; 12, 22 many, few in Polish.
    east = [form_of("east slavic", count) for count in (1, 21, 2, 24, 5, 11, 12)]
    assert east == ["one", "one", "few", "few", "many", "many", "many"]
    assert [form_of("polish", count) for count in (1, 21, 12, 22)] == ["one", "many", "many", "few"]
    assert [form_of("czech", count) for count in (1, 3, 5)] == ["one", "few", "other"]
    assert form_of("french", 0) == "one"
    words = Words("xx", "east slavic", {"cards.parts": {"one": "{count} a", "few": "{count} b", "other": "{count} c"}})
    with reading(words):
        assert [say("cards.parts", count=count) for count in (21, 22, 25)] == ["21 a", "22 b", "25 c"]


GERMAN = """
language: de-CH
format:
  date: "{day:02d}.{month:02d}.{year:04d}"
  decimal: ","
cards:
  change_at: {one: Nach 1 Teil wechseln, other: "Nach {shown} Teilen wechseln"}
  when: Wann
  do:
"""


def test_what_a_translation_leaves_out_is_english_and_is_listed_in_one_line(tmp_path: Path) -> None:
    file = tmp_path / "de.yaml"
    file.write_text(GERMAN, encoding="utf-8")
    words = words_from_file(file)
    with reading(words):
        assert say("cards.when") == "Wann"
        assert say("cards.do") == "What to do"
        assert say("cards.change_at", count=14, shown="14") == "Nach 14 Teilen wechseln"
    count = len(ENGLISH.entries)
    assert missing_words(words, "de.yaml").startswith(f"de.yaml: {count - 4} of {count} texts are missing")
    assert "\n" not in missing_words(words, "de.yaml")
    page = tmp_path / "cards.html"
    asked = ["cards", str(SCENARIOS / "block-line.yaml"), "--words", str(file), "--html", str(page)]
    result = CliRunner().invoke(app, asked)
    assert result.exit_code == 0
    assert result.stderr.count("texts are missing") == 1
    assert re.search(
        r'lang="de-CH".*<th scope="col">Wann</th><th scope="col">What to do', page.read_text("utf-8"), re.DOTALL
    )
    assert re.search(r"Nach \d+ Teilen wechseln", page.read_text("utf-8"))


@pytest.mark.parametrize(
    ("text", "told_so"),
    [
        ("language: de\ncards:\n  chnge_at: x", r'de.yaml:3.*there is no such key; did you mean "cards.change_at"'),
        ('language: de\ncards:\n  card: "Karte"', r"de.yaml:3.*lacks \{number\}.*Card \{number\}"),
        ('language: de\ncards:\n  card: "{number} {x}"', r"de.yaml:3.*has \{x\} otherwise"),
        ('language: de\ncards:\n  card: "{number.__class__}"', r"de.yaml:3.*is no name in braces"),
        ('language: de\ncards:\n  card: "{number"', r"de.yaml:3"),
        ('language: de\ncards:\n  together: "{share}"', r"de.yaml:3.*has \{share\} otherwise"),
        ("language: de\ncards:\n  parts: {one: x}", r"de.yaml:3.*other was expected"),
        ("language: de\ncards:\n  when: {one: x, other: y}", r"de.yaml:3.*no count"),
        ("language: de\ncards:\n  when: 3", r"de.yaml:3.*a text was expected"),
        ("language: 1\n", r"de.yaml:1.*tag of a language"),
        ("cards: {}\n", r"de.yaml.*language"),
        ("language: de\nplural: two", r"de.yaml:2.*english, french"),
        ("", r"a file of words was expected"),
    ],
)
def test_a_translation_that_does_not_fit_is_refused_with_its_line(text: str, told_so: str) -> None:
    with pytest.raises(StudyError) as refused:
        words_from_text(text, "de.yaml")
    assert re.search(told_so, str(refused.value).replace(", line ", ":"))


def test_the_whole_catalogue_is_printed_to_begin_with_and_can_be_read_back() -> None:
    result = CliRunner().invoke(app, ["schema", "--words"])
    assert result.output == template()
    words = words_from_text(result.output, "en.yaml")
    assert words == ENGLISH
    assert not words.missing
