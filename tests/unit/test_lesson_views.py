"""What a trainee sees on the desk, without a browser: units, dials, words, and names that would be markup."""

from __future__ import annotations

import datetime as dt
import io

import openpyxl
import pytest

from linesim.report.views import debrief as debrief_view
from linesim.report.views import lesson as lesson_view
from linesim.report.views.gauge import gauge_picture, gauge_words
from linesim.store.progress import Attempt
from linesim.training import Shift, look_back
from linesim.training.debrief import look_back_steps
from linesim.training.reading import lesson_title
from tests.training import FILES, lesson

HOSTILE = "<script>alert(1)</script>"


@pytest.mark.longer
def test_every_choice_stands_once_and_makes_its_order_with_its_usual_figures() -> None:
    for path in FILES:
        shift = Shift(lesson(path.stem), 1)
        choices = shift.choices()
        groups = lesson_view.grouped(choices)
        assert sum(map(len, groups.values())) == len(choices)
        for choice in choices:
            fields = {field["name"]: lesson_view.field_shown(field)["usual"] for field in choice["fields"]}
            order = lesson_view.order_made(choice, fields)
            if order["do"] != "set up":
                Shift(lesson(path.stem), 1).decide(order)


@pytest.mark.parametrize("name", ["low", "usual", "high"])
def test_a_figure_in_inches_is_the_same_order(name: str) -> None:
    (choice,) = [each for each in Shift(lesson("01"), 1).choices() if each["order"]["do"] == "offset"]
    (field,) = choice["fields"]
    typed = lesson_view.field_shown(field, "inch")[name]
    assert typed == pytest.approx(field[name] * 1000.0 / 25.4)
    assert lesson_view.order_made(choice, {"deeper": typed}, "inch")["deeper"] == pytest.approx(field[name], abs=1e-6)


def test_a_dial_shows_the_last_reading_within_its_limits() -> None:
    shift = Shift(lesson("01"), 1)
    (gauge,) = shift.view()["machines"][0]["gauges"]
    assert "Nothing has been read yet" in gauge_words(gauge)
    assert not gauge_picture(gauge).sheet.rows
    (gauge,) = shift.decide({"do": "run", "minutes": 60})["machines"][0]["gauges"]
    picture = gauge_picture(gauge)
    last = gauge["readings"][-1]
    assert f"Part {last['part']}: " in picture.words
    assert list(picture.sheet.frame["dial_um"]) == [reading["dial_um"] for reading in gauge["readings"]]
    needle = picture.figure.data[3]
    assert (needle.x[1] < 0) == (last["dial_um"] < sum(gauge["dial_limits_um"]) / 2)


def test_a_gauge_for_the_finish_alone_has_no_dial() -> None:
    gauge = {
        "gauge": "stylus", "feature": "face", "every": 5, "metal_left_um": 1.0, "dial_limits_um": None,
        "ra_limits_um": [3.2], "error_um": 0.0, "corrects": None, "correction_share": 0.0, "dead_band_um": 0.0,
        "readings": [{"part": 5, "dial_um": None, "ra_um": 2.5, "verdict": "passes"}],
    }  # fmt: skip
    assert "Ra 2.5" in gauge_words(gauge)
    assert list(gauge_picture(gauge).figure.data[0].y) == [2.5]


def test_the_moment_says_what_is_asked_and_what_comes_of_doing_nothing() -> None:
    shift = Shift(lesson("08"), 1)
    assert lesson_view.moment_words(shift.view()).startswith("The shift has not begun")
    view = shift.decide({"do": "run"})
    told = lesson_view.moment_words(view)
    assert view["question"]["words"][0].rstrip(".") in told
    assert "goes by the plan" in told
    assert lesson_view.asked_at(view) in lesson_view.grouped(shift.choices())


def test_nothing_hidden_is_shown_while_the_shift_runs() -> None:
    for path in FILES:
        shift = Shift(lesson(path.stem), 1)
        view = shift.decide({"do": "run", "minutes": 120})
        sheets = [lesson_view.ledger_sheet(view), lesson_view.others_sheet(view)]
        for machine in view["machines"]:
            sheets += [lesson_view.cutter_sheet(machine), lesson_view.sense_sheet(machine)]
        shown = " ".join(sheet.html for sheet in sheets)
        assert "life share" not in shown
        assert ">quality loss<" not in shown


def test_a_debrief_tells_how_far_it_is_and_ends_with_what_looking_back_gives() -> None:
    orders = [{"do": "run", "minutes": 60}, {"do": "change", "machine": "Op 20", "set": "finish blade"}] * 2
    shift = Shift(lesson("01"), 1, orders)
    while not shift.is_over:
        shift.decide({"do": "run"})
    steps = list(look_back_steps(shift))
    assert [step.done for step in steps] == [1, 2, 3]
    assert [step.is_final for step in steps] == [False, False, True]
    assert steps[-1].answer == look_back(shift)


def test_the_debrief_s_tables_hold_its_figures() -> None:
    shift = Shift(lesson("01"), 1)
    while not shift.is_over:
        shift.decide({"do": "run"})
    found = look_back(shift)
    frame = debrief_view.compared_picture(found).sheet.frame.set_index("policy")
    assert frame.at["you", "earned"] == found.figures["you"]["earned"] == frame.at["the plan", "earned"]
    wear = debrief_view.wear_picture(found).sheet.frame
    assert list(wear["land_mm"]) == [edge.land_mm for edge in found.edges]
    worth = sum(found.items["you"].values()) + found.figures["you"]["earned"]
    assert worth == pytest.approx(found.figures["you"]["good parts"] * lesson("01").works.lines["block"].worth)


def test_a_hostile_nickname_is_a_name_in_tables_and_files() -> None:
    attempt = Attempt(HOSTILE, "01", 1, dt.date(2026, 3, 2), True, 900.0, 0.9, 4, 0)
    formula = Attempt("=1+1", "01", 1, dt.date(2026, 3, 2), False, 900.0, None, 4, 0)
    for sheet in (debrief_view.progress_sheet([attempt, formula]), debrief_view.attempt_sheet([attempt, formula])):
        assert HOSTILE not in sheet.html
        assert "'=1+1" in sheet.csv
    book = openpyxl.load_workbook(io.BytesIO(debrief_view.attempt_excel([attempt, formula])))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "1+1" in "".join(str(cell.value) for cell in cells)
    assert all(cell.data_type != "f" for cell in cells)
    assert "2 shifts have been played to the end by 2 trainees; 1 of them passed" in debrief_view.progress_words(
        [attempt, formula]
    )


def test_a_lesson_that_cannot_be_read_stands_in_the_list_by_its_file(tmp_path) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "12-spoilt.yaml").write_text("name: [", encoding="utf-8")
    assert lesson_title(tmp_path / "12-spoilt.yaml") == "12-spoilt"
    assert lesson_title(FILES[0]) == "01  The dull finish blade that looked sharp"
