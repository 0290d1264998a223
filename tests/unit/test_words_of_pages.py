"""One file translates the pages used every day: with every word of the catalogue marked, no English is left on them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from streamlit.dataframe_util import convert_arrow_bytes_to_pandas_df
from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.forms.trial_fields import kind_called, kinds_of, trial_rows
from dashboard.parts import before_after, room
from dashboard.parts.said import label
from dashboard.parts.sheet_words import _WORDS, _Own
from dashboard.questions import advice, carry
from dashboard.shell import PAGES
from linesim.ask import compare
from linesim.cards import tool_cards
from linesim.report.views.advice import _figure_said
from linesim.store import open_store
from linesim.study import Crew
from linesim.study.advice.paired import FIGURES
from linesim.study.crew.recording import recorded
from linesim.words import Words, reading, say
from linesim.works import Works, changed
from tests.unit.dashboard_app import desk_of, open_page, settled
from tests.unit.test_words_of_sheets import english_left, nameless, translation

pytestmark = pytest.mark.usefixtures("board_closed", "own_store")

NO_WORDS = {"Excel", "HTML", "PDF", "CSV", "YAML", "Letter", "hy"}
"""Names of formats, of a paper and of the language."""
READ = ("label", "body", "help", "placeholder", "text", "title", "caption", "alt")
"""Fields of what Streamlit sends to the browser that somebody reads."""


def short_works() -> Works:
    return changed(nameless("smallest.yaml"), {"run": {"length": 480, "warm_up": 0}})


def opened(url: str, choices: dict[str, Any] | None = None, words: Words | None = None) -> AppTest:
    """A page of a desk with words of its own."""
    own = {_WORDS: _Own("", "", translation() if words is None else words)}
    desk = Desk(short_works(), "№0", choices=own | (choices or {}))
    return open_page(url, {"desk": room.desks().add(desk).id})


def read_on(app: AppTest) -> str:
    """Everything that somebody reads on a page, without Markdown's escapes; what it rests on left out."""
    return re.sub(r"%\{.*?\}", " ", " ".join(_texts(app._tree)).replace("\\", ""))


def _texts(node: Any) -> Iterator[str]:
    proto = getattr(node, "proto", None)
    if proto is not None and re.search(r" rests$", str(getattr(proto, "id", ""))):
        return  # assumptions, methods and sources are the report's
    if proto is not None:
        yield from _of_proto(proto)
    for child in getattr(node, "children", {}).values():
        yield from _texts(child)


def _of_proto(proto: Any) -> Iterator[str]:
    for field, value in proto.ListFields():
        if field.name == "arrow_data":
            for column in convert_arrow_bytes_to_pandas_df(value.data).items():
                yield from map(str, (cell for cell in column[1] if isinstance(cell, str)))
        elif field.name == "columns" and isinstance(value, str):
            yield from (str(of.get("label", "")) for of in json.loads(value).values())
        elif field.name == "spec":
            yield from _of_picture(json.loads(value))
        elif field.name in READ and isinstance(value, str):
            yield value
        elif field.name == "options":
            yield from (each if isinstance(each, str) else each.content for each in value)
        elif hasattr(value, "ListFields") and field.name in ("expandable", "popover", "label"):
            yield from _of_proto(value)


def _of_picture(spec: Any) -> Iterator[str]:
    """Titles, ticks and what hangs beside marks."""
    if isinstance(spec, dict):
        for name, inner in spec.items():
            if name in ("text", "hovertext", "ticktext", "hovertemplate", "name"):
                yield from ([inner] if isinstance(inner, str) else map(str, inner) if isinstance(inner, list) else [])
            if name != "template":
                yield from _of_picture(inner)
    elif isinstance(spec, list):
        for inner in spec:
            yield from _of_picture(inner)


def left_on(app: AppTest, but: str = "$^") -> list[str]:
    assert not app.error
    words = english_left(f'<html lang="hy">{re.sub(but, " ", read_on(app))}', short_works())
    return [word for word in words if word not in NO_WORDS]


def test_pages_are_called_as_the_catalogue_calls_them() -> None:
    assert {module.URL: module.TITLE for module in PAGES} == {
        module.URL: say(f"pages.{module.URL}") for module in PAGES
    }


def test_words_that_were_sent_make_no_markup_on_a_control() -> None:
    """Whoever looks at a colleague's desk reads the colleague's words."""
    with reading(Words("xx", "english", {"frame.undo": "[x](https://example.org) **y**"})):
        assert label("frame.undo") == "\\[x\\]\\(https\\:\N{WORD JOINER}//example\\.org\\) \\*\\*y\\*\\*"
    assert label("frame.take_back", step="*x*") == "Take back: \\*x\\*"


