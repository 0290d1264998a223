"""The frontier: a grid of policies, which of them are beaten, how sure that is, and the knee."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from linesim.errors import StudyError
from linesim.study import StudyOptions
from linesim.study.questions.frontier import Frontier, FrontierStudy
from linesim.study.questions.frontier_grid import KINDS, grid_of
from linesim.study.statistics.pareto import BEATEN, ON, OPEN, knee_of, not_beaten, verdicts_of
from linesim.works.policies import Rule
from tests.builders import a_works

SHORT = {"length": "4 shifts", "warm_up": "1 shift", "replications": 4}


def a_block() -> Any:
    """The small block line, run for a few shifts, with blades enough."""
    return a_works(run=SHORT, cutters={"rough blade": {"sets": 12, "lead_time": "1 h", "change": 5}})


def spread_out(values: list[float], noise: float, seed: int = 4) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Twelve replications about each value."""
    return np.array(values)[:, None] + np.random.default_rng(seed).normal(0.0, noise, (len(values), 12))


# places


def test_what_another_one_beats_is_off_the_line_and_equals_stay() -> None:
    output, loss = np.array([10.0, 12.0, 11.0, 9.0, 12.0]), np.array([5.0, 7.0, 8.0, 5.0, 7.0])
    assert not_beaten(output, loss).tolist() == [0, 1, 4]


def test_places_are_sure_where_noise_is_small_and_open_where_it_is_not() -> None:
    output, loss = [1.0, 2.0, 3.0, 1.9], [1.0, 2.0, 3.0, 2.1]
    sure = verdicts_of(spread_out(output, 0.001), spread_out(loss, 0.001, 5), 0.95)
    assert sure.verdict == [ON, ON, ON, BEATEN]
    assert sure.beaten_by == [-1, -1, -1, 1]
    unsure = verdicts_of(spread_out(output, 0.5), spread_out(loss, 0.5, 5), 0.95)
    assert unsure.verdict[1] == unsure.verdict[3] == OPEN


def test_shared_chance_settles_what_spread_alone_would_not() -> None:
    shared = np.random.default_rng(2).normal(0.0, 5.0, 12)
    output, loss = spread_out([1.0, 2.0, 1.9], 0.01) + shared, spread_out([1.0, 2.0, 2.1], 0.01, 3) + shared
    assert verdicts_of(output, loss, 0.95).verdict == [ON, ON, BEATEN]


def test_one_replication_settles_nothing() -> None:
    assert verdicts_of(np.array([[1.0], [2.0]]), np.array([[2.0], [1.0]]), 0.95).verdict == [OPEN, OPEN]


def test_twins_do_not_take_each_others_place() -> None:
    output, loss = spread_out([1.0, 2.0], 0.001), spread_out([1.0, 2.0], 0.001, 5)
    doubled = verdicts_of(np.vstack([output, output[1]]), np.vstack([loss, loss[1]]), 0.95)
    assert doubled.verdict == [ON, ON, ON]


def test_the_knee_is_the_point_farthest_out() -> None:
    # From (0, 0) to (1, 1): after 0.8 of the output for 0.1 of the loss, the rest is dear.
    output, loss = spread_out([0.0, 0.4, 0.8, 1.0], 1e-4), spread_out([0.0, 0.04, 0.1, 1.0], 1e-4, 6)
    assert knee_of(output, loss, 1) == (2, 1.0)


def test_two_ends_have_no_knee_nor_has_a_straight_line() -> None:
    two = np.array([[0.0, 0.0], [1.0, 1.0]])
    straight = np.array([[0.0, 0.0], [0.5, 0.5], [1.0, 1.0]])
    assert knee_of(two, two, 1).point == -1
    assert knee_of(straight, straight, 1).point == -1


def test_a_knee_that_hangs_on_a_few_replications_says_so() -> None:
    output, loss = spread_out([0.0, 0.5, 0.55, 1.0], 0.1), spread_out([0.0, 0.1, 0.12, 1.0], 0.1, 8)
    knee = knee_of(output, loss, 1)
    assert knee == knee_of(output, loss, 1)
    assert 0.0 < knee.share < 0.95


