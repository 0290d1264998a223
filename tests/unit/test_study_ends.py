"""Comparing anything by pairs, and ending a study when the best is known or the intervals are narrow enough."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest

from linesim.ask import alternatives, compare
from linesim.errors import StudyError
from linesim.study import (
    Alternative,
    AlternativeStudy,
    BestKnown,
    Crew,
    HalfWidth,
    PolicyStudy,
    StudyOptions,
    policies_of,
)
from linesim.study.statistics.selection import Race
from linesim.study.statistics.sequential import looks_of
from linesim.works import Works, changed
from tests.builders import flow_line

BLADE = {"life": 60, "change": 4, "sets": 4, "renewal": {"bought": {}}, "price": 20, "breaking": "never"}
POLICIES = {"half": {"default": {"life": 0.5}}, "full": {"default": {"life": 1}}, "run out": None}


def a_line(minutes: Any = 3.0, policies: dict[str, Any] | None = None) -> Works:
    """Two operations; the second wears blades."""
    return flow_line(
        [2.0, minutes],
        [2],
        None,
        {"Op 20": {"sets": ["blade"], "access": 2, "rate": 60}},
        {"cutters": {"blade": BLADE}, "policies": policies or POLICIES},
        {"worth": 100, "casting": {"price": 40}},
        length=2400,
        warm_up=240,
        replications=4,
    )


NOISY = {"exponential": {"mean": 3}}


# anything can be compared


def test_one_policy_in_two_works_is_told_apart_by_name() -> None:
    works = a_line()
    quicker = changed(works, {"lines": {"line": {"operations": {"Op 20": {"access": 1}}}}})
    found = alternatives(
        [Alternative("as it is", works, "half"), Alternative("quick hands", quicker, "half", "a quicker spindle nose")],
        replications=2,
    )
    assert set(found.policies["policy"]) == {"as it is", "quick hands"}
    assert found.best.policy == "quick hands"
    assert found.sentences[0].startswith('A quicker spindle nose instead of "as it is" gives')
    assert set(found.ledger["policy"]) == set(found.times["policy"]) == {"as it is", "quick hands"}
    assert found.mean("quick hands", "good_per_hour")[0] > found.mean("as it is", "good_per_hour")[0]


def test_comparing_policies_is_one_case_of_it() -> None:
    works = a_line(NOISY)
    by_name, by_hand = compare(works, replications=2), alternatives(policies_of(works), "policy", replications=2)
    assert json.dumps(by_name.as_dict()) == json.dumps(by_hand.as_dict())


def test_nothing_and_twins_are_refused_before_anything_is_run() -> None:
    works = a_line()
    with pytest.raises(StudyError, match="nothing to compare"):
        AlternativeStudy([]).steps()
    with pytest.raises(StudyError, match='"a" is named twice'):
        AlternativeStudy([Alternative("a", works, "half"), Alternative("a", works, "full")]).steps()


def test_the_answer_is_refined_after_each_complete_replication() -> None:
    steps = list(PolicyStudy(a_line(NOISY), options=StudyOptions(3, crew=Crew(1))).steps())
    assert [step.done for step in steps] == [*range(7), 6]
    counts = [None if step.answer is None else step.answer.n_replications for step in steps]
    assert counts == [None, None, 1, 1, 2, 2, 3, 3]
    assert [step.is_final for step in steps] == [False] * 7 + [True]
    assert steps[0].words == "comparing 2 policies"


def test_a_study_can_be_left_at_any_moment() -> None:
    steps = PolicyStudy(a_line(), options=StudyOptions(50, crew=Crew(1))).steps()
    next(steps)
    next(steps)
    steps.close()  # type: ignore[attr-defined]
    assert next(steps, None) is None


# until the intervals are narrow enough


def test_looks_are_fixed_beforehand_and_end_with_the_most() -> None:
    assert looks_of(HalfWidth(relative=0.1, first=4, most=20)) == (4, 6, 9, 14, 20)
    assert looks_of(HalfWidth(absolute=3.0, first=5, most=5)) == (5,)


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (HalfWidth(), "half width above 0"),
        (HalfWidth(absolute=1.0, relative=0.1), "half width above 0"),
        (HalfWidth(absolute=-1.0), "half width above 0"),
        (HalfWidth(absolute=1.0, first=1), "from 1 replications"),
        (HalfWidth(absolute=1.0, first=30, most=20), "from 30 replications up to 20"),
    ],
)
def test_a_half_width_that_makes_no_sense_is_refused(rule: HalfWidth, words: str) -> None:
    with pytest.raises(StudyError, match=words):
        looks_of(rule)


def test_a_study_goes_on_until_what_decides_is_known_well_enough() -> None:
    wide = compare(a_line(NOISY), ["full", "half"], until=HalfWidth(relative=0.2, first=4, most=60))
    narrow = compare(a_line(NOISY), ["full", "half"], until=HalfWidth(relative=0.02, first=4, most=60))
    looks = looks_of(HalfWidth(relative=0.02, first=4, most=60))
    assert wide.n_replications == 4
    assert narrow.n_replications in looks[1:]
    for name in narrow.names:
        mean, half_width = narrow.mean(name, "contribution_per_hour")
        assert half_width <= 0.02 * abs(mean)
    assert "is known to ± 2 % or better" in narrow.sentences[-1]


def test_looking_again_and_again_is_paid_for_with_wider_intervals() -> None:
    works, n = a_line(NOISY), 6
    once = compare(works, ["full"], replications=n)
    often = compare(works, ["full"], until=HalfWidth(absolute=1e9, first=n, most=50))
    assert often.n_replications == n
    assert often.looks == len(looks_of(HalfWidth(absolute=1e9, first=n, most=50)))
    ratio = often.mean("full", "good_per_hour")[1] / once.mean("full", "good_per_hour")[1]
    assert ratio > 1.3


def test_a_width_that_is_not_reached_is_not_claimed() -> None:
    found = compare(a_line(NOISY), ["full", "half"], until=HalfWidth(absolute=1e-6, first=2, most=4))
    assert found.n_replications == 4
    assert "4 replications, the most allowed, do not bring" in found.sentences[-1]


# until the best is known


def pairs(apart: float, spread: float) -> dict[str, np.ndarray[Any, Any]]:
    """Ten pairs whose differences have just this mean and this standard deviation."""
    noise = np.array([1.0, -1.0, 2.0, -2.0, 0.5, -0.5, 1.5, -1.5, 0.25, -0.25])
    return {"a": apart + spread * noise / noise.std(ddof=1), "b": np.zeros(10)}


@pytest.mark.parametrize(("lead", "left"), [(0.70, ["a", "b"]), (0.71, ["a"]), (-0.71, ["b"]), (-0.70, ["a", "b"])])
def test_what_is_behind_by_more_than_its_margin_is_dropped(lead: float, left: list[str]) -> None:
    # By hand, two to choose from, 95 %, ten replications: η = ((2·0.05)^(-2/9) - 1)/2 = 0.33405; variance 4, zone 1:
    # the margin after ten is 1/(2·10)·(2·0.33405·9·4 - 10) = 0.7026.
    race = Race(("a", "b"), 0.95, BestKnown(1.0, 10, 50))
    race.look(pairs(lead, 2.0), 10)
    assert race.left == left


def test_of_what_is_exactly_level_the_first_named_stays() -> None:
    race = Race(("a", "b"), 0.95, BestKnown(1.0, 10, 50))
    race.look({"a": np.ones(10), "b": np.ones(10)}, 10)
    assert race.selection().best == "a"


def test_less_is_better_where_cost_decides() -> None:
    race = Race(("a", "b"), 0.95, BestKnown(1.0, 10, 50), sign=-1.0)
    race.look(pairs(5.0, 1.0), 10)
    assert race.left == ["b"]


def test_what_has_no_figure_is_dropped_at_once() -> None:
    race = Race(("a", "b"), 0.95, BestKnown(1.0, 10, 50))
    race.look({"a": np.zeros(10), "b": np.full(10, math.nan)}, 10)
    assert race.left == ["a"]


@pytest.mark.parametrize(
    ("rule", "confidence", "words"),
    [
        (BestKnown(0.0), 0.95, "zone of 0 cannot be"),
        (BestKnown(math.inf), 0.95, "zone of inf cannot be"),
        (BestKnown(1.0, first=1), 0.95, "from 1 replications"),
        (BestKnown(1.0), 0.5, "blind guess"),
    ],
)
def test_a_race_that_makes_no_sense_is_refused(rule: BestKnown, confidence: float, words: str) -> None:
    with pytest.raises(StudyError, match=words):
        Race(("a", "b"), confidence, rule)


def test_a_clear_best_ends_the_study_and_the_rest_is_run_no_more() -> None:
    policies = POLICIES | {"nearly full": {"default": {"life": 0.95}}}
    found = compare(a_line(NOISY, policies), until=BestKnown(20.0, 4, 40))
    assert found.selection is not None
    assert found.best.is_clear
    assert found.best.policy == found.selection.best
    assert f"if it is at least 20 {found.works.currency}/h better than any other" in found.sentences[0]
    assert found.counts["half"] == 4
    assert len(found.outcomes) == sum(found.counts.values())
    assert "Kim and Nelson" in found.sentences[-1]
    json.dumps(found.as_dict(), allow_nan=False)


def test_no_best_is_named_where_the_most_replications_do_not_settle_it() -> None:
    near = {"full": {"default": {"life": 1}}, "nearly": {"default": {"life": 0.99}}, "run out": None}
    found = compare(a_line(NOISY, near), ["full", "nearly"], until=BestKnown(0.01, 3, 5))
    assert found.selection is not None
    assert found.selection.best is None
    assert not found.best.is_clear
    assert "the best of the two is one of the two still standing" in found.sentences[0]
    words = (
        'After 5 replications, the most allowed, "full" and "nearly" are still not significantly different to within'
    )
    assert words in " ".join(found.sentences)
    assert "best of the two by" not in found.sentences[0]


def test_policies_that_differ_in_one_set_are_told_by_that_set() -> None:
    policies = {
        "often": {"default": {"life": 1}, "exceptions": {"blade": {"parts": 5}}},
        "seldom": {"default": {"life": 1}, "exceptions": {"Op 20 / blade": {"parts": 15}, "blade": {"parts": 5}}},
        "run out": None,
    }
    found = compare(a_line(policies=policies), replications=2)
    assert found.best.policy == "seldom"
    assert found.sentences[0].startswith("Changing the blade at Op 20 after 15 parts instead of")
