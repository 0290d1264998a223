"""The page on which a shift is run: every control, every stage, and that its figures are the library's."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.parts import in_hand
from dashboard.parts.past import store
from linesim.report.theme.markup import element
from linesim.report.views import debrief as debrief_view
from linesim.report.views import lesson as lesson_view
from linesim.store.progress import attempts, kept_shift, new_shift, trainees
from linesim.training import Shift, look_back
from tests.rounds import some_each_time
from tests.training import FILES, LESSONS, a_lesson, lesson
from tests.unit.dashboard_app import html_of, open_page, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

PARTS = Path(in_hand.__file__).parent


@pytest.fixture(autouse=True)
def _own_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))
    yield
    store().close()


def press(app: AppTest, key: str) -> AppTest:
    app.button(key=key).click().run()
    assert not app.exception
    assert "went wrong" not in texts_of(app)
    return app


def begun(key: str = "01-dull-finish-blade", nickname: str = "", number: int = 1) -> AppTest:
    app = open_page("lesson")
    app.selectbox(key="lesson").select(key).run()
    app.text_input(key="nickname").set_value(nickname).run()
    app.number_input(key="shift number").set_value(number).run()
    return press(app, "begin")


def reloaded(app: AppTest) -> AppTest:
    """The page as a browser gets it that loads the same address again."""
    fresh = open_page_at({name: str(value) for name, value in app.query_params.items()})
    assert not fresh.exception
    return fresh


def open_page_at(query: dict[str, str]) -> AppTest:
    from tests.unit import dashboard_app  # noqa: PLC0415 - its script is run by name

    app = AppTest.from_function(dashboard_app._script, kwargs={"url": "lesson"}, default_timeout=60)
    for name, value in query.items():
        app.query_params[name] = value
    return app.run()


def of(app: AppTest) -> Shift:
    held = app.session_state["shift in hand"]
    assert isinstance(held, in_hand.InHand)
    return held.shift


def to_the_end(app: AppTest) -> AppTest:
    for _ in range(60):
        if not any(button.key == "run on" for button in app.button):
            return app
        press(app, "run on")
    raise AssertionError("the shift does not end")


# choosing


def quoted(page: str) -> str:
    """A page's text with its quotation marks as they are read."""
    return page.replace("&#39;", "'").replace("&#34;", '"')


@pytest.mark.parametrize("key", some_each_time([path.stem for path in FILES], "03-chip-under-the-face"))
def test_a_lesson_tells_what_it_is_about_and_its_cautions(key: str) -> None:
    app = open_page("lesson")
    app.selectbox(key="lesson").select(key).run()
    shown = html_of(app)
    for text in (lesson(key).file.situation, lesson(key).file.task, *lesson_view.cautions(lesson(key))):
        assert quoted(element("x", text)[3:-4]) in shown
    assert not app.error


