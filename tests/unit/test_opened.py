"""The tally of a compiled run, whose arrays are made as they are read."""

from __future__ import annotations

import copy
import pickle
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.works import changed, load_works
from tests.agree.twins import different_fields

_SMALLEST = Path(__file__).parents[2] / "scenarios" / "smallest.yaml"


def _plan() -> Plan:
    works = changed(load_works(_SMALLEST), {"run": {"length": 1440}})
    return make_plan(works, works.todays_policy)


def test_an_array_is_made_as_it_is_read_and_stays() -> None:
    tally = run_fast(_plan(), 1, 0)
    assert "worked" not in vars(tally)
    tally.worked[0] += 1
    assert tally.worked is tally.worked
    assert tally.worked[0] == run_floor(_plan(), 1, 0).worked[0] + 1


def test_tallies_of_one_plan_share_no_memory() -> None:
    plan = _plan()
    one, other = run_fast(plan, 1, 0), run_fast(plan, 1, 0)
    one.worked += 1
    assert (one.worked - other.worked).tolist() == [1] * len(one.worked)


@pytest.mark.parametrize("carried", [lambda tally: pickle.loads(pickle.dumps(tally)), copy.copy, copy.deepcopy])
def test_it_travels_as_a_plain_tally_with_every_figure(carried: object) -> None:
    tally = run_fast(_plan(), 1, 0)
    assert callable(carried)
    arrived = carried(tally)
    assert type(arrived) is Tally
    assert not different_fields(arrived, run_floor(_plan(), 1, 0))
    assert {field.name for field in fields(arrived)} == set(vars(arrived))


def test_what_no_tally_has_is_refused_by_name() -> None:
    with pytest.raises(AttributeError, match="a tally has no sorrows"):
        run_fast(_plan(), 1, 0).sorrows  # type: ignore[attr-defined]  # noqa: B018
    assert not np.isfinite(run_fast(_plan(), 1, 0).stuck_at_min)