# the grid


def test_a_grid_has_every_kind_at_every_share_and_the_scenarios_own() -> None:
    works = a_block()
    grid = grid_of(works, ("life", "grouped", "run out"), (0.5, 1.0))
    names = [each.name for each in grid]
    assert names == [
        *works.policies, "0.5 of life", "1 of life", "0.5 of life, grouped", "1 of life, grouped", "run out (grid)",
    ]  # fmt: skip
    policies = grid[0].works.policies
    assert policies["0.5 of life"].default == Rule(life=0.5)
    assert policies["1 of life, grouped"].group_past == 0.7
    assert policies["run out (grid)"].default.run_out


def test_every_kind_of_rule_makes_policies_that_can_be_run() -> None:
    grid = grid_of(a_block(), KINDS, (0.6,), with_own=False)
    assert len(grid) == 10
    found = FrontierStudy(grid, StudyOptions(2)).run()
    assert set(found.comparison.names) == {each.name for each in grid}


def test_a_grid_over_one_set_leaves_the_others_to_their_policy() -> None:
    works = a_block()
    (one,) = grid_of(works, ("parts",), (0.5,), ["finish blade"], "by parts", with_own=False)
    policy = one.works.policies[one.policy]
    before = works.policies["by parts"]
    assert policy.default == before.default
    changed = {name: rule for name, rule in policy.exceptions.items() if before.exceptions.get(name) != rule}
    assert list(changed) == ["Op 40 / finish blade"]
    assert changed["Op 40 / finish blade"].parts is not None


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"kinds": ("hourly",)}, 'no kind of rule "hourly"'),
        ({"kinds": ()}, "no kind of rule is named"),
        ({"shares": (0.0,)}, "an interval of 0 lives"),
        ({"sets": ["finish blades"]}, 'no cutter set "finish blades"; did you mean "finish blade"'),
        ({"shares": tuple(0.01 * at for at in range(1, 90))}, "too many for one frontier"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(options: dict[str, Any], words: str) -> None:
    with pytest.raises(StudyError, match=words):
        grid_of(a_block(), **options)


# the study


def a_frontier() -> Frontier:
    return FrontierStudy(grid_of(a_block(), ("life", "run out"), (0.4, 1.0)), StudyOptions(6)).run()


def test_a_frontier_is_told_in_a_table_and_in_words() -> None:
    found = a_frontier()
    table = found.table
    assert table["good_per_hour"].is_monotonic_increasing
    assert set(table["place"]) <= {ON, OPEN, BEATEN}
    assert ((table["beaten_by"] != "") == (table["place"] == BEATEN)).all()
    assert not table[["good_per_hour_half_width", "quality_loss_per_good_part_half_width"]].isna().any().any()
    assert tuple(table.loc[table["is_in_line"], "policy"]) == found.line
    assert "95 % confidence in all of this at once" in found.sentences[0]
    json.dumps(found.as_dict(), allow_nan=False)


def test_what_does_exactly_the_same_stands_in_one_place() -> None:
    found = a_frontier()
    assert found.twins == {"run out (grid)": "run out"}
    row = found.table[found.table["policy"] == "run out"].iloc[0]
    assert row["twins"] == "run out (grid)"
    assert "run out (grid)" not in set(found.table["policy"])


def test_a_frontier_is_refined_replication_by_replication() -> None:
    steps = list(FrontierStudy(grid_of(a_block(), ("life",), (0.5,)), StudyOptions(2)).steps())
    counts = [step.answer.comparison.n_replications for step in steps if step.answer is not None]
    assert counts[0] == 1
    assert counts[-1] == 2
    assert steps[-1].is_final
    one = next(step.answer for step in steps if step.answer is not None)
    assert "which settles nothing" in one.sentences[0]
