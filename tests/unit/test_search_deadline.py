"""A search ends in time, with the best so far and a verdict in runs that it has not seen."""

from __future__ import annotations

import time

import pytest

from linesim.ask import drivers, intervals, sets
from linesim.errors import StudyError
from linesim.study.search import SearchPlan
from linesim.study.search.common.deadline import Deadline, TimeUp
from linesim.study.search.common.trials import Trials
from linesim.works import changed, load_works

SHORT = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "1 day", "warm_up": "1 h"}})


class Clock(Trials):
    """Trials at a moment of a search: so many runs have taken so many seconds."""

    def __init__(self, done: int, elapsed_s: float) -> None:
        super().__init__(1)
        self.done, self._elapsed_s = done, elapsed_s

    @property
    def elapsed_s(self) -> float:
        return self._elapsed_s


@pytest.mark.parametrize(
    ("done", "elapsed_s", "is_up"),
    [
        # One run a second, a minute in all, two settings in 10 fresh replications: 20 s are held back.
        (39, 39.0, False),
        (41, 41.0, True),
        # Runs of 3 s would want 60 s for the verdict: half of the minute is held back, no more.
        (9, 27.0, False),
        (11, 33.0, True),
        (0, 30.0, False),
    ],
)
def test_time_is_held_back_for_the_verdict(done: int, elapsed_s: float, is_up: bool) -> None:
    deadline = Deadline(Clock(done, elapsed_s), 1.0, 10)
    if is_up:
        with pytest.raises(TimeUp):
            deadline.check()
    else:
        deadline.check()


@pytest.mark.parametrize(
    ("done", "elapsed_s", "minutes", "fresh"),
    [(40, 40.0, 1.0, 10), (50, 50.0, 1.0, 5), (60, 60.0, 1.0, 4), (60, 600.0, 1.0, 4), (60, 600.0, None, 10)],
)
def test_the_verdict_takes_the_replications_for_which_there_is_time(
    done: int, elapsed_s: float, minutes: float | None, fresh: int
) -> None:
    assert Deadline(Clock(done, elapsed_s), minutes, 10).fresh_in_time == fresh


def test_minutes_that_cannot_be_are_refused() -> None:
    with pytest.raises(StudyError, match="0 minutes cannot be; a figure above 0 was expected"):
        intervals(SHORT, plan=SearchPlan(minutes=0.0))


def test_intervals_end_in_time_with_a_verdict_and_say_how_many_runs_it_took() -> None:
    intervals(SHORT, plan=SearchPlan(runs=50, replications=4, fresh=2))  # whatever is loaded at first
    began_s = time.monotonic()
    answer = intervals(SHORT, plan=SearchPlan(runs=10**6, replications=64, fresh=200, minutes=0.05))
    took_s = time.monotonic() - began_s
    assert not answer.is_settled
    assert answer.verdict is not None
    assert 4 <= answer.verdict.replications <= 200
    assert answer.runs >= 2 * answer.verdict.replications
    assert len(answer.comparison)
    assert answer.setting.parts
    assert took_s < 60.0, "three seconds were given; the rest is patience with a busy machine"


def test_even_a_moment_gives_a_verdict_on_the_policy_to_set_out_from() -> None:
    answer = intervals(SHORT, plan=SearchPlan(fresh=3, minutes=1e-9))
    assert answer.verdict is not None
    assert answer.verdict.replications == 3
    assert answer.base == SHORT.todays_policy
    assert answer.sentences[-1].startswith("The search was ended before it had settled")


def test_numbers_and_drivers_end_in_time_as_well() -> None:
    numbers = sets(SHORT, "every 60 parts", minutes=1e-9, replications=3, fresh=2)
    assert not numbers.is_settled
    assert numbers.runs >= 1
    assert numbers.sentences
    driven = drivers(SHORT, "every 60 parts", minutes=1e-9, replications=2)
    assert driven.base is not None
    assert driven.runs < 2 * (1 + 2 * len(driven.inputs))
