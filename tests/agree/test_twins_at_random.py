"""Both engines carry out works drawn at random: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.rules import KINDS
from tests.agree.twins import assert_twins_agree
from tests.agree.works_at_random import random_content, random_flow_line, random_works
from tests.rounds import some_each_time

_FEW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@_FEW
@given(st.randoms(use_true_random=False), st.integers(0, 2**62))
def test_the_engines_agree_on_works_with_every_rule_and_mishap(rng: Random, seed: int) -> None:
    works = random_works(rng)
    for policy in works.policies:
        assert_twins_agree(make_plan(works, policy), seed)


@_FEW
@given(st.randoms(use_true_random=False), st.integers(0, 3))
def test_the_engines_agree_on_flow_lines(rng: Random, replication: int) -> None:
    assert_twins_agree(make_plan(random_flow_line(rng), "run out"), 5, replication)


_SHOWED_SOMETHING = (56, 147)
"""Seeds at which the engines differed once; drawn as they were then."""


@pytest.mark.parametrize("seed", some_each_time([*range(80), 147], *range(14), *_SHOWED_SOMETHING))
def test_the_engines_agree_on_works_of_fixed_seeds(seed: int) -> None:
    works = random_works(Random(seed), newest=seed not in _SHOWED_SOMETHING)
    for policy in works.policies:
        assert_twins_agree(make_plan(works, policy), seed)


@pytest.mark.parametrize("seed", some_each_time(range(20), *range(8)))
def test_the_engines_agree_on_flow_lines_of_fixed_seeds(seed: int) -> None:
    assert_twins_agree(make_plan(random_flow_line(Random(seed)), "run out"), seed)


@pytest.mark.late
def test_the_works_of_fixed_seeds_leave_nothing_out() -> None:
    """Every kind of event happens often enough in them that a difference would show."""
    names = (
        "unplanned",
        "planned",
        "joined",
        "in_place",
        "looks",
        "regrinds",
        "bought",
        "breakdowns",
        "overhauls",
        "recut",
    )
    names += ("salvaged", "scrapped", "corrections", "turned_away", "shipped", "unclean", "had_to_wait", "rubbed")
    names += ("sand_hits",)
    counts = dict.fromkeys(names, 0)
    for seed in range(80):
        works = random_works(Random(seed))
        tally = run_fast(make_plan(works, "one"), seed, 0)
        for name in names:
            counts[name] += int(getattr(tally, name).sum())
    assert min(counts.values()) > 30, counts


def test_the_works_draw_every_kind_of_rule() -> None:
    drawn: set[str] = set()
    for seed in range(80):
        for policy in random_content(Random(seed))["policies"].values():
            for rule in (policy["default"], *policy["exceptions"].values()):
                drawn |= {"run_out"} if rule == "run out" else set(rule)
    wanted = {kind.entry for kind in KINDS if kind.is_compiled}
    assert drawn == wanted, f"no such draw: {wanted - drawn}"
