"""The page of the shop's own records without a browser: looked through, mended, fitted, used, taken back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.parts import room
from dashboard.parts.records_shelf import Shelf
from linesim.errors import ScenarioError
from linesim.records.overlay import Entry, Overlay
from linesim.records.sent import look_through
from linesim.records.using import uses_of, with_figures
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled, texts_of
from tests.unit.test_watching import book as weeks

pytestmark = pytest.mark.usefixtures("board_closed")

LIFE_MIN, CV = 90.0, 0.3
NAME = "Werkzeugbuch <b>Halle 3</b> mit sehr langem Namen.csv"


def book() -> bytes:
    """Forty lives of a finish mill, lognormal about 90 min, in a shop's own words; one row cannot be read."""
    chance = np.random.default_rng(11)
    sigma = float(np.sqrt(np.log1p(CV**2)))
    lives = LIFE_MIN * np.exp(sigma * chance.standard_normal(40) - 0.5 * sigma**2)
    cut = ["dull" if life < 110.0 else "Takt" for life in lives]
    cells = [
        (f"{1 + at % 28:02d}.03.26", f"{min(life, 110.0):.1f}".replace(".", ","), why)
        for at, (life, why) in enumerate(zip(lives, cut, strict=True))
    ]
    rows = [";".join(("finish mill", *each, f"7,{at % 9}")) for at, each in enumerate(cells)]
    return "\n".join(["Tool;Date;Minutes;Why;Change minutes", *rows, "finish mill;99.03.26;12;dull;7"]).encode()


def opened(**choices: object) -> AppTest:
    works = load_works(SCENARIOS / "smallest.yaml")
    return open_page("records", {"desk": room.desks().add(Desk(works, "smallest", choices=dict(choices))).id})


def test_records_are_confirmed_fitted_used_and_taken_back() -> None:
    shelf = Shelf()
    shelf.add(NAME, book(), look_through({NAME: book()}))
    mine = shelf.mappings[NAME]  # a word of the shop's that a person explains; the page keeps it
    shelf.mappings[NAME] = replace(mine, words={**mine.words, "takt": "by interval"})
    app = opened(records=shelf)
    assert "41 rows, taken for tool changes" in html_of(app)
    assert '"takt" is not known' in html_of(app)
    app = settled(app.button(key="records read").click().run())
    page = html_of(app)
    assert "39 rows serve; 2 rows are set aside" in page
    assert "99.03.26" in page
    assert "<b>Halle" not in page
    app = settled(app.button(key="use figures").click().run())
    works = desk_of(app).works
    grade = works.handbook.grades["finish mill, from records"]
    assert grade["ref_life_min"] == pytest.approx(LIFE_MIN, rel=0.12)
    assert works.cutters["finish mill"].life_cv == pytest.approx(CV, abs=0.1)
    assert "From records: mean edge life" in works.cutters["finish mill"].about
    assert NAME in works.cutters["finish mill"].about
    assert "No edge life in the records" in html_of(app)
    app = app.button(key="undo").click().run()
    assert "finish mill, from records" not in desk_of(app).works.model_dump_json()


def test_a_file_that_is_like_nothing_is_said_and_nothing_else_is_lost() -> None:
    shelf = Shelf()
    for name, content in (("a.csv", book()), ("b.csv", b"colour,taste\nred,sweet\n"), ("c.xlsx", b"no workbook")):
        shelf.add(name, content, look_through({name: content}))
    app = opened(records=shelf)
    assert "this is not a workbook" in texts_of(app)
    assert app.button(key="records read").disabled
    app = app.selectbox(key="records 1 kind").set_value("leave it out").run()
    assert not app.button(key="records read").disabled
    app.button(key="away 0").click().run()
    assert list(shelf.files) == ["b.csv", "c.xlsx"]


def test_figures_stand_beside_what_is_there_and_what_cannot_be_is_refused() -> None:
    works = load_works(SCENARIOS / "smallest.yaml")
    works = changed(
        works, {"cutters": {"rough mill": {"change": {"erlang": {"mean": 6, "phases": 3}}, "about": "Ours."}}}
    )
    change = ("cutters", "rough mill", "change", "lognormal")
    overlay = Overlay([Entry((*change, "mean"), 8.0, "book, rows 2-9"), Entry((*change, "cv"), 0.2, "book, rows 2-9")])
    rows = [(use.of, use.what, use.now, use.then) for use in uses_of(overlay, works)]
    assert rows[0] == ("rough mill", "change, mean, min", "erlang", "8")
    assert [row[2:] for row in rows] == [("erlang", "8"), ("erlang", "0.2")]
    own = with_figures(with_figures(works, overlay), overlay).cutters["rough mill"]
    assert own.change.lognormal.mean == 8.0
    assert own.about == "Ours. From records: book, rows 2-9"
    with pytest.raises(ScenarioError, match="cv"):
        with_figures(works, Overlay([Entry((*change, "mean"), 8.0, ""), Entry((*change, "cv"), -1.0, "")]))


def test_new_weeks_are_held_against_the_figures_on_the_desk() -> None:
    """Edges that last half as long from the ninth week on: the chart says so; the line is run for what it changes."""
    shelf, content = Shelf(), weeks(0.5).encode()
    shelf.add("weeks.csv", content, look_through({"weeks.csv": content}))
    app = settled(opened(records=shelf).button(key="records read").click().run())
    assert "have moved" not in html_of(app)
    app = settled(app.toggle(key="watching").set_value(True).run())
    page = html_of(app)
    assert "1 of 2 figures have moved." in page
    assert "finish mill, edge life: has moved, most likely in the week of 2026-03-02" in page
    assert "finish mill, change minutes" in page
    assert "the interval that costs least" not in page
    app = settled(app.button(key="watching advice").click().run())
    assert "finish mill: " in html_of(app)
    assert "the interval that costs least would now be" in html_of(app)
    assert "watching advice" not in {each.key for each in app.button}
