"""What to change first: a line whose best change is worked out by hand, what is said before praise, and trials."""

from __future__ import annotations

import pytest

from linesim.ask import advise
from linesim.study.advice.advice import Advice
from linesim.study.advice.change import ChangeStudy
from linesim.study.advice.move import TRIAL, Move, moved, on_trial
from linesim.study.advice.moves import moves_of
from linesim.study.advice.paired import MONEY, Paired, hours_a_month
from linesim.study.advice.remarks import drawing_words, sets_past_limit
from linesim.study.advice.study import affordable, runs_of
from linesim.study.advice.words import proposal_words, rounded
from linesim.study.crew.outcome import WHOLE_WORKS, Outcome
from linesim.study.options import StudyOptions
from linesim.study.questions.effort import check_effort
from linesim.study.search.common.set_at import all_sets_at
from linesim.works import Works, changed, load_works, works_from_dict


def one_machine(parts: int) -> Works:
    """One machine at work all the time: a part a minute, an edge that lasts 100 minutes, five minutes a change."""
    return works_from_dict(
        {
            "name": "one machine",
            "run": {"length": 21_000, "warm_up": 0, "replications": 2, "seed": 20261127},
            "cutters": {"tool": {"sets": 2, "renewal": {"bought": {}}, "life": 100, "change": 5, "breaking": "never"}},
            "lines": {"line": {"worth": 10, "operations": {"Op 10": {"minutes": 1, "sets": ["tool"]}}}},
            "policies": {"today": {"default": {"parts": parts}}},
        }
    )


@pytest.fixture(scope="module")
def short() -> Advice:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 days"}})
    return advise(works, replications=6, workers=1)


def test_the_best_change_is_the_one_worked_out_by_hand() -> None:
    """n parts take n + 5 minutes: 40 an hour at 10, 57.14 at 100; 10 EUR a part, 320 worked hours a month."""
    advice = advise(one_machine(10), replications=2, workers=1)
    assert hours_a_month(advice.works) == 320.0
    (action,) = advice.actions
    assert action.label == "Change the tool at Op 10 after 100 parts instead of 10"
    by_hand = 320.0 * 10.0 * 60.0 * (100.0 / 105.0 - 10.0 / 15.0)
    assert action.gain.mean == pytest.approx(by_hand, rel=1e-3)
    assert advice.together is None
    assert action.first == ()
    assert "saves" in proposal_words(action)
    assert "planned changes a week. Still right down to 0.5 of the assumed lives and up to 2." in proposal_words(action)


def test_a_change_just_made_brings_what_was_worked_out_by_hand() -> None:
    change = ChangeStudy(one_machine(100), one_machine(10), "today", "today", StudyOptions(2)).run()
    by_hand = 320.0 * 10.0 * 60.0 * (100.0 / 105.0 - 10.0 / 15.0)
    row = change.figures.set_index("name").loc[MONEY]
    assert row["change"] == pytest.approx(by_hand, rel=1e-3)
    assert row["before"] == pytest.approx(320.0 * 400.0, rel=1e-3)
    assert change.sentences[-1].startswith("The last change brings 54\N{NARROW NO-BREAK SPACE}8")
    back = ChangeStudy(one_machine(10), one_machine(100), "today", "today", StudyOptions(2)).run()
    assert back.sentences[-1].startswith("The last change loses 54\N{NARROW NO-BREAK SPACE}8")
    same = ChangeStudy(one_machine(10), one_machine(10), "today", "today", StudyOptions(2)).run()
    assert same.sentences == ("The last change makes no difference in any run.",)


def test_nothing_is_proposed_where_today_is_best() -> None:
    advice = advise(one_machine(100), replications=2, workers=1)
    assert advice.actions == ()
    assert advice.sentences[-1].startswith("None of the ")


def test_money_where_no_part_has_a_worth_is_what_today_s_output_costs_less() -> None:
    works = changed(one_machine(10), {"lines": {"line": {"worth": 0}}})

    def outcome(cost: float) -> Outcome:
        return Outcome([{"line": WHOLE_WORKS, "cost_per_good_part": cost, "good_per_hour": 5.0}], [], [], [])

    paired = Paired(works, [outcome(10.0), outcome(12.0)], [outcome(9.0), outcome(11.0)], 0.95)
    assert paired.difference(MONEY).mean == pytest.approx(320.0 * 5.0)
    assert paired.difference("cost").mean == pytest.approx(-1.0)


