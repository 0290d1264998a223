"""A run begins with the same bytes whether its plan was laid out by itself or upon what other policies share."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from linesim.fast.arrays import Arrays
from linesim.fast.layout_policy import works_key
from linesim.fast.pattern import Pattern, Working, view_of
from linesim.fast.tiers import tier_of
from linesim.plan.build import Planner, make_plan
from linesim.plan.plan import Plan
from linesim.works import Works, load_works
from linesim.works.policies import Policy
from tests.agree.works_at_random import random_works

_FOLDER = Path(__file__).parents[2] / "scenarios"
_SCENARIOS = sorted(_FOLDER.glob("*.yaml"))


def _content(plan: Plan, trace_rows: int) -> dict[str, Any]:
    """All that a run of a plan begins with; addresses of arrays outside of its memory are left out."""
    pattern = Pattern(plan, 64, trace_rows)
    memory = pattern.bytes.copy()
    world = view_of(memory, pattern.mould.locations["world"])
    for name in pattern.fixed:
        assert world[name][0] == pattern.fixed[name].ctypes.data
        world[name] = 0
    whole = Arrays(plan, Working(pattern, 0, 0).worlds)
    whole.arrays = Working(pattern, 0, 0).arrays
    assert tier_of(whole) == pattern.tier
    fixed = {name: array.tobytes() for name, array in pattern.fixed.items()}
    return {"memory": memory.tobytes(), "tier": pattern.tier, "mounted": pattern.mould.n_mounted, **fixed}


def _policies(works: Works) -> Iterator[Policy]:
    """Those of a works and, after each, one that says everything there is to say beside rules another way."""
    for policy in works.policies.values():
        yield policy
        eager = "when due" if policy.changes != "when due" else "with the next part"
        aims = dict.fromkeys(works.cutters, 1.0)
        yield policy.model_copy(update={"group_past": 0.625, "changes": eager, "aims": aims})


def _assert_alike(works: Works) -> None:
    planner = Planner(works)
    for policy in _policies(works):
        plan = planner.plan("one", policy)
        # What went to another process and back shares nothing with any other plan.
        alone = pickle.loads(pickle.dumps(plan))
        assert works_key(alone) != works_key(plan)
        for rows in (0, 100):
            assert _content(plan, rows) == _content(alone, rows)


@pytest.mark.parametrize("file", _SCENARIOS, ids=lambda file: file.stem)
def test_policies_of_a_scenario_share_what_makes_no_difference(file: Path) -> None:
    _assert_alike(load_works(file))


@pytest.mark.parametrize("seed", range(20))
def test_policies_of_drawn_works_share_what_makes_no_difference(seed: int) -> None:
    _assert_alike(random_works(Random(seed)))


def test_trial_policies_are_laid_out_upon_one_mould_and_those_that_look_at_edges_upon_another() -> None:
    works = load_works(_FOLDER / "block-line.yaml")
    planner = Planner(works)
    plans = [planner.plan("one", policy) for policy in _policies(works)]
    assert len({Pattern(plan, 64, 0).mould for plan in plans}) == 2
    assert len({tuple(_content(plan, 0).values()) for plan in plans}) == len(plans)


def test_plans_that_differ_in_anything_but_what_is_put_in_afterwards_share_no_mould() -> None:
    plan = make_plan(load_works(_FOLDER / "block-line.yaml"), "by parts")
    put_in = {"policy", "digest", "rules", "own_rules", "group_past", "is_eager"}
    put_in |= {"mounts rule", "mounts rezero_parts", "cuts aim_um", "cuts rezero_aim_um"}
    put_in |= {"gauges every", "gauges correction_share", "gauges dead_band_um"}
    changed = {field.name: object() for field in fields(plan)}
    changed = {(name,): {name: thing} for name, thing in changed.items()}
    for name in ("mounts", "cuts", "gauges"):
        table, _ = getattr(plan, name), changed.pop((name,))
        changed |= {(name, column): {name: table._replace(**{column: object()})} for column in table._fields}
    kept = {" ".join(at) for at, change in changed.items() if works_key(replace(plan, **change)) == works_key(plan)}
    assert kept == put_in
