"""Part types in a comparison of policies: means and paired differences, worked out from single runs."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from linesim.ask import compare
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.result import Result
from linesim.works import changed, load_works

SHORT = {"run": {"length": "1 week", "warm_up": "1 shift", "seed": 1931}}
NAMES = ("short batches", "long batches")
RUNS = 4


def test_good_parts_of_each_type_are_compared_pair_by_pair() -> None:
    works = changed(load_works(Path(__file__).parents[2] / "scenarios" / "mixed-line.yaml"), SHORT)
    answer = compare(works, NAMES, replications=RUNS)
    table = answer.tables["types"].set_index(["policy", "part_type"])
    best = answer.best.policy
    [other] = [name for name in NAMES if name != best]
    good = {}
    for name in NAMES:
        plan = make_plan(works, name)
        runs = [Result(works, plan, run_fast(plan, 1931, at), 1931, at, "fast").types for at in range(RUNS)]
        good[name] = np.array([run.set_index("part_type")["good_per_hour"].to_numpy() for run in runs])
    for at, kind in enumerate(("three-cylinder", "two-cylinder")):
        for name in NAMES:
            assert table.loc[(name, kind), "good_per_hour"] == pytest.approx(good[name][:, at].mean(), rel=1e-12)
        apart = good[other][:, at] - good[best][:, at]
        half = stats.t.ppf(0.975, RUNS - 1) * apart.std(ddof=1) / RUNS**0.5
        row = table.loc[(other, kind)]
        assert (row["mean"], row["half_width"]) == pytest.approx((apart.mean(), half), rel=1e-9)
        assert row["is_apart"] == (abs(apart.mean()) > half)
    alone = changed(load_works(Path(__file__).parents[2] / "scenarios" / "smallest.yaml"), SHORT)
    assert "types" not in compare(alone, tuple(alone.policies)[:2], replications=2).tables
