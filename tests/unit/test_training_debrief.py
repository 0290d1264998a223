"""The debrief: what a decision was worth, by the same shift without it."""

from __future__ import annotations

import json

import pytest

from linesim.training.debrief import look_back
from linesim.training.orders import TrainingError
from linesim.training.policies import carry_policy, outcome_of, reached, stated_policy
from linesim.training.shift import Shift
from linesim.training.telling import order_words
from tests.rounds import some_each_time
from tests.training import FILES, lesson


def ended(key: str, *orders: dict[str, object], number: int = 1) -> Shift:
    shift = Shift(lesson(key), number, list(orders))
    while not shift.is_over:
        shift.decide({"do": "run"})
    return shift


LEFT_IN = {"do": "leave", "machine": "Op 20", "set": "finish blade", "parts": 25}
EARLY = {"do": "change", "machine": "Op 20", "set": "finish blade"}


def test_a_blade_left_in_too_long_is_what_cost_most() -> None:
    found = look_back(ended("01", {"do": "run", "minutes": 50}, EARLY, {"do": "run"}, LEFT_IN))
    worst = min(found.weighed, key=lambda entry: entry.worth)
    assert "left the finish blade in for 25 more parts" in worst.words
    assert worst.worth < -300
    assert "quality loss +" in worst.reason
    assert worst.words in found.try_next or found.undone[0].words in found.try_next


def test_a_change_is_told_with_the_true_wear() -> None:
    (only,) = look_back(ended("01", {"do": "run", "minutes": 50}, EARLY)).weighed
    assert "when the edge truly stood at 0." in only.words


def test_a_shift_that_decides_nothing_is_the_plans_in_money_too() -> None:
    found = look_back(ended("01"))
    assert found.figures["you"] == found.figures["the plan"]
    assert found.weighed == []
    assert not found.is_passed


def test_what_was_left_undone_is_weighed_by_itself() -> None:
    found = look_back(ended("01"))
    words = [entry.words for entry in found.undone]
    assert any("17 parts" in text for text in words)
    assert found.undone[0].worth == max(entry.worth for entry in found.undone) > 1000
    assert found.undone[0].words in found.try_next


@pytest.mark.parametrize("key", some_each_time([path.stem[:2] for path in FILES], "01", "09"))
def test_the_best_policy_played_leaves_nothing_undone_and_passes(key: str) -> None:
    shift = Shift.by_policy(lesson(key), 2, stated_policy(lesson(key), "best"))
    assert shift.carried().figures == carry_policy(lesson(key), 2, "best").figures
    found = look_back(shift)
    assert found.is_passed
    assert found.undone == []
    json.dumps(found.as_dict(), allow_nan=False)


def test_the_edges_tell_the_true_wear_of_the_whole_shift() -> None:
    found = look_back(ended("01"))
    off = [edge for edge in found.edges if edge.why != "still in"]
    assert len(off) == found.figures["you"]["changes"] + found.figures["you"]["broken edges"]
    assert all(edge.life_share > 1.0 for edge in off if edge.parts == 30)
    assert [edge.machine for edge in found.edges if edge.why == "still in"] == ["Op 20"]


@pytest.mark.parametrize(("over", "is_wanted"), [(1.001, False), (0.999, True)])
def test_a_mark_is_reached_or_missed_by_a_hair(over: float, is_wanted: bool) -> None:
    own, best = ended("01").carried(), ended("01").carried()
    share = lesson("01").file.pass_mark.reach[0].share_of_best
    assert share is not None
    best.figures["earned"] = over * own.figures["earned"] / share
    *_, (mark, value, wanted, is_reached) = reached(lesson("01"), own, best)
    assert (mark.figure, value, is_reached) == ("earned", own.figures["earned"], is_wanted)
    assert wanted == pytest.approx(over * value)


def test_a_shift_under_way_has_no_debrief() -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 30})
    with pytest.raises(TrainingError, match="the shift is not over: 450 min are left"):
        look_back(shift)


def test_what_is_kept_of_an_attempt_names_no_person() -> None:
    kept = outcome_of(ended("01", {"do": "run", "minutes": 50}, EARLY))
    assert set(kept) == {"shift", "is_passed", "earned", "share_of_best", "decisions", "steps_back"}
    assert kept["decisions"] == 1


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ({"do": "correct", "gauge": "g", "share": 0.0}, "left the offset alone whatever the g read"),
        ({"do": "correct", "gauge": "g", "share": 0.5, "dead_band": 4.0}, "errors up to 4 µm left alone"),
        ({"do": "chips", "machine": "Op 20", "clean": True}, "Op 20: had the locating faces brushed clean"),
        ({"do": "rule", "machine": "Op 20", "set": "x", "rule": {"check": {"every": 5, "past": 0.2}}}, "past 0.2 mm"),
        ({"do": "offset", "machine": "Op 20", "cut": "c", "deeper": -3.0}, "3 µm less deep"),
        ({"do": "first", "people": "setters", "machines": ["Op 20"]}, "sent the setters first to Op 20"),
    ],
)
def test_orders_are_told_in_words(order: dict[str, object], words: str) -> None:
    assert words in order_words(order)