COMING = {"which shift": "The coming shift, from what is on the machines", "coming shifts": 2}


@pytest.mark.longer
def test_the_coming_shift_is_shown_in_the_words_of_the_desk() -> None:
    app = opened("shift", COMING)
    assert not left_on(app)
    assert "good parts" not in read_on(app)
    asked = settled(app.selectbox(key="pick left in").select_index(1).run())
    assert not left_on(asked)
    assert desk_of(asked).choices["left in"] == "№105 / №101"
    back = settled(asked.button(key="coming-shift english").click().run())
    assert "good parts" in read_on(back)
    assert {"will", "due"} <= set(left_on(back))
    assert back.selectbox(key="pick left in").value == "№105 / №101"


CARDS = {"sheet to carry": "Cards and their approval"}


def test_cards_and_their_approval_are_shown_in_the_words_of_the_desk() -> None:
    app = opened("carry", CARDS)
    assert not left_on(app)
    app.text_input(key="propose by").set_value("№1")
    app = settled(app.button(key="propose").click().run())
    app.text_input(key="approve by").set_value("№2")
    app = settled(app.button(key="approve it 1").click().run())
    assert not left_on(app)
    number = next(iter(tool_cards(short_works(), short_works().todays_policy).numbers.values()))
    app = settled(app.text_input(key="card in hand").set_value(number).run())
    assert not left_on(app)
    assert len(app.success) == 1


def test_figures_of_the_advice_are_found_in_the_catalogue() -> None:
    """A table has lost the keys of its texts; what stands there is found again by its English."""
    money = "EUR"
    rows = [{"name": each.name, "figure": each.words, "unit": each.unit.replace("money", money)} for each in FIGURES]
    with reading(translation()):
        told = [_figure_said(row, money) for row in rows]
    assert not re.findall("[a-z]", " ".join(told))


@pytest.mark.longer
@pytest.mark.parametrize("sheet", ["The brief", "The tool room's weeks"])
def test_sheets_to_carry_away_are_shown_in_the_words_of_the_desk(sheet: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(carry, "_REPLICATIONS", 3)
    monkeypatch.setattr(carry, "_MOST_MOVES", 10)
    assert not left_on(opened("carry", {"sheet to carry": sheet, "weeks": 2}))


DOUBT = "Still right .*?</p>"
"""How far a change stays right is said by the studies of doubt, in English."""


@pytest.mark.longer
def test_what_to_do_first_is_shown_in_the_words_of_the_desk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(advice, "_REPLICATIONS", 3)
    monkeypatch.setattr(advice, "_MOST_MOVES", 10)
    monkeypatch.setattr(before_after, "_REPLICATIONS", 3)
    app = opened("advice")
    assert not left_on(app, DOUBT)
    desk_of(app).put(changed(short_works(), {"run": {"seed": 5}}), "№7")
    assert set(left_on(settled(app.run()), DOUBT)) == {"run", "seed"}, "names of entries are those of the file"


def test_a_trial_of_rules_is_put_in_the_words_of_the_desk_and_kept_in_those_of_the_file() -> None:
    row = trial_rows(short_works(), "№110")[0]
    with reading(translation()):
        assert not re.findall("[a-z]", " ".join(map(kind_called, kinds_of(row))))


@pytest.mark.longer
def test_a_form_for_a_trial_is_shown_in_the_words_of_the_desk() -> None:
    app = opened("cutters")
    form = [each for each in app.get("form") if str(each.proto.form.form_id).startswith("trial ")]
    texts = " ".join(text for each in form for text in _texts(each)).replace("\\", "")
    assert texts
    left = set(english_left(f'<html lang="hy">{texts}', short_works()))
    assert left <= {"um", "0.9", "0.5"}, "what is typed is typed as a file has it"


def test_an_empty_store_is_told_in_the_words_of_the_desk() -> None:
    assert not left_on(opened("past"))


@pytest.mark.longer
def test_past_studies_are_shown_in_the_words_of_the_desk(own_store: Path) -> None:
    """Names of entries are those of the file; what a study has said stays as it was kept."""
    for seed in (1, 2):
        works = changed(short_works(), {"run": {"seed": seed}})
        with open_store(own_store) as store, recorded(Crew(1, store), "compare", works, {}) as record:
            compare(works, replications=2, crew=record.crew)
    app = opened("past")
    assert not left_on(app)
    beside = settled(app.selectbox(key="pick other study").select_index(1).run())
    assert set(left_on(beside)) == {"run", "seed"}
    asked = settled(beside.button(key="ask away 2").click().run())
    assert set(left_on(asked)) == {"run", "seed"}
