"""What the search takes the goal to be: what is worked out beforehand and what runs add, line by line."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest

from linesim.study.interim import Ending, Interim, ended_when
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.set_at import SetAt, Setting
from linesim.study.search.common.trials import TrialOutcome, Trials
from linesim.study.search.intervals.surrogate import Surrogate
from tests.floors import a_shop, a_tool

MIDDLE = 50


def cost(parts: int) -> float:
    """Of one set changed after so many parts."""
    return 60.0 / parts + 0.01 * parts


def test_a_line_is_fitted_by_its_own_figures_over_what_is_worked_out_beforehand() -> None:
    """Line one costs half its logarithm more than worked out, and 0.4 more where stops are grouped; line two is noise.

    A run that lies too far from the middle says nothing, however loudly.
    """
    chance, trials = np.random.default_rng(20311), Trials(1)
    moves = np.exp(chance.uniform(-0.7, 0.7, size=(60, 2)))
    settings = [
        Setting((round(MIDDLE * a), round(MIDDLE * b)), 0.7 if at % 3 else None) for at, (a, b) in enumerate(moves)
    ]
    for number, setting in enumerate([*settings, Setting((5 * MIDDLE, MIDDLE))]):
        own, other = setting.parts
        loss = (
            cost(own) + 0.5 * math.log(own / MIDDLE) + (0.4 if setting.group_past else 0.0) + (own > 4 * MIDDLE) * 900.0
        )
        lines = {"one": 100.0 - loss, "two": 100.0 - cost(other) + 50.0 * chance.standard_normal()}
        by_line = {name: {"contribution_per_hour": value} for name, value in lines.items()}
        trials._asked[setting, number % 4] = None
        trials._outcomes[setting, number % 4] = TrialOutcome(
            {"contribution_per_hour": sum(lines.values())}, {}, by_line
        )
    operations = {"one": "a", "two": "b"}
    works = a_shop(
        lines={
            line: {"worth": 9, "operations": {f"Op {line}": {"minutes": 1, "sets": [cutter]}}}
            for line, cutter in operations.items()
        },
        cutters={cutter: a_tool() for cutter in operations.values()},
    )
    sets_at = [SetAt(f"Op {line} / {of}", line, f"Op {line}", of, 0, 1.0, 100.0) for line, of in operations.items()]
    curve = np.array([cost(parts) for parts in range(1, 401)])
    surrogate = Surrogate(works, Goal("contribution"), trials, sets_at, (), [curve, curve], 200.0)
    assert surrogate.size == 1  # the cube root of 1² x 2
    near = surrogate.around(Setting((MIDDLE, MIDDLE)))
    fit = surrogate.goal_around(near)
    at_30 = surrogate.apart(Setting((30, MIDDLE)), near.best)
    assert fit.sum_at(at_30, near.mark_of(None))[0] == pytest.approx(
        cost(30) - cost(50) + 0.5 * math.log(0.6), abs=0.05
    )
    assert fit.trends[0] is not None
    assert fit.trends[0](at_30[:1])[0] == pytest.approx(cost(30) - cost(50))
    assert near.groups == (0.7,)
    assert fit.sum_at(at_30, near.mark_of(None))[1] > 0.0
    assert len(near.runs) == len(set(settings))


def test_a_study_that_knows_a_last_word_is_asked_for_it_and_another_ends() -> None:
    asked: list[float] = []

    def plain() -> Iterator[Interim[str]]:
        for done in range(9):
            yield Interim(done, 9, 0.0, "so far")

    def search() -> Iterator[Interim[str]]:
        try:
            yield from plain()
        except Ending as ending:
            asked.append(ending.patience_s)
        yield Interim(9, 9, 0.0, "the verdict", is_final=True)

    for study, words in ((search, ["so far", "so far", "the verdict"]), (plain, ["so far", "so far"])):
        turns = iter([False, True])
        assert [step.answer for step in ended_when(study(), turns.__next__, 5.0)] == words
    assert asked == [5.0]
