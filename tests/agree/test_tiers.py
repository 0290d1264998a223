"""Kernels with fewer pieces give what the whole engine gives, and no plan gets one that lacks what it needs."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest

from linesim.fast import tiers
from linesim.fast.layout import Layout
from linesim.fast.run import _pattern, run_fast, tier_of_plan
from linesim.fast.tiers import COMMON, SMALL, WHOLE, tier_of
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.works import load_works
from tests.agree.twins import different_fields
from tests.agree.works_at_random import random_works
from tests.benchmarks.flow_models import FlowLine, plan_of
from tests.builders import flow_line

_ROOT = Path(__file__).parents[2]

_FIELDS = [
    (table, kind, name)
    for table, of in ((tiers._RARE, WHOLE), (tiers._MORE, COMMON.name))
    for kind, fields in table.items()
    for name in fields
]


def _demo(name: str) -> Plan:
    works = load_works(_ROOT / f"scenarios/{name}.yaml")
    return make_plan(works, next(iter(works.policies)))


@pytest.mark.parametrize(
    ("name", "tier"),
    [
        ("block-line", COMMON.name),
        ("head-line", COMMON.name),
        ("crankcase-line", COMMON.name),
        ("works", COMMON.name),
        ("smallest", SMALL.name),
        ("mixed-line", WHOLE),
        ("centres", WHOLE),
    ],
)
def test_lines_of_the_works_take_the_smallest_kernels_that_have_all_they_need(name: str, tier: str) -> None:
    assert tier_of_plan(_demo(name)) == tier


@pytest.mark.parametrize(("table", "kind", "name"), _FIELDS)
def test_a_plan_that_needs_one_piece_never_gets_kernels_without_it(table: Any, kind: type, name: str) -> None:
    layout = Layout(_demo("smallest"), 16, 0)
    assert tier_of(layout) == SMALL.name
    for array in (layout.worlds, *layout.arrays.values()):
        if array.dtype == tiers._layout(kind):
            array[name].flat[-1] = 5
    wanted = WHOLE if table is tiers._RARE else COMMON.name
    assert tier_of(layout) == (SMALL.name if name in ("has_rare", "has_more") else wanted)  # these are told by the rest
    assert (layout.world.has_rare, layout.world.has_more) == (
        (0, 0) if name in ("has_rare", "has_more") else (int(wanted == WHOLE), 1)
    )


def test_a_line_without_cutters_takes_the_smallest_kernels() -> None:
    assert tier_of_plan(make_plan(flow_line([2, 3]), "run out")) == SMALL.name


@pytest.mark.parametrize(
    ("plan", "most"),
    [
        (plan_of(FlowLine.of(6, 1), 3000.0), 5),
        (make_plan(flow_line([1, 2], [1000], length=2000, warm_up=0), "run out"), 999),
    ],
    ids=["held up and starved", "more parts than there is room for at first"],
)
def test_a_simple_line_that_tells_nobody_gives_what_the_floor_gives(plan: Plan, most: int) -> None:
    """The kernel of simple lines cannot tell: an ordinary twin, who is told of everything, has another one."""
    assert tier_of_plan(plan) == SMALL.name
    found = run_fast(plan, 1, 0)
    assert found.most_stock.max() == most
    assert not different_fields(found, run_floor(plan, 1, 0))


def _run(plan: Plan, tier: str, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setattr("linesim.fast.pattern.tier_of", lambda *given: tier_of(*given) and tier)
    _pattern.cache_clear()
    try:
        return run_fast(plan, 3, 1)
    finally:
        _pattern.cache_clear()


@pytest.mark.parametrize("plan", [_demo("block-line"), _demo("head-line")], ids=["block", "head"])
def test_the_whole_engine_gives_the_same_for_a_common_line(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    common, whole = (_run(plan, tier, monkeypatch) for tier in (COMMON.name, WHOLE))
    assert int(common.shipped.sum()) > 0
    assert not different_fields(common, whole)


@pytest.mark.parametrize("seed", range(1, 9))
def test_all_kernels_that_hold_give_the_same_for_works_of_all_kinds(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = make_plan(random_works(Random(seed)), "one")
    order = [SMALL.name, COMMON.name, WHOLE]
    found = [_run(plan, tier, monkeypatch) for tier in order[order.index(tier_of_plan(plan)) :]]
    assert not any(different_fields(found[0], other) for other in found[1:])