def test_what_is_proposed_is_significant_and_in_order_of_money(short: Advice) -> None:
    gains = [action.gain for action in short.actions]
    assert gains
    assert all(gain.mean - gain.half_width > 0.0 for gain in gains)
    assert [gain.mean for gain in gains] == sorted((gain.mean for gain in gains), reverse=True)
    others = [each for each in short.proposals if each not in short.actions]
    assert all(each.gain.mean <= each.gain.half_width for each in others)
    assert short.together is not None
    assert short.together.gain.mean > gains[0].mean


def test_a_drawing_that_is_not_held_is_said_before_the_action(short: Advice) -> None:
    assert short.sentences[0].startswith("As it runs today the line does not hold the drawing (face, ")
    assert short.sentences[1].startswith("As it runs today the line goes past the wear limit of rough mill at Op 10")
    for action in short.actions:
        assert proposal_words(action).lower().index("hold") < proposal_words(action).index(action.label)


def test_the_ledger_of_a_month_adds_up_to_the_money(short: Advice) -> None:
    action = short.actions[0]
    items = action.items.set_index("item")["change"]
    worth = items.pop("worth of the good parts")
    assert worth - items.sum() == pytest.approx(action.gain.mean, rel=1e-9)


def test_remarks_on_the_drawing() -> None:
    assert list(drawing_words((1.2, "bore, size"))) == []
    assert list(drawing_words((0.9, "bore, size"), (1.1, "bore, size"))) == [
        "Does not hold the drawing (bore, size: Cpk 0.90)."
    ]
    assert list(drawing_words((0.7, "bore, size"), (0.9, "face, size"))) == [
        "Holds the drawing even less than today (bore, size: Cpk 0.70; today face, size: 0.90)."
    ]


@pytest.mark.parametrize("name", ["block-line", "mixed-line", "smallest"])
def test_no_interval_tried_goes_past_the_wear_limit_and_no_two_changes_are_one(name: str) -> None:
    works = load_works(f"scenarios/{name}.yaml")
    moves = moves_of(works)
    lives = {each.key: each.parts_per_life for each in all_sets_at(works)}
    intervals = [move for move in moves if move.entry == "exceptions"]
    assert intervals
    assert all(move.value.parts <= lives[move.key] for move in intervals)
    assert len({move.words for move in moves}) == len(moves)
    today = works.policies[works.todays_policy]
    assert all(move.on_policy(today) != today or move.on_works(works) != works for move in moves)


def test_sets_that_are_run_out_go_past_their_limit() -> None:
    works = load_works("scenarios/smallest.yaml")
    assert sets_past_limit(works, "run until it breaks") == ["Op 10 / rough mill", "Op 20 / finish mill"]
    assert sets_past_limit(works, "full life") == []


def test_a_trial_stands_beside_today_s_practice() -> None:
    works = one_machine(10)
    move = moves_of(works)[0]
    after, name = on_trial(works, [move], TRIAL)
    assert (name, after.todays_policy) == (TRIAL, "today")
    assert after.policies["today"] == works.policies["today"]
    assert after.policies[TRIAL].rule_for("Op 10", "tool") == move.value
    assert on_trial(after, [move], TRIAL) == (after, TRIAL)
    other = moves_of(works)[1]
    assert on_trial(after, [other], TRIAL)[1] == "on trial 2"


def test_a_gauge_that_reads_less_often_is_a_change_of_the_works() -> None:
    works = load_works("scenarios/smallest.yaml")
    move = Move("every", "Op 20 / height gauge", 4, "Read one part in 4")
    after = moved(works, [move])
    assert after.lines["flange"].operations["Op 20"].gauges["height gauge"].every == 4
    assert works.lines["flange"].operations["Op 20"].gauges["height gauge"].every == 1
    assert list(after.policies) == [TRIAL]


def test_a_long_run_is_looked_at_in_fewer_changes() -> None:
    works = one_machine(10)
    assert affordable(works, 24) == 300
    longer = changed(works, {"run": {"length": 500_000}})
    assert 12 < affordable(longer, 24) < 300
    check_effort(longer, runs_of(affordable(longer, 24), 24))
    assert affordable(changed(works, {"run": {"length": 900_000_000}}), 24) == 12


def test_figures_have_the_digits_that_their_interval_carries() -> None:
    assert rounded(2476.3, 182.0) == "2\N{NARROW NO-BREAK SPACE}480"
    assert rounded(12.34, 0.6) == "12.34"
