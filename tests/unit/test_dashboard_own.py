"""The page of one's own line without a browser: begun from nothing, nothing is lost, what cannot be had is said."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.parts import cells, room
from dashboard.parts.draft import take, typed
from dashboard.parts.order import Move, _move, shown_names
from linesim.works import load_works
from linesim.works.book.layout import layout_of
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

ROWS = [["10", None, "2 x Mill", "6,5", "T1", "40", None], ["20", None, None, "90 s", None, None, None]]


def opened(about: str = "", **choices: object) -> AppTest:
    works = load_works(SCENARIOS / "smallest.yaml").model_copy(update={"about": about})
    return open_page("own", {"desk": room.desks().add(Desk(works, "smallest", choices=dict(choices))).id})


def press(app: AppTest, key: str) -> AppTest:
    return app.button(key=key).click().run()


def test_answers_are_kept_and_become_the_line_on_the_desk() -> None:
    app = press(opened(**{"guided rows": ROWS}), "begin guided")
    assert app.button(key="end guided").disabled
    assert "Name of the part: missing" in html_of(app)
    app.text_input(key="guided part").set_value("Pump").run()
    assert "Pump: Op 10 (on Mill) holds the line back" in html_of(app)
    app = press(press(app, "leave guided"), "begin guided")
    assert app.text_input(key="guided part").value == "Pump"
    app = press(app, "end guided")
    works = desk_of(app).works
    assert (works.name, list(works.lines["Pump"].operations)) == ("Pump", ["Op 10", "Op 20"])
    assert works.lines["Pump"].operations["Op 20"].minutes is not None
    assert "figures are assumed" in html_of(app)
    assert press(app, "undo").title[0].value.startswith("Rocker")


def test_a_text_that_no_cell_holds_is_said_in_place_of_the_download() -> None:
    assert "a cell of a workbook holds at most 32767" in texts_of(opened("x" * 40_000))
    assert "cannot be downloaded" not in texts_of(opened())


def test_moving_an_operation_moves_it_on_the_desk_and_is_taken_back() -> None:
    desk = Desk(load_works(SCENARIOS / "smallest.yaml"), "smallest")
    draft = typed(desk).draft.moved("Operations", ("flange", "Op 10"), 2)
    assert take(desk, draft, "moving").digest == desk.digest
    assert list(desk.works.lines["flange"].operations) == ["Op 20", "Op 30", "Op 10"]
    desk.undo()
    assert list(desk.works.lines["flange"].operations) == ["Op 10", "Op 20", "Op 30"]


def test_what_a_browser_says_was_moved_is_believed_only_where_it_can_be() -> None:
    assert _move({"at": 0, "to": 2}, 3) == Move(0, 2)
    for said in (None, "x", {}, {"at": 0, "to": 3}, {"at": -1, "to": 1}, {"at": 1, "to": 1}, {"at": True, "to": 0}):
        assert _move(said, 3) is None


def test_of_the_two_choices_of_a_sheet_the_last_one_counts() -> None:
    app = opened()
    assert app.segmented_control(key="main sheet").value == "Works"
    app = app.selectbox(key="rare sheet").set_value("Fixtures measured").run()
    assert app.segmented_control(key="main sheet").value is None
    app = app.segmented_control(key="main sheet").set_value("Cuts").run()
    assert app.selectbox(key="rare sheet").value is None
    app = app.segmented_control(key="main sheet").set_value(None).run()
    assert app.segmented_control(key="main sheet").value == "Cuts"


def test_what_still_shows_an_old_name_is_counted_beside_the_table() -> None:
    desk = Desk(load_works(SCENARIOS / "smallest.yaml"), "smallest")
    table, draft = layout_of().titled("Operations"), typed(desk).draft
    head, *rows = (list(row) for row in draft.grids["Operations"])
    rows[2][head.index("after")] = "Op 20"
    now = take(desk, draft.with_rows("Operations", rows), "an order")
    look = cells._look(now, table, [])
    shown = cells._laid_out(now, table, (), look, 0)
    assert cells._behind(now, table, shown) == 0
    typed_over = [["flange", "Op 25", *row[2:]] if row[1] == "Op 20" else row for row in rows]
    shown.seen = dict(enumerate(cells._filled(typed_over, len(head))))
    now = take(desk, now.draft.edited("Operations", enumerate(typed_over)), "a name")
    assert cells._behind(now, table, shown) == 1
    assert cells._behind(now, table, cells._laid_out(now, table, (), look, 1)) == 0


def test_names_alike_at_the_beginning_are_told_apart_where_they_are_put_in_order() -> None:
    names = [
        f"bearing cap of the <b>cam shaft</b> at the far end, seen from the flywheel, side {side}" for side in "ABC"
    ]
    shown = shown_names(names)
    assert [name[-1] for name in shown] == ["A", "B", "C"]
    assert max(map(len, shown)) <= 60
