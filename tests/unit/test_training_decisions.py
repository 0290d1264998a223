"""A lesson's own decision: read off the shift, wanted by the mark, shown by the debrief."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from linesim.errors import ScenarioError
from linesim.report.terminal.lesson import pass_words
from linesim.report.terminal.lesson_debrief import decision_line
from linesim.report.views.debrief import verdict_words
from linesim.training.carrying import Carried
from linesim.training.checking import Margin, check_lesson, margins
from linesim.training.debrief import look_back
from linesim.training.lesson import Lesson, Mark, Stated
from linesim.training.policies import carry_policy, is_decided, reached, stated_policy
from linesim.training.reading import load_lesson
from linesim.training.search import drawn_policies
from linesim.training.shift import Shift
from linesim.training.signs import sign_of
from tests.training import DRAWN_SEED, FILES, a_lesson, lesson, one_mill

KEYS = [path.stem[:2] for path in FILES]


def carried(of: Lesson, *orders: dict[str, object], way: str = "as planned", number: int = 1) -> Carried:
    return carry_policy(of, number, Stated(about="x", way=way, orders=list(orders)))


@pytest.mark.parametrize("key", KEYS)
def test_every_lesson_wants_a_decision_of_its_own(key: str) -> None:
    assert lesson(key).file.pass_mark.decision is not None


@pytest.mark.parametrize("key", KEYS)
def test_no_orders_drawn_blindly_pass_without_the_decision(key: str) -> None:
    """Two draws on a shift of their own; `tests.benchmarks.lessons` plays twenty."""
    drawn = drawn_policies(lesson(key), 2, DRAWN_SEED)
    answer = check_lesson(lesson(key), [43], drawn)
    assert set(drawn) <= answer.passes.keys()
    assert all(answer.passes[name] <= answer.decided[name] for name in answer.passes)
    assert answer.decided["good"] == answer.decided["best"] == 1


def test_what_is_drawn_is_drawn_again_by_the_same_seed_and_is_not_all_the_same() -> None:
    state = random.getstate()
    one, again, other = (drawn_policies(lesson("02"), 6, seed) for seed in (1, 1, 2))
    assert one == again != other
    assert len({policy.way for policy in one.values()}) > 1
    assert random.getstate() == state


def test_an_offset_earns_the_money_of_the_first_lesson_and_does_not_pass_it() -> None:
    """The blade stays in for 26 parts, past its life, and the offset takes out what it leaves on."""
    orders = [
        {"do": "correct", "gauge": "plug gauge", "share": 1.0},
        {"do": "gauge every", "gauge": "plug gauge", "parts": 3},
        {"do": "rule", "machine": "Op 20", "set": "finish blade", "rule": {"parts": 45}},
    ]
    shift = Shift.by_policy(lesson("01"), 1, Stated(about="x", orders=orders))
    answer = look_back(shift)
    assert not answer.is_decided
    assert not answer.is_passed
    assert "not taken" in decision_line(answer)
    assert "not taken" in verdict_words(answer)


@pytest.mark.parametrize("key", ["02", "03", "09"])
def test_the_debrief_of_a_good_shift_shows_the_decision_taken(key: str) -> None:
    answer = look_back(Shift.by_policy(lesson(key), 1, stated_policy(lesson(key), "good")))
    assert answer.is_decided
    decision = lesson(key).file.pass_mark.decision
    assert decision is not None
    assert decision_line(answer) == f"The lesson's own decision was taken: {decision.about}"
    assert decision_line(answer) in verdict_words(answer)
    assert answer.as_dict()["decision"] == decision.about
    assert [mark for mark, *_ in answer.marks] == lesson(key).file.pass_mark.marks


def test_the_heavy_cut_does_not_pass_whatever_is_earned() -> None:
    own = carried(lesson("02"))
    own.figures["earned"] = 1e6
    outcome = reached(lesson("02"), own, carry_policy(lesson("02"), 1, "best"))
    assert [mark[3] for mark in outcome] == [False, True]
    assert not is_decided(lesson("02"), outcome)


# --- signs -----------------------------------------------------------------------------------------------------------


def test_signs_of_a_shift_worked_by_hand(tmp_path: Path) -> None:
    """An edge lasts ten parts and is changed after five, so that it comes off at half its life."""
    one = one_mill(tmp_path)
    own = carried(one)
    assert sign_of(own, "most worn edge", "Op 10 / mill") == pytest.approx(0.5)
    assert sign_of(own, "edges used", "Op 10 / mill") == len(own.edges)
    assert sign_of(own, "set up", "as planned") == 1.0
    assert sign_of(own, "set up", "dear") == 0.0
    assert sign_of(carried(one, way="dear"), "set up", "dear") == 1.0
    late = carried(one, {"do": "rule", "machine": "Op 10", "set": "mill", "rule": {"parts": 8}})
    assert sign_of(late, "most worn edge", "Op 10 / mill") == pytest.approx(0.8)


def test_brushing_is_counted_by_the_parts_that_were_begun() -> None:
    assert (
        sign_of(carried(lesson("03"), {"do": "chips", "machine": "Op 20", "clean": True}), "share brushed", "Op 20")
        == 1
    )
    shift = Shift(lesson("03"))
    shift.decide({"do": "run", "minutes": 240})
    shift.decide({"do": "chips", "machine": "Op 20", "clean": True})
    while not shift.is_over:
        shift.decide({"do": "run"})
    assert 0.4 < sign_of(shift.carried(), "share brushed", "Op 20") < 0.6


def test_an_offset_moved_by_hand_counts_as_one_that_the_gauge_moves() -> None:
    still = {"do": "correct", "gauge": "bore gauge", "share": 0.0}
    of = "Op 20 / finish"
    assert sign_of(carried(lesson("09"), still), "mean move of the offset", of) == 0.0
    shift = Shift(lesson("09"), 1, [still])
    for deeper in (6.0, -6.0):
        shift.decide({"do": "run", "minutes": 60})
        shift.decide({"do": "offset", "machine": "Op 20", "cut": "finish", "deeper": deeper})
    while not shift.is_over:
        shift.decide({"do": "run"})
    assert sign_of(shift.carried(), "mean move of the offset", of) == pytest.approx(6.0)


def test_chasing_the_gauge_on_fewer_parts_is_chasing_it() -> None:
    """A full correction moves the offset by the whole reading however seldom; a fifth by a fifth of it."""
    of = "Op 20 / finish"
    full, seldom, little = (
        sign_of(
            carried(
                lesson("09"),
                {"do": "correct", "gauge": "bore gauge", "share": share},
                {"do": "gauge every", "gauge": "bore gauge", "parts": every},
            ),
            "mean move of the offset",
            of,
        )
        for share, every in ((1.0, 1), (1.0, 4), (0.2, 4))
    )
    assert seldom == pytest.approx(full, rel=0.35)
    assert little < 0.4 * seldom


def test_a_fresh_edge_begins_at_nothing_and_is_moved_anew() -> None:
    """6 µm on the first edge, a change, 6 µm on the second: 12 in all, and the change itself moves nothing."""
    deeper = {"do": "offset", "machine": "Op 20", "cut": "finish", "deeper": 6.0}
    change = {"do": "change", "machine": "Op 20", "set": "finish blade"}
    shift = Shift(lesson("01"), 1)
    for orders in ((deeper,), (change,), (deeper,), ()):
        for order in orders:
            shift.decide(order)
        shift.decide({"do": "run", "minutes": 20})
    assert shift.stand.hand.watched.moved_um == {0: pytest.approx(12.0)}


def test_waiting_for_the_setter_is_that_of_the_machine_named() -> None:
    own = carried(lesson("08"))
    waited = [sign_of(own, "minutes kept from the setter", name) for name in ("Op 10", "Op 20", "Op 30")]
    assert sum(waited) == pytest.approx(own.figures["minutes waiting for a setter"])
    assert len(set(waited)) == 3


# --- where marks lie -------------------------------------------------------------------------------------------------


def test_a_mark_lies_in_the_middle_between_those_who_pass_and_those_who_fail() -> None:
    least = Margin(Mark(figure="earned", at_least=1.0), passing=0.9, failing=0.5)
    most = Margin(Mark(figure="most worn edge", of="a / b", at_most=1.0), passing=0.9, failing=1.5)
    assert (least.middle, most.middle) == (pytest.approx(0.7), pytest.approx(1.2))
    assert least.parts_them
    assert most.parts_them
    assert not Margin(least.mark, passing=0.5, failing=0.9).parts_them
    assert not Margin(most.mark, passing=1.5, failing=0.9).parts_them


@pytest.mark.parametrize("key", KEYS)
def test_the_marks_lie_between_them(key: str) -> None:
    answer = check_lesson(lesson(key), [11])
    for margin in margins(lesson(key), answer):
        mark = margin.mark
        if mark.at_most is not None:
            assert margin.passing <= mark.at_most
        else:
            assert margin.passing >= float(mark.at_least if mark.at_least is not None else mark.share_of_best or 0.0)


# --- drift and noise -------------------------------------------------------------------------------------------------


def test_correct_much_for_drift_and_little_for_noise() -> None:
    """Lessons 01 and 09 side by side, the same two shares of each error, mean of three shifts."""
    earned = {}
    for key, gauge in (("01", "plug gauge"), ("09", "bore gauge")):
        for share in (0.2, 1.0):
            runs = [
                carried(lesson(key), {"do": "correct", "gauge": gauge, "share": share}, number=n) for n in (1, 2, 3)
            ]
            earned[key, share] = sum(run.figures["quality loss per part"] for run in runs) / 3
    assert earned["01", 1.0] < 0.9 * earned["01", 0.2]
    assert earned["09", 1.0] > 1.5 * earned["09", 0.2]


# --- what is wrong is said -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        ({"figure": "most worn edge", "at_most": 1}, "OPERATION / SET was expected"),
        ({"figure": "earned", "of": "Op 20", "at_least": 1}, "belongs to signs of a decision"),
        ({"figure": "most worn edge", "of": "Op 20 / finnish blade", "at_most": 1}, "finnish blade"),
        ({"figure": "most worn edge", "of": "Op 20", "at_most": 1}, "there is no cutter set"),
        ({"figure": "mean move of the offset", "of": "Op 20 / finnish", "at_most": 1}, 'did you mean "finish"?'),
        ({"figure": "set up", "of": "otherwise", "at_least": 1}, 'there is no way "otherwise"'),
        ({"figure": "share brushed", "of": "Op 99", "at_least": 1}, 'no machine in your hands called "Op 99"'),
    ],
)  # fmt: skip
def test_a_sign_that_cannot_be_read_is_refused(tmp_path: Path, mark: dict[str, object], words: str) -> None:
    passing = {
        "why": "x",
        "decision": {"about": "x", "shown_by": [mark]},
        "reach": [{"figure": "earned", "at_least": 1}],
    }
    with pytest.raises(ScenarioError) as refused:
        load_lesson(a_lesson(tmp_path, pass_mark=passing))
    assert words in str(refused.value)
    assert "pass_mark.decision.shown_by[0]" in str(refused.value)


def test_a_lesson_without_a_decision_is_taken_and_says_nothing_of_it(tmp_path: Path) -> None:
    one = one_mill(tmp_path)
    answer = look_back(Shift.by_policy(one, 1, stated_policy(one, "best")))
    assert (answer.decision, answer.is_decided, decision_line(answer)) == ("", True, "")
    assert not any("own decision" in words for words in pass_words(one))
    assert any("own decision" in words for words in pass_words(lesson("01")))


def test_a_mark_says_what_is_done_where_it_is_read() -> None:
    assert "most worn edge (seat wheel at Op 20 (grind valve seats)): at most 1.61" in pass_words(lesson("04"))
    assert "set up (studs first): at least 1" in pass_words(lesson("06"))