def test_a_lesson_that_is_wrong_is_told_with_its_line_and_the_others_stay(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_lesson(tmp_path, "04")
    (tmp_path / "05-spoilt.yaml").write_text("lesson: 1\nname: [\n", encoding="utf-8")
    monkeypatch.setattr(in_hand, "LESSONS", tmp_path)
    app = open_page("lesson")
    assert not app.error
    app.selectbox(key="lesson").select("05-spoilt").run()
    assert "05\\-spoilt\\.yaml" in app.error[0].value
    assert "Traceback" not in app.error[0].value


@pytest.mark.parametrize("nickname", ["x\x07y", "\u200b"])
def test_a_nickname_that_cannot_be_is_refused_and_nothing_begins(nickname: str) -> None:
    app = begun(nickname=nickname)
    assert "cannot be a nickname" in app.error[0].value
    assert "shift in hand" not in app.session_state


# playing


def test_what_is_seen_is_what_the_shift_shows() -> None:
    app = press(begun(), "run so long")
    twin = Shift(lesson("01"), 1)
    view = twin.decide({"do": "run", "minutes": 30})
    shown = html_of(app)
    (machine,) = view["machines"]
    for sheet in (lesson_view.cutter_sheet(machine), lesson_view.sense_sheet(machine), lesson_view.ledger_sheet(view)):
        assert quoted(sheet.html) in shown
    assert lesson_view.moment_words(view) in shown
    assert "life share" not in shown


def test_a_session_of_decisions_is_the_library_s_to_the_last_bit() -> None:
    app = press(begun(number=3), "run so long")
    press(app, "order this")
    app.number_input(key="run minutes").set_value(45).run()
    press(app, "run so long")
    to_the_end(app)
    twin = Shift(lesson("01"), 3)
    for order in of(app).history:
        twin.decide(order)
    assert [order["do"] for order in of(app).history][:3] == ["run", "change", "run"]
    assert of(app).carried().figures == twin.carried().figures
    shown = html_of(app)
    found = look_back(twin)
    for sheet in (debrief_view.mark_sheet(found), debrief_view.weighed_sheet(found), debrief_view.undone_sheet(found),
                  debrief_view.compared_picture(found).sheet, debrief_view.item_sheet(found),
                  debrief_view.wear_picture(found).sheet):  # fmt: skip
        assert quoted(sheet.html) in shown
    assert debrief_view.verdict_words(found) in shown
    assert all(quoted(element("p", worked)) in shown for _, worked in found.answers)


@pytest.mark.parametrize("key", ["01-dull-finish-blade", "08-one-setter-three-machines", "03-chip-under-the-face"])
def test_everything_that_can_be_decided_can_be_ordered(key: str) -> None:
    app = begun(key)
    groups = lesson_view.grouped(of(app).choices())
    ordered = 0
    for where, choices in groups.items():
        if where in (lesson_view.RUNNING, lesson_view.ANSWERS, "How the line is set up"):
            continue
        for words in choices:
            app.selectbox(key="order where ").select(where).run()
            box = app.selectbox(key=f"order what {where}")
            if words not in box.options:
                continue  # what was ordered before has changed it
            box.select(words).run()
            before = len(of(app).history)
            press(app, "order this")
            assert len(of(app).history) == before + 1, texts_of(app)
            ordered += 1
    assert ordered > 5
    assert len(lesson_view.decided_words(of(app).history)) == ordered


def test_another_way_to_set_the_line_up_is_taken_before_the_first_step() -> None:
    app = begun("02-one-heavy-cut")
    app.selectbox(key="order where ").select("How the line is set up").run()
    press(app, "order this")
    assert of(app).way != "as planned"


def test_a_question_is_answered() -> None:
    app = begun("08-one-setter-three-machines")
    for _ in range(80):
        if any(str(button.key).startswith("answer") for button in app.button):
            break
        press(app, "run on")
    press(app, "answer 1")
    assert of(app).history[-1]["do"] in ("send", "verdict")


def test_figures_are_typed_in_the_units_that_are_shown() -> None:
    app = begun()
    app.button_group(key="units").set_value("inch").run()
    app.selectbox(key="order where ").select("Op 20").run()
    app.selectbox(key="order what Op 20").select("Offset the cut finish").run()
    (field,) = [field for field in app.number_input if str(field.key).startswith("field deeper")]
    assert "µin" in field.label
    field.set_value(1000.0 / 25.4).run()
    press(app, "order this")
    assert of(app).history[-1]["deeper"] == pytest.approx(1.0, abs=1e-5)


def test_hints_come_one_by_one() -> None:
    app = begun()
    hints = lesson("01").file.hints
    assert hints[0] not in html_of(app)
    press(app, "hint")
    assert hints[0] in html_of(app)
    assert hints[1] not in html_of(app)


# nothing is lost, nothing mixed


def test_a_reload_in_the_middle_loses_nothing() -> None:
    app = press(press(press(begun(nickname="Ada"), "run so long"), "order this"), "run so long")
    again = reloaded(app)
    assert of(again) is not of(app)
    assert of(again).history == of(app).history
    assert of(again).view() == of(app).view()
    twin = Shift(lesson("01"), 1, of(app).history)
    while not twin.is_over:
        twin.decide({"do": "run"})
    assert of(to_the_end(again)).carried().figures == twin.carried().figures


def test_a_reload_of_the_debrief_shows_it_again_and_notes_nothing_twice() -> None:
    app = to_the_end(begun(nickname="Ada"))
    again = reloaded(app)
    assert debrief_view.verdict_words(look_back(of(app))) in html_of(again)
    assert len(attempts(store())) == 1


def test_a_step_back_restores_exactly() -> None:
    app = press(begun(), "run so long")
    before = of(app).view()
    press(press(app, "order this"), "run so long")
    press(press(app, "step back"), "step back")
    assert of(app).view() == before
    assert of(app).steps_back == 2
    assert of(reloaded(app)).steps_back == 2


def test_two_windows_do_not_mix() -> None:
    first, second = press(begun(nickname="Ada"), "run so long"), begun(nickname="Ada", number=2)
    press(second, "order this")
    assert [order["do"] for order in of(reloaded(first)).history] == ["run"]
    assert [order["do"] for order in of(reloaded(second)).history] == ["change"]


def test_a_shift_that_went_on_in_another_window_is_shown_as_it_stands_there() -> None:
    first = press(begun(), "run so long")
    second = press(reloaded(first), "order this")
    press(first, "run so long")
    assert "gone on elsewhere" in first.warning[0].value
    assert of(first).history == of(second).history
    press(first, "run so long")
    assert len(of(first).history) == 3


def test_a_shift_that_was_put_down_is_gone_on_with() -> None:
    app = press(press(begun(nickname="Ada"), "run so long"), "put down")
    assert "shift in hand" not in app.session_state
    assert "played" not in app.query_params
    (button,) = [button for button in app.button if str(button.key).startswith("go on")]
    press(app, str(button.key))
    assert of(app).minute == 30.0


def test_an_address_that_is_not_kept_is_told() -> None:
    app = open_page_at({"played": "nothing"})
    assert "is not kept" in app.error[0].value
    assert any(button.key == "begin" for button in app.button)


def test_a_shift_of_a_lesson_that_has_changed_since_is_refused_in_words() -> None:
    kept = Shift(lesson("01"), 1).as_dict() | {"digest": "0"}
    key = new_shift(store(), "01-dull-finish-blade", kept).key
    app = open_page_at({"played": key})
    assert "Begin the shift anew" in app.error[0].value
    assert kept_shift(store(), key) is not None


def test_without_a_store_the_shift_is_played_and_it_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "none").write_text("no store", encoding="utf-8")
    app = open_page("lesson")
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "none"))
    press(app, "begin")
    assert "loading the page again will lose it" in app.warning[0].value
    press(app, "run so long")
    assert of(app).minute == 30.0
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))


