"""The life history of a feature: exact for every part, and the variance that the runs have."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from linesim.ask import history
from linesim.cutting.error_terms import error_after_cut
from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.routing.account import account_of_run
from linesim.routing.sources import Source
from linesim.routing.tagging import after_cut, cast_tags
from linesim.study.one.runs import run_plan
from linesim.works import Works, changed, load_works
from tests.agree.works_at_random import random_works
from tests.builders import a_cut_of


def test_passes_multiply_the_casting_down_by_the_textbook_product() -> None:
    # Derived from eps = k_cut / (k_cut + k): 2 and 20 N/µm, blank 500 µm -> 45.455, 4.132, 0.3757 µm.
    tags = cast_tags(500.0, 3)
    for number, expected in enumerate((45.4545, 4.13223, 0.375657), start=1):
        tags = after_cut(tags, number, a_cut_of(cutting_stiffness_n_um=2.0), 0.0, 0.0, {}, (0.0, 0.0))
        assert tags.sum() == pytest.approx(expected, rel=1e-4)
        assert tags[0, Source.CASTING] == tags.sum()


shares = st.floats(0.0, 2.0)
errors = st.floats(-300.0, 900.0)


@given(errors, shares, errors, errors, st.floats(-3, 3), st.floats(-3, 3), st.floats(0, 5), st.floats(0, 400))
def test_the_parts_of_an_error_sum_to_what_the_law_of_the_cut_gives(
    error: float, share: float, offset: float, shift: float, repeat: float, stress: float, slope: float, force: float
) -> None:
    row = a_cut_of(
        cutting_stiffness_n_um=slope, wear_force_n=0.8 * force, wear_slope_n_um=0.8 * slope, tan_clearance=0.12,
        repeatability_um=1.5, stress_um=2.5,
    )  # fmt: skip
    tags = after_cut(cast_tags(error, 1), 1, row, share, offset, {Source.CHIPS: shift}, (repeat, stress))
    left = error_after_cut(row, share, error, offset, shift, repeat, stress, False, 1.0)
    assert tags.sum() == pytest.approx(left, abs=1e-9)


def variance_of(works: Works, policy: str, feature: int, seed: int, replication: int) -> float:
    """Variance of the error of shipped parts in a compiled run, µm²."""
    return variance_in(run_plan(make_plan(works, policy), seed, replication, engine="fast"), feature)


def variance_in(tally: Tally, feature: int) -> float:
    n, total, square = int(tally.places[feature]), float(tally.total[feature, 0]), float(tally.square[feature, 0])
    return (square - total * total / n) / (n - 1) if n > 1 else 0.0


@pytest.mark.parametrize("seed", range(12))
def test_on_a_routing_drawn_at_random_every_part_and_the_variance_agree_with_the_run(seed: int) -> None:
    """The follower itself holds every part's account against its true error, and raises where they differ."""
    works = random_works(Random(4200 + seed), alike=True)
    plan = make_plan(works, "one")
    looked_at = 0
    for number in range(len(plan.names.features)):
        line = next(at for at, end in enumerate(plan.lines.end_feature.tolist()) if number < end)
        try:
            account = account_of_run(plan, line, number, 9, 3)
        except StudyError:
            continue
        looked_at += 1
        tally = run_plan(plan, 9, 3, engine="fast")
        assert len(account.parts) == tally.places[number]
        expected = variance_in(tally, number)
        close = {"rel": 1e-7, "abs": 1e-6}
        assert account.variance[-1].sum() == pytest.approx(expected, **close)
        assert account.arising.sum() == pytest.approx(expected, **close)
    assert looked_at or not len(plan.names.features) or not run_plan(plan, 9, 3, engine="fast").places.any()


@pytest.mark.longer
def test_the_account_agrees_with_other_runs_within_sampling_error() -> None:
    """Prediction interval of one more run from twelve others; false alarms: 1 in 10 000 for each of four features."""
    works = changed(load_works("scenarios/crankcase-line.yaml"), {"run": {"length": "4 weeks"}})
    plan = make_plan(works, "full life")
    for number in range(4):
        others = np.array([variance_of(works, "full life", number, 5, replication) for replication in range(20, 32)])
        own = float(account_of_run(plan, 0, number, 5, 0).variance[-1].sum())
        reach = stats.t.ppf(1.0 - 0.5e-4, len(others) - 1) * others.std(ddof=1) * math.sqrt(1.0 + 1.0 / len(others))
        assert abs(own - others.mean()) <= reach


def test_what_caps_move_after_boring_stands_under_disturbance() -> None:
    """Studs 15 µm and caps 20 µm: 625 µm² (false alarms: 1 in 10 000, four normal places on some hundred parts)."""
    base = changed(load_works("scenarios/crankcase-line.yaml"), {"run": {"length": "2 weeks"}})
    late = changed(base, {"lines": {"crankcase": {"operations": {"Op 90": {"after": "Op 65"}}}}})
    found = history(late, "main bearings", policy="full life", replications=1)
    by = found.arising.groupby("source")["variance_um2"].sum()
    count = len(found.accounts[0].parts)
    # Salvaged bearings come out at 0 before the caps are drawn, which takes nothing off what the caps do.
    assert by["disturbance"] == pytest.approx(625.0, rel=3.9 * math.sqrt(2.0 / count))
    early = history(base, "main bearings", policy="full life", replications=1)
    assert early.totals["sd_um"].iloc[-1] < 0.1 * found.totals["sd_um"].iloc[-1]


def test_a_feature_that_is_not_there_is_named_with_the_nearest() -> None:
    works = load_works("scenarios/smallest.yaml")
    with pytest.raises(StudyError) as told:
        history(works, "fase")
    assert str(told.value) == '"fase" is not a feature of flange; did you mean "face"?'


def test_scratches_of_handling_come_out_with_a_late_cut() -> None:
    works = changed(load_works("scenarios/block-line.yaml"), {"run": {"length": "2 weeks"}})
    surface = history(works, "top face", policy="full life", replications=1).surface.set_index("operation")["scratched"]
    assert surface["Op 70"] > surface["Op 80"]


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"replications": 0}, "0 replications were asked for; at least 1 was expected, and 2 for an interval"),
        ({"seed": -1}, "a seed of -1 cannot be"),
        ({"confidence": 1.0}, "a confidence of 1 cannot be"),
    ],
)
def test_what_cannot_be_run_is_told(options: dict[str, float], told: str) -> None:
    with pytest.raises(StudyError) as error:
        history(load_works("scenarios/smallest.yaml"), "face", **options)
    assert told in str(error.value)
