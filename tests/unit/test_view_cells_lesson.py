"""What the pages on a lesson and its debrief show is what the shift held, cell by cell, in metric and inch."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

import pytest

from linesim.report.theme.shown import System
from linesim.report.views import debrief as debrief_view
from linesim.report.views import lesson as lesson_view
from linesim.report.views.gauge import gauge_picture
from linesim.store.progress import Attempt
from linesim.training import Shift, look_back
from linesim.training.debrief import Debrief
from tests.training import lesson
from tests.unit.cells import assert_column, assert_columns, column, figure_of, is_shown_as, text_of

MM = {"metric": ("mm", 1.0), "inch": ("in", 1.0 / 25.4)}
UM = {"metric": ("µm", 1.0), "inch": ("µin", 1000.0 / 25.4)}


@cache
def debriefed() -> Debrief:
    orders = [{"do": "run", "minutes": 60}, {"do": "look", "machine": "Op 20", "set": "finish blade"}]
    shift = Shift(lesson("01"), 1, [*orders, {"do": "run", "minutes": 60}])
    shift.decide({"do": "change", "machine": "Op 20", "set": "finish blade"})
    while not shift.is_over:
        shift.decide({"do": "run"})
    return look_back(shift)


def test_figures_of_each_policy_stand_in_its_own_row() -> None:
    answer = debriefed()
    picture = debrief_view.compared_picture(answer)
    names = column(picture.sheet, "policy")
    assert names == list(answer.figures)
    for head in ("earned", "good parts", "parts in limits", "scrapped", "quality loss per part", "cost per part",
                 "changes", "broken edges"):  # fmt: skip
        assert_column(picture.sheet, head, [answer.figures[name][head] for name in names])
    (bars,) = picture.figure.data
    assert list(bars.x) == [answer.figures[name]["earned"] for name in names]
    assert list(picture.figure.layout.yaxis.ticktext) == names
    words = debrief_view.verdict_words(answer)
    for name, before in (("you", "you earned "), ("best", "found earns "), ("the plan", "the plan "),
                         ("run until it breaks", "until it breaks ")):  # fmt: skip
        assert is_shown_as(words.partition(before)[2], answer.figures[name]["earned"])


def test_the_ledger_of_each_policy_stands_in_its_own_column() -> None:
    answer = debriefed()
    sheet = debrief_view.item_sheet(answer)
    for at, name in enumerate(answer.items, start=1):
        assert_column(sheet, name, [answer.items[name][item] for item in column(sheet, "item")])
        assert is_shown_as(text_of(sheet.foot[at]), sum(answer.items[name].values()))


def test_marks_and_decisions_have_their_figures() -> None:
    answer = debriefed()
    sheet = debrief_view.mark_sheet(answer)
    assert_columns(sheet, {"yours": [mark.value if hasattr(mark, "value") else mark[1] for mark in answer.marks]})
    assert column(sheet, "verdict") == ["reached" if mark[3] else "missed" for mark in answer.marks]
    for cell, mark in zip(column(sheet, "wanted"), answer.marks, strict=True):
        assert is_shown_as(cell.removeprefix("at most ").removeprefix("at least "), mark[2])
    for sheet, entries in ((debrief_view.weighed_sheet(answer), answer.weighed),
                           (debrief_view.undone_sheet(answer), answer.undone)):  # fmt: skip
        shown = entries[: len(sheet.rows)]
        assert column(sheet, sheet_head(sheet)) == [entry.words for entry in shown]
        for cell, entry in zip(column(sheet, "worth"), shown, strict=True):
            assert figure_of(cell.removeprefix("+")) == pytest.approx(entry.worth, abs=0.51)
            assert cell.startswith("+") == (round(entry.worth) > 0)
        assert column(sheet, "where the money went") == [entry.reason for entry in shown]


def sheet_head(sheet: Any) -> str:
    return text_of(sheet.heads[0])


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_the_true_wear_stands_beside_what_was_read(system: System) -> None:
    answer = debriefed()
    unit, factor = MM[system]
    picture = debrief_view.wear_picture(answer, system)
    edges = answer.edges
    assert column(picture.sheet, "machine") == [edge.machine for edge in edges]
    assert_columns(
        picture.sheet,
        {
            "parts": [edge.parts for edge in edges],
            "true life share": [edge.life_share for edge in edges],
            f"true land, {unit}": [edge.land_mm * factor for edge in edges],
        },
    )
    for cell, edge in zip(column(picture.sheet, f"last look, {unit}"), edges, strict=True):
        assert cell == "–" if edge.read_mm is None else is_shown_as(cell, max(edge.read_mm, 0.0) * factor)
    for cell, edge in zip(column(picture.sheet, "off at min"), edges, strict=True):
        assert cell == "at the end" if edge.changed_min is None else is_shown_as(cell, edge.changed_min)
    drawn = sorted((x, y) for trace in picture.figure.data if trace.name.endswith("true")
                   for x, y in zip(trace.x, trace.y, strict=True))  # fmt: skip
    true = sorted((edge.parts, edge.land_mm * factor) for edge in edges)
    assert [parts for parts, _ in drawn] == [parts for parts, _ in true]
    assert [land for _, land in drawn] == pytest.approx([land for _, land in true])


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_what_is_known_at_a_machine_is_what_the_shift_shows(system: System) -> None:
    shift = Shift(lesson("01"), 1, [{"do": "run", "minutes": 90}])
    view = shift.view()
    unit, factor = MM[system]
    um, per_um = UM[system]
    for machine in view["machines"]:
        cutters = machine["cutters"]
        sheet = lesson_view.cutter_sheet(machine, system)
        assert f"({unit})" in sheet.caption
        assert_column(sheet, "parts", [each["parts"] for each in cutters])
        assert_column(sheet, "min cut", [each["cut_min"] for each in cutters])
        assert_column(sheet, "dull at", [each["dull_at_mm"] * factor for each in cutters])
        for gauge in machine["gauges"]:
            picture = gauge_picture(gauge, system)
            dials = [reading["dial_um"] for reading in gauge["readings"]]
            assert_column(picture.sheet, f"dial, {um}", [value * per_um for value in dials if value is not None])
            points = picture.figure.data[-1]
            assert list(points.y) == pytest.approx([value * per_um for value in dials if value is not None])
            limits = [shape.y0 for shape in picture.figure.layout.shapes]
            assert limits == pytest.approx([limit * per_um for limit in gauge["dial_limits_um"]])
            assert [mark == "circle" for mark in points.marker.symbol] == (
                [reading["verdict"] == "passes" for reading in gauge["readings"]]
            )


def test_the_ledger_and_the_strip_of_a_shift_under_way() -> None:
    view = Shift(lesson("01"), 1, [{"do": "run", "minutes": 200}]).view()
    sheet, ledger = lesson_view.ledger_sheet(view), view["ledger"]
    shown = {item: money for item, money in ledger["items"].items() if abs(money) >= 0.005}
    assert column(sheet, "item") == list(shown)
    assert_column(sheet, ledger["currency"], shown.values())
    strip = {name: value for name, value, _ in lesson_view.strip(view)}
    assert is_shown_as(strip["minute"], view["minute"])
    for name in ("shipped", "scrapped", "in the line"):
        assert int(strip[name]) == view["counts"][name]
    assert is_shown_as(strip["spent"], sum(ledger["items"].values()))


def test_progress_and_attempts_stand_with_their_trainee() -> None:
    attempts = [
        Attempt("ann", "01", 1, dt.date(2026, 3, 2), True, 900.0, 0.9, 4, 0),
        Attempt("ann", "01", 2, dt.date(2026, 3, 4), False, 500.0, 0.5, 7, 1),
        Attempt("bob", "02", 1, dt.date(2026, 3, 3), False, 100.0, None, 2, 3),
    ]
    progress = debrief_view.progress_sheet(attempts)
    heads = ("nickname", "lesson", "shifts", "passed", "best share", "last day")
    rows = [tuple(text_of(cell) for cell in row) for row in progress.rows]
    assert [text_of(head) for head in progress.heads] == list(heads)
    assert [row[0] for row in rows] == ["ann", "bob"]
    assert [row[2:] for row in rows] == [("2", "1", "90 %", "2026-03-04"), ("1", "0", "–", "2026-03-03")]
    sheet = debrief_view.attempt_sheet(attempts)
    assert column(sheet, "nickname") == ["bob", "ann", "ann"]
    assert_columns(sheet, {"shift": [1, 2, 1], "earned": [100.0, 500.0, 900.0], "decisions": [2, 7, 4],
                           "steps back": [3, 1, 0]})  # fmt: skip
    assert column(sheet, "share of best") == ["–", "50 %", "90 %"]
    assert column(sheet, "verdict") == ["not passed", "not passed", "passed"]
