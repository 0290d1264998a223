"""The table of characteristics, against statistics worked out from the places themselves."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from linesim.cutting.component import Component
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally, empty_tally
from linesim.quality.capability import folded
from linesim.result.characteristics import COLUMNS, characteristics
from linesim.works import Works, changed
from tests.builders import flow_line

FEATURES = {
    "deck": {
        "kind": "face",
        "size": {"limits": [279.95, 280.05], "loss_at_limit": 18},
        "roughness": {"limit": 1.6, "loss_at_limit": 5},
        "scratch": {"limit": 8},
    },
    "bores": {"kind": "bore", "places": 3, "size": {"limits": [80.0, 80.025], "aim": 80.01, "loss_at_limit": 30}},
    "pocket": {"kind": "depth", "size": {"limits": [9.9, 10.3], "aim": 10.0}},
    "seat": {"kind": "run-out", "places": 6, "size": {"limits": [0, 0.05], "loss_at_limit": 4, "loss_cap": 4}},
    "side": {"kind": "face"},
}
PARTS = 400


def a_works() -> Works:
    return changed(flow_line([1.0]), {"lines": {"line": {"features": FEATURES}}})


WORKS = a_works()
PLAN = make_plan(WORKS, "run out")


def values() -> dict[tuple[str, Component], np.ndarray]:
    """True values of all places of four hundred parts, µm."""
    chance = np.random.default_rng(5)
    size, roughness, scratch, *_ = Component
    return {
        ("deck", size): chance.normal(12.0, 20.0, PARTS),
        ("deck", roughness): chance.lognormal(0.2, 0.2, PARTS),
        ("deck", scratch): np.maximum(chance.normal(0.0, 4.0, PARTS), 0.0),
        ("bores", size): chance.normal(-1.5, 2.5, 3 * PARTS),
        ("pocket", size): chance.normal(40.0, 90.0, PARTS),
        ("seat", size): chance.normal(6.0, 9.0, 6 * PARTS),
    }


def counted(found: dict[tuple[str, Component], np.ndarray]) -> Tally:
    """A tally of these values, counted as at the door."""
    tally = empty_tally(PLAN)
    rows = PLAN.features
    limits = {
        Component.SIZE: (rows.low_um, rows.high_um, rows.size_cap_um2),
        Component.ROUGHNESS: (np.zeros(5), rows.roughness_limit_um, rows.roughness_cap_um2),
        Component.SCRATCH: (np.zeros(5), rows.scratch_limit_um, rows.scratch_cap_um2),
    }
    for (name, of), each in found.items():
        number = PLAN.names.features.index(name)
        low, high, cap = (column[number] for column in limits[of])
        tally.places[number] = len(each)
        tally.total[number, of], tally.square[number, of] = each.sum(), (each**2).sum()
        tally.capped[number, of] = np.minimum(each**2, cap).sum()
        tally.least[number, of], tally.greatest[number, of] = each.min(), each.max()
        tally.below[number, of], tally.above[number, of] = (each < low).sum(), (each > high).sum()
    tally.unclean[0] = 2
    return tally


TABLE = characteristics(WORKS, PLAN, counted(values())).set_index(["feature", "characteristic"])


def row(feature: str, characteristic: str = "size") -> pd.Series:
    return TABLE.loc[(feature, characteristic)]


def check_against(row: pd.Series, drawn: np.ndarray, lower: float, upper: float) -> None:
    """Compare a row with plain statistics of the values as the drawing reads them."""
    assert row["places"] == len(drawn)
    figures = (drawn.mean(), drawn.std(ddof=1), drawn.min(), drawn.max())
    assert tuple(row[["mean", "sd", "least", "greatest"]]) == pytest.approx(figures, rel=1e-9, abs=1e-12)
    assert row["share_below"] == pytest.approx((drawn < lower).mean(), abs=1e-12)
    assert row["share_above"] == pytest.approx((drawn > upper).mean(), abs=1e-12)


def test_rows_are_what_the_drawing_asks_for() -> None:
    table = characteristics(WORKS, PLAN, counted(values()))
    assert list(table.columns) == list(COLUMNS)
    assert list(zip(table["feature"], table["characteristic"], table["unit"], strict=True)) == [
        ("deck", "size", "mm"),
        ("deck", "roughness", "µm"),
        ("deck", "scratch", "µm"),
        ("bores", "size", "mm"),
        ("pocket", "size", "mm"),
        ("seat", "size", "mm"),
    ]


def test_a_face_stands_higher_by_what_is_left_on() -> None:
    drawn = 280.0 + values()["deck", Component.SIZE] / 1000.0
    deck = row("deck")
    check_against(deck, drawn, 279.95, 280.05)
    assert deck["cp"] == pytest.approx(0.1 / (6 * drawn.std(ddof=1)))
    assert deck["cpk"] == pytest.approx((280.05 - drawn.mean()) / (3 * drawn.std(ddof=1)))
    assert deck["loss_per_part"] == pytest.approx(18.0 * ((drawn - 280.0) ** 2).mean() / 0.05**2)
    assert deck["share_not_cleaned_up"] == 2 / PARTS


def test_a_bore_is_smaller_by_twice_what_is_left_on() -> None:
    drawn = 80.01 - 2.0 * values()["bores", Component.SIZE] / 1000.0
    bores = row("bores")
    check_against(bores, drawn, 80.0, 80.025)
    assert (drawn > 80.025).sum() > 0
    assert (bores["lower"], bores["upper"], bores["aim"]) == (80.0, 80.025, 80.01)
    off = (drawn.mean() - 80.01) / drawn.std(ddof=1)
    assert bores["cpm"] == pytest.approx(bores["cp"] / math.sqrt(1.0 + off**2))
    assert bores["loss_per_part"] == pytest.approx(3 * 30.0 * ((drawn - 80.01) ** 2).mean() / 0.01**2)


def test_a_pocket_is_shallower_by_what_is_left_on() -> None:
    drawn = 10.0 - values()["pocket", Component.SIZE] / 1000.0
    check_against(row("pocket"), drawn, 9.9, 10.3)
    assert row("pocket")["loss_per_part"] == 0.0


def test_roughness_and_scratches_have_one_limit() -> None:
    found = values()["deck", Component.ROUGHNESS]
    rough = row("deck", "roughness")
    check_against(rough, found, -math.inf, 1.6)
    assert math.isnan(rough["lower"])
    assert math.isnan(rough["cp"])
    assert rough["cpk"] == pytest.approx((1.6 - found.mean()) / (3 * found.std(ddof=1)))
    assert rough["cpm"] == pytest.approx(1.6 / (3 * math.hypot(found.std(ddof=1), found.mean())))
    check_against(row("deck", "scratch"), values()["deck", Component.SCRATCH], -math.inf, 8.0)


def test_a_run_out_reads_twice_the_size_of_the_error() -> None:
    """Mean and spread follow from the signed error by the folded normal distribution; the rest is exact."""
    drawn = 0.002 * np.abs(values()["seat", Component.SIZE])
    seat = row("seat")
    assert seat["mean"] == pytest.approx(drawn.mean(), rel=0.01)
    assert seat["sd"] == pytest.approx(drawn.std(ddof=1), rel=0.02)
    assert seat["greatest"] == pytest.approx(drawn.max())
    assert seat["least"] == 0.0
    assert (seat["share_below"], seat["share_above"]) == (0.0, pytest.approx((drawn > 0.05).mean()))
    assert seat["share_above"] > 0.0
    capped = np.minimum(4.0 * (drawn / 0.05) ** 2, 4.0)
    assert seat["loss_per_part"] == pytest.approx(6 * capped.mean())


def test_the_least_run_out_is_the_nearest_error_where_all_lie_on_one_side() -> None:
    found = values() | {("seat", Component.SIZE): np.linspace(-9.0, -4.0, 6)}
    seat = characteristics(WORKS, PLAN, counted(found)).iloc[-1]
    assert (seat["least"], seat["greatest"]) == pytest.approx((0.008, 0.018))


def test_folded_normal_keeps_the_mean_square_and_agrees_with_drawn_values() -> None:
    mean, sd = folded(-2.0, 3.0)
    assert mean**2 + sd**2 == pytest.approx(13.0)
    drawn = np.abs(np.random.default_rng(1).normal(-2.0, 3.0, 400_000))
    assert mean == pytest.approx(drawn.mean(), abs=0.01)


def test_of_a_line_that_ships_nothing_nothing_is_said() -> None:
    table = characteristics(WORKS, PLAN, empty_tally(PLAN))
    assert len(table) == 6
    unsaid = [
        "mean",
        "sd",
        "least",
        "greatest",
        "cp",
        "cpk",
        "cpm",
        "share_below",
        "share_not_cleaned_up",
        "loss_per_part",
    ]
    assert table[unsaid].isna().all(axis=None)


def test_one_place_has_a_mean_but_no_spread() -> None:
    found = {("deck", Component.SIZE): np.array([10.0])}
    deck = characteristics(WORKS, PLAN, counted(found)).iloc[0]
    assert deck["mean"] == pytest.approx(280.01, abs=1e-9)
    assert math.isnan(deck["sd"])
    assert math.isnan(deck["cpk"])
