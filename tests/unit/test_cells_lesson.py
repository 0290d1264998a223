"""Lessons, debriefs, checks and progress on the terminal: every cell is the figure of its head, none like another."""

from __future__ import annotations

import datetime as dt
import io

from rich.console import Console, Group, RenderableType

from linesim.report.terminal.lesson import choices_text, lesson_list, view_text
from linesim.report.terminal.lesson_check import check_text
from linesim.report.terminal.lesson_debrief import debrief_text, progress_text
from linesim.store.progress import Attempt
from linesim.training.carrying import EdgeSeen
from linesim.training.checking import LessonCheck
from linesim.training.debrief import Debrief, Weighed
from linesim.training.lesson import FIGURES, Mark
from tests.printed import Printed, all_show, terminal_tables
from tests.training import lesson

WORKS = lesson("01").works
POLICIES = ("you", "run until it breaks", "the plan", "best")

EDGES = [
    EdgeSeen("Op 20", "finish blade", 31.0, "due", 12, 0.85, 0.26, 0.24),
    EdgeSeen("Op 20", "rough blade", 77.0, "broken", 40, 1.35, 0.47, -0.01),
    EdgeSeen("Op 30", "reamer", None, "still in", 5, 0.15, 0.08, None),
]

WEIGHED = [
    Weighed(1, "Op 20: left it in", -321.4, "quality loss +321 EUR."),
    Weighed(0, "Op 20: changed it", 17.6, "2 good parts more."),
]


def debrief(**changes: object) -> Debrief:
    """A debrief in which every figure is one of its own."""
    figures = {
        name: {figure: 1000.0 * row + 10.0 * at + 0.25 for at, figure in enumerate(FIGURES, start=1)}
        for row, name in enumerate(POLICIES, start=1)
    }
    marks = [
        (Mark(figure="earned", share_of_best=0.8), 1010.25, 3208.2, False),
        (Mark(figure="quality loss per part", at_most=5.0), 3.5, 5.0, True),
    ]
    entries: dict[str, object] = {
        "lesson": "One mill", "works": WORKS, "number": 7, "figures": figures, "items": {}, "marks": marks,
        "is_passed": False, "weighed": WEIGHED, "not_weighed": 3,
        "undone": [Weighed(-1, "Op 20: have it changed", 88.5, "wear −88 EUR.")], "edges": EDGES,
        "try_next": "the same again", "text": "Count.", "answers": [("How many?", "Three.")], "best_words": "Seven.",
    }  # fmt: skip
    return Debrief(**{**entries, **changes})  # type: ignore[arg-type]


def shown(page: RenderableType) -> str:
    """All that is printed, its lines run together."""
    console = Console(width=400, record=True, file=io.StringIO())
    console.print(page)
    return " ".join(console.export_text().split())


def tables(page: Group) -> dict[str, Printed]:
    return {table.title: table for table in terminal_tables(page)}


def test_each_policy_stands_in_its_row_with_its_figures() -> None:
    answer = debrief()
    table = tables(debrief_text(answer))["The same shift under other policies, EUR"]
    assert table.column("same castings, edges, breakdowns") == list(POLICIES)
    for head, figure in {
        "earned": "earned", "good parts": "good parts", "in limits": "parts in limits", "scrap": "scrapped",
        "loss /part": "quality loss per part", "cost /part": "cost per part", "changes": "changes",
        "broke": "broken edges",
    }.items():  # fmt: skip
        all_show(table.column(head), [answer.figures[name][figure] for name in POLICIES])
    assert len(table.heads) == 9


def test_decisions_stand_with_what_they_were_worth() -> None:
    answer = debrief()
    own, undone = list(tables(debrief_text(answer)).values())[1:3]
    assert own.column("worth, EUR") == ["−321", "+18"]
    assert own.column("decision, and where the money went") == [
        "Op 20: left it in: quality loss +321 EUR.",
        "Op 20: changed it: 2 good parts more.",
    ]
    assert undone.rows == [["+88", "Op 20: have it changed: wear −88 EUR."]]
    assert "The last 3 were not weighed." in shown(debrief_text(answer))
    assert "were not weighed" not in shown(debrief_text(debrief(not_weighed=0)))
    assert "You decided nothing that the plan does not do by itself." in shown(debrief_text(debrief(weighed=[])))


def test_the_true_wear_stands_beside_what_was_read() -> None:
    table = tables(debrief_text(debrief()))["The true wear behind what you saw"]
    assert table.column("machine") == ["Op 20", "Op 20", "Op 30"]
    assert table.column("cutter set") == ["finish blade", "rough blade", "reamer"]
    assert table.column("why") == ["due", "broken", "still in"]
    all_show(table.column("minute"), [31.0, 77.0, None])
    all_show(table.column("parts"), [12, 40, 5])
    all_show(table.column("true life share"), [0.85, 1.35, 0.15])
    all_show(table.column("true land mm"), [0.26, 0.47, 0.08])
    all_show(table.column("last look mm"), [0.24, 0.0, None])


def test_marks_say_what_was_reached_and_what_was_wanted() -> None:
    text = shown(debrief_text(debrief()))
    assert "One mill: shift 7 looked back on NOT PASSED" in text
    assert "missed: earned 1010.2, at least 3208.2 was wanted (earned: at least 80 % of what the best" in text
    assert "reached: quality loss per part 3.5, at most 5.0 was wanted (quality loss per part: at most 5 EUR)" in text
    assert "Try next: the same again" in text
    assert "Best found policy: Seven." in text
    assert "Q: How many? A: Three." in text
    assert "looked back on PASSED" in shown(debrief_text(debrief(is_passed=True)))


