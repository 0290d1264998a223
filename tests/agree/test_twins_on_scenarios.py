"""Both engines carry out every scenario that comes with linesim, under each of its policies."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.works import load_works
from tests.agree.twins import assert_twins_agree, different_fields

_SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
_TWO_SHIFTS = 960.0


@pytest.mark.parametrize(
    "file",
    [
        pytest.param(file, marks=pytest.mark.longer) if file.stem in {"works", "head-line"} else file
        for file in _SCENARIOS
    ],
    ids=lambda file: file.stem,
)
def test_the_engines_agree_on_every_policy_of_a_scenario(file: Path) -> None:
    works = load_works(file)
    for policy in works.policies:
        plan = replace(make_plan(works, policy), warm_up_min=_TWO_SHIFTS / 2.0, length_min=1.5 * _TWO_SHIFTS)
        assert assert_twins_agree(plan, works.run.seed, 1).shipped.sum() > 0


@pytest.mark.longer
@pytest.mark.parametrize("file", _SCENARIOS, ids=lambda file: file.stem)
def test_the_engines_agree_over_a_long_run(file: Path) -> None:
    works = load_works(file)
    plan = replace(make_plan(works, next(iter(works.policies))), length_min=20 * _TWO_SHIFTS)
    assert not different_fields(run_floor(plan, 3, 0), run_fast(plan, 3, 0))
