"""A finish with a least and a greatest Ra: loss towards each side, gauges, capability, shares out of the drawing."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.cutting.component import Component
from linesim.ledger.ledger import ledger_rows
from linesim.ledger.parts import quality_loss_of_part
from linesim.ledger.sums import total_minor_units
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause
from linesim.quality.limits import loss_factor_roughness, roughness_weights
from linesim.result.characteristics import characteristics
from linesim.result.out_of_drawing import out_of_drawing
from linesim.works import Works
from linesim.works.features import Feature, Roughness
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop

TWO_SIDED = {"limits": [0.8, 2.8], "aim": 2.0, "loss_at_limit": 14, "loss_at_low_limit": 9}
ROUGH = Component.ROUGHNESS


def shop(
    roughness: dict[str, Any], gauge: dict[str, Any] | None = None, sharp_um: float = 1.4, cv: float = 0.5
) -> Works:
    """Two hundred castings, each cut once to a finish that scatters from part to part by the cv given."""
    operation: dict[str, Any] = {"strokes": {"stroke": {"cuts": {"cut": a_cut(roughness_cv=cv)}}}}
    if gauge is not None:
        operation["gauges"] = {"gauge": {"feature": "face", "reads": ["roughness"], **gauge}}
    features = {"face": {"places": 2, "roughness": roughness}}
    cutters = {"blade": a_blade(life=1e9, sharp_roughness=sharp_um)}
    return a_shop({"Op 10": operation}, line={"features": features}, cutters=cutters, castings=200, length=5_000.0)


def ra(works: Works) -> list[float]:
    """Ra of every place as it was cut, µm."""
    from tests.floors import run_shop  # noqa: PLC0415 - reads nicer beside its one use

    seen = run_shop(works)
    return [value for values in seen.values["complete", "Op 10"].values() for value in values.roughness_um]


def test_the_ledger_counts_the_loss_towards_each_side() -> None:
    works = shop(TWO_SIDED)
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan)
    values = ra(works)
    assert len(values) == 400
    below = sum(9.0 * ((2.0 - value) / 1.2) ** 2 for value in values if value < 2.0)
    above = sum(14.0 * ((value - 2.0) / 0.8) ** 2 for value in values if value >= 2.0)
    assert below > 100.0
    assert above > 100.0
    rows = ledger_rows(works, plan, tally)
    assert total_minor_units(rows[rows["item"] == "quality loss"]) == pytest.approx(100.0 * (below + above), abs=1.0)
    own = sum(
        quality_loss_of_part(works.lines["line"], [0.0, 0.0], pair, *([[0.0, 0.0]] * 4))
        for pair in zip(values[::2], values[1::2], strict=True)
    )
    assert own == pytest.approx(below + above)


def test_shares_out_and_capability_read_both_limits() -> None:
    works = shop(TWO_SIDED)
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan)
    values = ra(works)
    smooth, rough = sum(value < 0.8 for value in values), sum(value > 2.8 for value in values)
    assert (tally.below[0, ROUGH], tally.above[0, ROUGH]) == (smooth, rough)
    assert smooth > 20
    assert rough > 2
    row = characteristics(works, plan, tally).iloc[0]
    assert (row["lower"], row["upper"], row["aim"]) == (0.8, 2.8, 2.0)
    assert row["cpk"] == pytest.approx(min(2.8 - row["mean"], row["mean"] - 0.8) / (3.0 * row["sd"]))
    out = sum(any(not 0.8 <= value <= 2.8 for value in pair) for pair in zip(values[::2], values[1::2], strict=True))
    assert tally.parts_out.tolist() == [out]
    sentences = list(out_of_drawing(works, tally))
    assert sentences[0] == f'Line "line" shipped {out} of 200 parts ({out / 2.0:.2g} %) out of the drawing.'
    assert sentences[1] == f'Shipped out of the drawing of line "line": "face" too smooth at {smooth} of 400 places.'
    assert sentences[2] == f'Shipped out of the drawing of line "line": "face" too rough at {rough} of 400 places.'


@pytest.mark.parametrize("own", [True, False])
def test_a_gauge_turns_down_what_is_too_smooth(own: bool) -> None:
    limits = {"roughness_limits": [0.8, 2.8]} if own else {}
    works = shop({"limit": 9.0} if own else TWO_SIDED, limits)
    values = ra(shop(TWO_SIDED))
    pairs = list(zip(values[::2], values[1::2], strict=True))
    rough = sum(max(pair) > 2.8 for pair in pairs)
    smooth = sum(min(pair) < 0.8 and max(pair) <= 2.8 for pair in pairs)
    tally = assert_twins_agree(make_plan(works, works.todays_policy))
    assert (tally.scrapped[0, Cause.ROUGH], tally.scrapped[0, Cause.SMOOTH]) == (rough, smooth)
    assert smooth > 20


def test_salvage_brings_what_is_too_smooth_to_the_lower_limit() -> None:
    works = shop(TWO_SIDED, {"reject": "salvage"})
    tally = assert_twins_agree(make_plan(works, works.todays_policy))
    assert tally.salvaged[0, Cause.SMOOTH] > 20
    assert (tally.least[0, ROUGH], tally.greatest[0, ROUGH]) == (0.8, 2.8)


def test_a_loss_on_the_smooth_side_alone_is_a_loss() -> None:
    feature = Feature.model_validate({"roughness": {"limits": [1.0, 3.0], "loss_at_low_limit": 5}})
    assert loss_factor_roughness(feature) == 5.0
    assert roughness_weights(feature) == (1.0, 0.0)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({}, "give either limit"),
        ({"limit": 1.0, "limits": [0.5, 1.0]}, "found both"),
        ({"limit": 1.0, "aim": 0.5}, "belong to two limits"),
        ({"limits": [2.0, 1.0]}, "below the upper"),
        ({"limits": [1.0, 2.0], "aim": 2.0}, "must lie between"),
    ],
)
def test_what_does_not_go_together_is_refused(content: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Roughness.model_validate(content)
