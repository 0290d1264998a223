"""Drawing figures become per-side figures, and limits become factors of loss."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.quality.limits import (
    aim_mm,
    drawing_scale,
    loss_factor_roughness,
    loss_factor_scratch,
    loss_factor_size,
    per_side,
    roughness_cap_um2,
    scratch_cap_um2,
    size_cap_um2,
)
from linesim.works.features import Feature


def a_feature(kind: str, low: float, high: float, **size: Any) -> Feature:
    return Feature.model_validate({"kind": kind, "size": {"limits": [low, high], "loss_at_limit": 12.0, **size}})


@pytest.mark.parametrize(
    ("kind", "low", "high", "aim", "low_um", "high_um"),
    [
        ("bore", 87.992, 88.008, None, -4.0, 4.0),
        ("bore", 80.0, 80.025, 80.01, -7.5, 5.0),
        ("face", 239.94, 240.06, None, -60.0, 60.0),
        ("face", 9.9, 10.3, 10.0, -100.0, 300.0),
        ("depth", 9.9, 10.3, 10.0, -300.0, 100.0),
        ("position", -0.05, 0.05, None, -50.0, 50.0),
        ("run-out", 0.0, 0.05, None, -25.0, 25.0),
    ],
)
def test_limits_per_side(kind: str, low: float, high: float, aim: float | None, low_um: float, high_um: float) -> None:
    feature = a_feature(kind, low, high, aim=aim)
    found = per_side(feature, (low, high), aim_mm(feature))
    assert found == pytest.approx((low_um, high_um))


def test_aims() -> None:
    assert aim_mm(a_feature("bore", 80.0, 80.025)) == pytest.approx(80.0125)
    assert aim_mm(a_feature("bore", 80.0, 80.025, aim=80.02)) == 80.02
    assert aim_mm(a_feature("run-out", 0.0, 0.05)) == 0.0
    assert aim_mm(Feature(kind="face")) == 0.0


@given(
    kind=st.sampled_from(["bore", "face", "depth", "position"]),
    aim=st.floats(0.2, 0.8),
    error_um=st.floats(-400.0, 400.0),
)
def test_a_place_is_within_its_limits_per_side_just_when_the_drawing_says_so(
    kind: str, aim: float, error_um: float
) -> None:
    feature = a_feature(kind, 50.0, 50.3, aim=50.0 + 0.3 * aim)
    size_mm = aim_mm(feature) + drawing_scale(feature) * error_um / 1000.0
    low_um, high_um = per_side(feature, (50.0, 50.3), aim_mm(feature))
    room_mm = min(size_mm - 50.0, 50.3 - size_mm)
    room_um = min(error_um - low_um, high_um - error_um)
    assert room_um * abs(drawing_scale(feature)) == pytest.approx(1000.0 * room_mm, abs=1e-6)


@pytest.mark.parametrize(
    ("kind", "low", "high", "aim", "distance_um"),
    [
        ("bore", 87.992, 88.008, None, 4.0),
        ("bore", 80.0, 80.025, 80.005, 2.5),
        ("face", 9.9, 10.3, 10.0, 100.0),
        ("depth", 9.9, 10.3, 10.2, 100.0),
        ("face", 10.0, 10.3, 10.0, 300.0),
        ("bore", 80.0, 80.025, 80.025, 12.5),
        ("run-out", 0.0, 0.05, None, 25.0),
    ],
)
def test_the_loss_is_reckoned_at_the_nearer_limit(
    kind: str, low: float, high: float, aim: float | None, distance_um: float
) -> None:
    """Where the aim lies on one limit, at the other."""
    feature = a_feature(kind, low, high, aim=aim)
    assert loss_factor_size(feature) * distance_um**2 == pytest.approx(12.0)


def test_the_loss_of_roughness_and_scratches_is_reckoned_at_their_limits() -> None:
    feature = Feature.model_validate(
        {"roughness": {"limit": 1.6, "loss_at_limit": 5.12}, "scratch": {"limit": 8, "loss_at_limit": 16}}
    )
    assert loss_factor_roughness(feature) == pytest.approx(2.0)
    assert loss_factor_scratch(feature) == pytest.approx(0.25)
    assert loss_factor_size(feature) == 0.0


def test_a_cap_is_a_square() -> None:
    feature = Feature.model_validate(
        {
            "kind": "bore",
            "size": {"limits": [79.99, 80.01], "loss_at_limit": 10, "loss_cap": 40},
            "roughness": {"limit": 1.6, "loss_at_limit": 5.12, "loss_cap": 10},
            "scratch": {"limit": 8, "loss_at_limit": 16, "loss_cap": 16},
        }
    )
    assert size_cap_um2(feature) == pytest.approx(4 * 5.0**2)
    assert roughness_cap_um2(feature) == pytest.approx(5.0)
    assert scratch_cap_um2(feature) == pytest.approx(64.0)


def test_without_a_cap_or_a_loss_there_is_no_end() -> None:
    free = Feature.model_validate(
        {"size": {"limits": [0, 1], "loss_cap": 3}, "roughness": {"limit": 1, "loss_at_limit": 1}}
    )
    assert size_cap_um2(free) == math.inf
    assert roughness_cap_um2(free) == math.inf
    assert scratch_cap_um2(Feature()) == math.inf
