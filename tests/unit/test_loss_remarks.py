"""A loss at the limit against the cost of rejecting there, with Taguchi's printed figures through a scenario."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.desk.loss_remarks import on_losses
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop


def shop(loss: float, gauge: dict[str, Any], claim: float | None = None) -> Works:
    """One gauged face; a casting of 320 that brings 20 as scrap."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"height gauge": {"feature": "face", **gauge}},
    }
    later = {} if claim is None else {"field": {"claim": {"cost": claim}}}
    line = {
        "features": {"face": {"size": {"limits": [97.0, 103.0], "loss_at_limit": loss}}},
        "casting": {"price": 320, "scrap_value": 20},
        "later": later,
    }
    return a_shop({"Op 10": operation}, line=line, cutters={"blade": a_blade(life=1e9)})


def test_a_loss_below_the_cost_of_rejecting_is_said_with_both_figures() -> None:
    """A producer rejects at 300 what loses 60 at the limit: the root of 5, as in Taguchi's printed example."""
    wanted = (
        'line: the size of "face" loses 60 at its limit, but rejecting it at "height gauge" costs 300: '
        "money would rather have a limit 2.24 times as wide."
    )
    assert list(on_losses(shop(60.0, {"reject": "scrap"}))) == [wanted]
    assert wanted in desk_figures(shop(60.0, {"reject": "scrap"})).remarks


@pytest.mark.parametrize(("gauge", "loss"), [({"reject": "scrap"}, 300.0), ({"reject": "pass"}, 1.0)])
def test_a_loss_that_is_worth_rejecting_for_says_nothing(gauge: dict[str, Any], loss: float) -> None:
    assert list(on_losses(shop(loss, gauge))) == []


def test_salvage_is_what_rejecting_costs_where_parts_are_salvaged() -> None:
    assert "costs 45" in next(on_losses(shop(20.0, {"reject": "salvage", "salvage_cost": 45})))


def test_a_loss_above_a_claim_is_said() -> None:
    assert list(on_losses(shop(900.0, {"reject": "scrap"}, 830.0))) == [
        'line: the size of "face" loses 900 at its limit, more than the 830 that a failure in the field costs.'
    ]