def test_the_same_shift_is_played_again_and_the_lessons_are_found_back() -> None:
    app = press(to_the_end(begun(nickname="Ada")), "same again")
    assert of(app).history == []
    press(to_the_end(app), "to lessons")
    assert any(button.key == "begin" for button in app.button)
    assert len(attempts(store(), "Ada")) == 2


# the instructor's table


def table_open() -> AppTest:
    app = open_page("lesson")
    app.button_group(key="training part").set_value("Trainees").run()
    assert not app.exception
    return app


def test_an_empty_table_says_so() -> None:
    assert "No shift has been played to its end" in html_of(table_open())


def test_the_instructor_sees_exports_and_deletes() -> None:
    to_the_end(begun(nickname="=Ada"))
    to_the_end(begun(nickname="Till"))
    app = table_open()
    assert debrief_view.progress_sheet(attempts(store())).html in html_of(app)
    at_a_glance = html_of(app).partition("The class: ")[2].partition("</table>")[0]
    assert at_a_glance.count("passed") == 2  # one lesson, an outcome for each
    assert "lesson=" in app.code[0].value
    app.selectbox(key="trainee to look back with").select("Till").run()
    debrief = next(each for each in app.button if str(each.key).startswith("debrief "))
    assert "played by Till" in html_of(press(app, str(debrief.key)))
    press(app, "to lessons")
    app.button_group(key="training part").set_value("Trainees").run()
    assert {"progress csv", "attempts csv", "attempts xlsx"} <= {str(each.key) for each in app.get("download_button")}
    assert "'=Ada" in debrief_view.progress_sheet(attempts(store())).csv
    app.selectbox(key="nickname to delete").select("=Ada").run()
    press(press(app, "ask deleting"), "no deleting")
    assert trainees(store()) == ["=Ada", "Till"]
    press(app, "ask deleting")
    assert "cannot be had back" in app.warning[0].value
    press(app, "yes deleting")
    assert trainees(store()) == ["Till"]


def test_the_parts_of_the_page_know_no_engine_and_reckon_nothing() -> None:
    for name in ("in_hand", "playing", "looking_back", "trainees"):
        text = (PARTS / f"{name}.py").read_text(encoding="utf-8")
        reckoning = (ast.Sub, ast.Mult, ast.Pow, ast.Mod, ast.FloorDiv)
        found = [ast.unparse(node) for node in ast.walk(ast.parse(text))
                 if isinstance(node, ast.BinOp) and isinstance(node.op, reckoning)]  # fmt: skip
        assert not found
        assert "linesim.floor" not in text
        assert "linesim.fast" not in text


def test_lessons_lie_where_the_command_looks_for_them() -> None:
    assert in_hand.LESSONS == LESSONS
