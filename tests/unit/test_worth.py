"""The worth of a minute: against lines whose answer can be worked out by hand."""

from __future__ import annotations

import json
from typing import Any

import pytest

from linesim.ask import worth
from linesim.errors import ScenarioError, StudyError
from linesim.plan.times import mean_minutes
from linesim.study import StudyOptions
from linesim.study.questions.worth import Worth, WorthStudy
from linesim.study.questions.worth_plan import longer
from linesim.works import Works, changed
from linesim.works.durations import Spread
from tests.builders import a_works, flow_line
from tests.floors import a_shop

VALUE = {"worth": 100, "casting": {"price": 40}}
"""A part brings 60 more than its casting cost."""


def a_line(minutes: list[Any], machines: list[int] | None = None, **operations: Any) -> Works:
    """A line without cutters; the slowest operation holds it back."""
    room = [4] * (len(minutes) - 1)
    return flow_line(minutes, room, machines, operations, None, VALUE, length=9600, warm_up=960, replications=3)


def at(found: Worth, operation: str) -> Any:
    return found.table[found.table["operation"] == operation].iloc[0]


def test_a_minute_at_the_constraint_is_worth_its_parts_and_elsewhere_nothing() -> None:
    # Twenty parts an hour at 60 each, through sixty minutes: 20 a minute; the first operation has time to spare. The
    # counted time holds whole parts, 3200 of them, and a minute moves 53.
    found = worth(a_line([2.0, 3.0]))
    assert at(found, "Op 20")["worth"] == pytest.approx(20.0, rel=0.02)
    assert at(found, "Op 20")["cost"] == pytest.approx(20.0, rel=0.02)
    assert at(found, "Op 10")["worth"] == pytest.approx(0.0, abs=0.05)
    assert found.table["operation"].to_list() == ["Op 20", "Op 10"]
    assert "One minute an hour less stopped at Op 20 is worth" in found.sentences[0]


def test_of_two_like_machines_a_minute_of_one_is_worth_half() -> None:
    # The same twenty parts an hour take 120 machine minutes: 10 for one of them.
    found = worth(a_line([2.0, 6.0], [1, 2]))
    assert at(found, "Op 20")["worth"] == pytest.approx(10.0, rel=0.02)


def test_with_random_times_the_interval_holds_what_theory_says() -> None:
    # A machine that never waits: the rate follows its mean, 20 an hour; with 12 replications at 99.9 % a false alarm
    # is one in a thousand.
    works = a_line([{"exponential": {"mean": 3.0}}])
    found = worth(works, replications=12, confidence=0.999)
    row = at(found, "Op 10")
    assert abs(row["worth"] - 20.0) <= row["worth_half_width"]
    assert row["worth_half_width"] < 5.0
    alone = found.per_minute("line", "Op 10")
    assert alone.mean == pytest.approx(row["worth"])


@pytest.mark.parametrize(("share", "held", "per_minute"), [(0.5, "Op 10", 15.0), (0.2, "Op 20", 14.4)])
def test_the_constraint_and_its_worth_move_with_the_mix(share: float, held: str, per_minute: float) -> None:
    """Long parts bring 60 and take 5 min at Op 10, short ones 30 and 1 min; at Op 20 any takes 2.5 min.

    Half of each: 20 an hour at Op 10, 45 each. A fifth long: 24 an hour at Op 20, 36 each.
    """
    parts = {"long": {"share": share, "worth": 100}, "short": {"share": 1.0 - share, "worth": 70}}
    operations = {"Op 10": {"minutes": 3, "minutes_by_type": {"long": 5, "short": 1}},
                  "Op 20": {"minutes": 2.5, "buffer": 50}}  # fmt: skip
    found = worth(a_shop(operations, line=VALUE | {"parts": parts}, length=9600, warm_up=960))
    assert at(found, held)["worth"] == pytest.approx(per_minute, abs=4.0 / 1.96 * at(found, held)["worth_half_width"])
    other = found.table[found.table["operation"] != held].iloc[0]
    assert not other["is_told"]
    assert found.table.iloc[0]["operation"] == held


def test_utilisation_is_asked_as_well() -> None:
    # Op 10 is always busy; both machines of Op 20 stand idle a third of the time.
    works = a_line([3.0, 4.0], [1, 2])
    found = worth(works)
    assert at(found, "Op 10")["rank_worth"] == at(found, "Op 10")["rank_utilisation"] == 1
    assert "By utilisation (100.0 %) it is the constraint as well." in found.sentences


def test_a_minute_comes_off_handling_and_leaves_cutting_alone() -> None:
    works = a_works(run={"length": "4 shifts", "warm_up": "1 shift", "replications": 2})
    found = worth(works, "by parts", replications=2)
    for nudge in found.nudges:
        before = works.lines["block"].operations[nudge.operation]
        after = nudge.alternative.works.lines["block"].operations[nudge.operation]
        assert after.strokes == before.strokes
        assert after != before


@pytest.mark.parametrize(
    "law",
    [
        {"exponential": {"mean": 3}}, {"erlang": {"mean": 3, "phases": 3}}, {"gamma": {"mean": 3, "cv": 0.5}},
        {"lognormal": {"mean": 3, "cv": 0.2}}, {"weibull": {"mean": 3, "shape": 2}}, {"listed": [2, 4]}, 3.0,
        {"in_order": [2, 4]},
        {"weibull": {"scale": 3, "shape": 2}}, {"uniform": {"low": 2, "high": 4}},
        {"triangular": {"low": 2, "mode": 3, "high": 4}},
    ],
)  # fmt: skip
def test_every_kind_of_time_can_be_made_shorter_in_proportion(law: Any) -> None:
    before = Spread.model_validate(law if isinstance(law, dict) else {"fixed": law})
    mean = mean_minutes(before)
    after = longer(before, mean, -0.3)
    assert mean_minutes(after) == pytest.approx(mean - 0.3)
    assert after.name == before.name


def test_an_operation_without_handling_can_only_be_made_slower() -> None:
    works = a_works(run={"length": "2 shifts", "warm_up": 0, "replications": 2})
    bare = changed(works, {"lines": {"block": {"operations": {"Op 20": {"load": 0, "unload": 0}}}}})
    found = worth(bare, "by parts", replications=2)
    signs = [nudge.minutes > 0.0 for nudge in found.nudges if nudge.operation == "Op 20"]
    assert signs == [True]
    row = at(found, "Op 20")
    assert str(row["worth"]) == "nan"
    assert not row["is_told"]
    json.dumps(found.as_dict(), allow_nan=False)


def test_one_replication_gives_no_interval_and_no_verdict() -> None:
    found = worth(a_line([2.0, 3.0]), replications=1)
    assert found.table["worth_half_width"].isna().all()
    assert found.sentences[0].startswith("One replication does not show")


@pytest.mark.parametrize(
    ("options", "error", "words"),
    [
        ({"replications": 0}, StudyError, "0 replications"),
        ({"confidence": 1.0}, StudyError, "a confidence of 1"),
        ({"policy": "weekly"}, ScenarioError, 'no policy "weekly"'),
    ],
)
def test_what_cannot_be_priced_is_said(options: dict[str, Any], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        worth(a_line([2.0, 3.0]), **options)


def test_the_answer_is_refined_replication_by_replication() -> None:
    steps = list(WorthStudy(a_line([2.0, 3.0]), options=StudyOptions(replications=3)).steps())
    counts = [step.answer.n_replications for step in steps if step.answer is not None]
    assert (counts[0], counts[-1]) == (1, 3)
    assert steps[-1].is_final
    assert steps[-1].done == steps[-1].total == 15