def test_progress_of_each_trainee_in_each_lesson() -> None:
    attempts = [
        Attempt("ann", "01", 1, dt.date(2026, 3, 2), True, 900.0, 0.9, 4, 0),
        Attempt("ann", "01", 2, dt.date(2026, 3, 4), False, 500.0, 0.5, 7, 1),
        Attempt("ann", "02", 5, dt.date(2026, 3, 5), True, 700.0, 0.7, 7, 1),
        Attempt("bob", "02", 1, dt.date(2026, 3, 3), False, 100.0, None, 2, 3),
    ]
    (table,) = terminal_tables(Group(progress_text(attempts)))
    assert table.heads == ["nickname", "lesson", "shifts", "passed", "best share %", "last day"]
    assert table.rows == [
        ["ann", "01", "2", "1", "90", "2026-03-04"],
        ["ann", "02", "1", "1", "70", "2026-03-05"],
        ["bob", "02", "1", "0", "–", "2026-03-03"],
    ]
    assert "No shift has been played to its end yet." in shown(progress_text([]))


def test_a_check_of_a_lesson_shows_passes_and_shares() -> None:
    passes = {"good": 3, "bad": 0, "best": 2}
    decided = {"good": 2, "bad": 1, "best": 3}
    shares = {"good": [0.9, 0.7, 0.86], "bad": [0.1, -0.2, 0.3], "best": [1.0, 1.0, 1.0]}
    page = check_text(LessonCheck("01", "One mill", 3, passes, decided, {}, shares, [("How many?", "Three.")]))
    (table,) = terminal_tables(page)
    assert table.column("policy") == ["good", "bad", "best"]
    all_show(table.column("passes"), [3, 0, 2])
    all_show(table.column("decided"), [2, 1, 3])
    all_show(table.column("of"), [3, 3, 3])
    all_show(table.column("least"), [0.7, -0.2, 1.0])
    all_show(table.column("middle"), [0.86, 0.1, 1.0])
    all_show(table.column("most"), [0.9, 0.3, 1.0])
    assert "NOT SOUND" in shown(page)
    always, bad_too = {"good": 3, "bad": 0, "best": 3}, {"good": 3, "bad": 3, "best": 3}
    sound = LessonCheck("01", "One mill", 3, always, bad_too, {}, shares, [])
    assert "One mill. Sound." in shown(check_text(sound))
    undecided = LessonCheck("01", "One mill", 3, always, decided, {}, shares, [])
    assert "NOT SOUND" in shown(check_text(undecided))


def test_lessons_are_listed_by_key_and_name() -> None:
    (table,) = terminal_tables(Group(lesson_list([lesson("01"), lesson("04")])))
    assert table.rows == [[each.key, each.name] for each in (lesson("01"), lesson("04"))]


def test_what_the_trainee_sees_stands_with_its_own_name() -> None:
    cutter = {"set": "mill", "parts": 12, "cut_min": 34.0, "look_mm": 0.21, "look_parts_ago": 5, "dull_at_mm": 0.3,
              "is_by_plan": False, "is_left_in": True, "way": "indexed in place"}  # fmt: skip
    reading = {"part": 9, "dial_um": -3.6, "ra_um": 1.24, "verdict": "too rough"}
    gauge = {"gauge": "plug", "every": 6, "readings": [reading], "dial_limits_um": (-14.0, 28.0), "metal_left_um": -2.0}
    machine = {
        "machine": "Op 20", "about": "finish", "state": "cutting", "since_min": 2.4, "parts": 17, "cutters": [cutter],
        "strokes": [{"stroke": "bore", "load_percent": 125, "sound": "harsh"}],
        "finishes": [{"feature": "bores", "plate_um": 3.2, "is_clean": False}], "gauges": [gauge],
        "offsets": [{"cut": "fine", "deeper_um": -7.0}, {"cut": "rest", "deeper_um": 0.0}], "chips_cleaned": True,
        "booked": [{"do": "look"}, {"do": "change"}],
    }  # fmt: skip
    view = {
        "minute": 41.0, "minutes_left": 439.0, "counts": {"shipped": 13, "scrapped": 2, "in the line": 4},
        "machines": [machine], "crib": [{"set": "mill", "sharp": 3, "wanted": 1}],
        "setters": [{"people": "setters", "free": 1, "count": 2}],
        "ledger": {"items": {"labour": 55.0, "scrap": 0.2}, "upto_min": 60.0, "currency": "EUR"},
        "question": {"kind": "machine", "machine": "Op 20", "words": ["Change it?"]},
    }  # fmt: skip
    text = " ".join(view_text(view).split())
    for words in (
        "Minute 41, 439 to go: 13 shipped, 2 scrapped, 4 in the line.",
        "Op 20 (finish): cutting for 2.4 min, 17 parts done.",
        "mill 12 parts, 34 min of cutting; last look 0.21 mm, 5 parts ago (dull at 0.30 mm, indexed in place)",
        "; left in; by your rule load bore",
        "load bore 125 % of fresh edges; sound harsh",
        "finish bores: like the plate Ra 3.2; not cleaned up all over",
        "plug one in 6; part 9: −4 µm Ra 1.2 (too rough) (limits −14 to +28 µm from the aim, metal left on reads −)",
        "offset fine −7 µm deeper locating faces brushed clean before each part ordered look, change before the next",
        "Sharp in the crib: mill 3 (wanted!). Free: setters 1 of 2.",
        "Ledger up to minute 60, EUR: labour 55. Quality loss is known at the end.",
        ">> Op 20: Change it?",
    ):
        assert words in text, words


def test_choices_are_numbered_from_one() -> None:
    assert choices_text([{"words": "run"}, {"words": "change"}]).split() == ["1", "run", "2", "change"]
