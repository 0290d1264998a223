"""A loss at the limit against the cost of rejecting there, with Taguchi's printed figures through a scenario."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.desk.loss_remarks import on_losses
from linesim.errors import ScenarioError
from linesim.quality.limits import loss_factor_roughness
from linesim.study.search.sensitivity.variations import SWINGS
from linesim.works import Works
from linesim.works.load import changed, works_from_text
from linesim.works.rejecting import lost_in_shift
from linesim.works.writing import to_yaml
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


# --- a loss that is to be as much as rejecting costs ---------------------------------------------------------------


def line_as_rejected(gauges: dict[str, Any], **line: Any) -> Works:
    """Three operations, of which the second cuts the face and has the gauges; worth 620, casting 320, scrap 20."""
    operations = {
        "Op 10": {"minutes": 1},
        "Op 20": {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": gauges},
        "Op 30": {"minutes": 1},
    }
    asked = {"limit": 1.6, "loss_at_limit": "as rejected"}
    more = {
        "features": {"face": {"roughness": asked, "form": {**asked, "limit": 20.0}}},
        "casting": {"price": 320, "scrap_value": 20},
        "worth": 620,
        **line,
    }
    return a_shop(operations, line=more, cutters={"blade": a_blade(life=1e9)})


FINISH = {"feature": "face", "reads": ["roughness"]}


@pytest.mark.parametrize(
    ("gauges", "loss"),
    [
        # Two of three operations done: 320 + 2/3 of 300, less the scrap metal.
        ({"gauge": FINISH}, 500.0),
        ({"gauge": {**FINISH, "reject": "salvage", "salvage_cost": 45}}, 45.0),
        # The last one that turns parts down counts.
        ({"gauge": FINISH, "bench": {**FINISH, "reject": "salvage", "salvage_cost": 30}}, 30.0),
        ({"gauge": FINISH, "note": {**FINISH, "reject": "pass"}}, 500.0),
        # Nothing reads it, or turns down for it: a finished part less the scrap metal.
        ({}, 600.0),
        ({"note": {**FINISH, "reject": "pass"}}, 600.0),
    ],
)
def test_a_loss_as_rejected_is_what_rejecting_costs_there(gauges: dict[str, Any], loss: float) -> None:
    feature = line_as_rejected(gauges).lines["line"].features["face"]
    assert feature.roughness is not None
    assert feature.roughness.loss_at_limit == pytest.approx(loss)
    assert loss_factor_roughness(feature) == pytest.approx(loss / 1.6**2)
    assert feature.form is not None
    assert feature.form.loss_at_limit == 600.0  # no gauge reads the form


def test_check_tells_the_amount_and_where_it_comes_from() -> None:
    said = list(on_losses(line_as_rejected({"fine gauge": FINISH})))
    finished = "the cost of rejecting a finished part, as no gauge turns parts down for it"
    assert said == [
        'line: the roughness of "face" loses 500 at its limit, the cost of rejecting at "fine gauge".',
        f'line: the form of "face" loses 600 at its limit, {finished}.',
    ]


def test_it_follows_the_prices_and_is_written_as_it_was_read() -> None:
    works = line_as_rejected({"gauge": FINISH})
    dearer = changed(works, {"lines": {"line": {"worth": 920}}})
    asked = dearer.lines["line"].features["face"].roughness
    assert asked is not None
    assert asked.loss_at_limit == pytest.approx(320 + 400 - 20)
    assert to_yaml(works).count("loss_at_limit: as rejected") == 2
    assert works_from_text(to_yaml(works)) == works
    costly = SWINGS["casting price"].apply(works, "line", 1.5).lines["line"].features["face"].roughness
    assert costly is not None
    assert costly.loss_at_limit == pytest.approx(480 + 2 / 3 * 140 - 20)


def test_another_word_is_refused_with_what_was_expected() -> None:
    with pytest.raises(ScenarioError, match=r'such as "12\.50 EUR", or "as rejected", was expected'):
        changed(line_as_rejected({}), {"lines": {"line": {"features": {"face": {"form": {"loss_at_limit": "scrap"}}}}}})


@pytest.mark.parametrize(("constraint", "lost"), [("Op 10", 600.0), ("Op 20", 600.0), ("Op 30", 300.0)])
def test_from_the_constraint_on_a_shift_loses_a_sale_and_before_it_a_casting(constraint: str, lost: float) -> None:
    """Scrapped at Op 20: casting 320 less metal 20, and the margin of 300 where nothing can make up for the part."""
    line = line_as_rejected({}).lines["line"]
    assert lost_in_shift(line, "Op 20", constraint) == lost
    assert lost_in_shift(line.model_copy(update={"worth": 100.0}), "Op 20", constraint) == 300.0
