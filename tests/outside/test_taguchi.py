"""Taguchi's loss function against printed exercises.

Formulas: Taguchi, Elsayed and Hsiang 1989; Phadke 1989 (from memory). Strength of each check: "read" means that inputs
and printed answer were read in the source named; "inputs read" that the answer was worked out apart from this program;
"arithmetic" that the numbers were made up to test the formula.
"""

from __future__ import annotations

import math

import pytest

from linesim.quality.capability import cpm
from linesim.quality.taguchi import (
    in_plant_tolerance,
    larger_factor,
    larger_loss,
    mean_larger_loss,
    mean_nominal_loss,
    nominal_factor,
    nominal_loss,
)


def test_a_hole_of_325_thousandths() -> None:
    """0.325 ± 0.025 cm, loss 10: k 16 000; loss 5, 0.015 off: 1.80. Evans and Lindsay type (inputs read)."""
    assert nominal_factor(10.0, 0.025) == pytest.approx(16_000.0)
    assert nominal_loss(nominal_factor(5.0, 0.025), 0.340, 0.325) == pytest.approx(1.80)


def test_a_resistor() -> None:
    """180 ± 5 ohm, loss 100: k 4; centred with a spread of 2: 16.00 (inputs read)."""
    factor = nominal_factor(100.0, 5.0)
    assert factor == 4.0
    assert mean_nominal_loss(factor, 180.0, 2.0, 180.0) == 16.0


def test_a_voltage_and_a_weight() -> None:
    """15 ± 0.2 V, 75: k 1875. 15 ± 0.1 g, 0.015: k 1.5, spread 0.05: 0.00375 (inputs read)."""
    assert nominal_factor(75.0, 0.2) == pytest.approx(1875.0)
    factor = nominal_factor(0.015, 0.1)
    assert factor == pytest.approx(1.5)
    assert mean_nominal_loss(factor, 15.0, 0.05, 15.0) == pytest.approx(0.00375)


def test_in_plant_tolerance_of_a_television_circuit() -> None:
    """120 ± 30 V, 300: k 1/3; adjusting costs 2.25: put right past 2.598 V (inputs read)."""
    factor = nominal_factor(300.0, 30.0)
    assert factor == pytest.approx(1.0 / 3.0)
    assert in_plant_tolerance(factor, 2.25) == pytest.approx(2.598, abs=5e-4)


def test_three_parts_of_a_lot() -> None:
    """51.8 ± 1.1 mm, 38; parts of 51.7, 52.4, 53.3: 82.281 (read: prints 82.268 with k rounded to 31.40)."""
    factor = nominal_factor(38.0, 1.1)
    assert sum(nominal_loss(factor, size, 51.8) for size in (51.7, 52.4, 53.3)) == pytest.approx(82.281, abs=5e-4)
    assert sum(nominal_loss(31.40, size, 51.8) for size in (51.7, 52.4, 53.3)) == pytest.approx(82.268, abs=5e-4)


@pytest.mark.parametrize(
    ("mean", "sd", "loss", "printed"),
    [(115.0, 2.0, 1.776, 1.78), (124.0, 0.33, 36.012, 36.01), (115.0, 0.33, 0.04835, 0.048)],
)
def test_three_suppliers_of_a_115_volt_part(mean: float, sd: float, loss: float, printed: float) -> None:
    """k 0.444, aim 115 (read; the source prints the last column)."""
    found = mean_nominal_loss(0.444, mean, sd, 115.0)
    assert found == pytest.approx(loss, rel=5e-4)
    assert found == pytest.approx(printed, rel=1e-2)


def test_a_plate_in_inches() -> None:
    """0.1875 ± 0.0025 in, 150: k 2.4e7; 0.1893: 77.76; adjusting costs 6: tolerance 0.0005 (inputs read)."""
    factor = nominal_factor(150.0, 0.0025)
    assert factor == pytest.approx(2.4e7)
    assert nominal_loss(factor, 0.1893, 0.1875) == pytest.approx(77.76)
    assert in_plant_tolerance(factor, 6.0) == pytest.approx(0.0005)


def test_thirty_parts_off_their_aim() -> None:
    """A 0.03, limit 0.011, spread 0.0231, mean 0.505 for 0.5: 0.1385 each, 4.155 for 30 (read: 0.13 and 4.15)."""
    factor = nominal_factor(0.03, 0.011)
    assert factor == pytest.approx(247.93, abs=5e-3)
    each = mean_nominal_loss(factor, 0.505, 0.0231, 0.5)
    assert each == pytest.approx(0.1385, abs=5e-5)
    assert 30.0 * each == pytest.approx(4.155, abs=1e-3)


def test_loss_of_a_uniform_and_of_a_normal_output_as_a_share_of_the_loss_at_the_limit() -> None:
    """Uniform over the tolerance 1/3; normal and centred, Cp 1: 1/9, Cp 4/3: 1/16 (derived)."""
    factor = nominal_factor(1.0, 1.0)
    assert mean_nominal_loss(factor, 0.0, 2.0 / math.sqrt(12.0)) == pytest.approx(1.0 / 3.0)
    for capability, share in ((1.0, 1.0 / 9.0), (4.0 / 3.0, 1.0 / 16.0)):
        sd = 1.0 / (3.0 * capability)
        assert mean_nominal_loss(factor, 0.0, sd) == pytest.approx(share)


def test_the_loss_is_a_ninth_over_the_square_of_cpm() -> None:
    """(A / 9) / Cpm², two-sided and one-sided (derived)."""
    loss = mean_nominal_loss(nominal_factor(7.0, 4.0), 11.0, 0.8, 10.0)
    assert loss == pytest.approx(7.0 / 9.0 / cpm(11.0, 0.8, 6.0, 14.0, 10.0) ** 2)
    loss = mean_nominal_loss(nominal_factor(7.0, 4.0), 1.1, 0.8)
    assert loss == pytest.approx(7.0 / 9.0 / cpm(1.1, 0.8, -math.inf, 4.0, 0.0) ** 2)


def test_smaller_is_better() -> None:
    """Limit 3.2 µm, A 8, mean 1.6, spread 0.3: 2.0703 (arithmetic)."""
    assert mean_nominal_loss(nominal_factor(8.0, 3.2), 1.6, 0.3) == pytest.approx(2.0703, abs=5e-5)


def test_larger_is_better() -> None:
    """k = A Δ²: at the limit the loss is A; with spread the series stays near the mean of 1/y² (arithmetic)."""
    factor = larger_factor(8.0, 40.0)
    assert larger_loss(factor, 40.0) == 8.0
    parts = [57.0, 60.0, 63.0]
    exact = sum(larger_loss(factor, part) for part in parts) / 3.0
    sd = math.sqrt(6.0)
    assert mean_larger_loss(factor, 60.0, sd) == pytest.approx(exact, rel=1e-4)
