"""Aims with unlike costs, errors that parts of one change share, breaking from a state, loads, heats: exact values.

Normal, Weibull and sums of squares: worked out apart from this program, by quadrature or closed form (derived).
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from linesim.cutting.bar import cantilever_um_n, unsteady_um
from linesim.cutting.heat import growth_um
from linesim.cutting.heats import heat_factor
from linesim.cutting.life import edge_break_share_after, edge_life_factor, wear_growth
from linesim.cutting.load import spindle_load
from linesim.quality.capability import cp, share_above, share_below
from linesim.quality.consequences import chance_of_reject, strength_of
from linesim.quality.taguchi import weighted_square

Z = NormalDist()
UNIFORMS = [(number + 0.5) / 20_000.0 for number in range(20_000)]


@pytest.mark.parametrize(("age", "broken"), [(0.0, 0.0697835), (30.0, 0.475471), (44.0, 0.675836)])
def test_an_edge_that_has_come_so_far_breaks_within_the_next_25_parts(age: float, broken: float) -> None:
    """Weibull of shape 3 and 60 parts: R(a + 25) / R(a)."""
    assert edge_break_share_after(age, 3.0, 60.0, 1.0 - broken) == pytest.approx(age + 25.0, rel=1e-5)


@pytest.mark.parametrize(
    ("growth", "known", "noisy"),
    [(0.0, 0.0, 0.000302), (0.5, 0.0736303, 0.227941), (0.8, 0.858873, 0.709944), (1.0, 0.994828, 0.906452)],
)
def test_a_reading_of_the_load_past_a_fifth_more(growth: float, known: float, noisy: float) -> None:
    """Growth 0.30, noise 3 %; with the heat known, and with a heat of 5 % on it, small deviations added."""
    margin = 1.20 / spindle_load(0.30, growth, 1.0, 0.0) - 1.0
    assert 1.0 - Z.cdf(margin / 0.03) == pytest.approx(known, abs=1e-6)
    assert 1.0 - Z.cdf(margin / math.hypot(0.03, 0.05)) == pytest.approx(noisy, rel=2e-3)
    assert spindle_load(0.30, growth, 1.05, margin) == pytest.approx(1.05 * 1.20)


def cost_of_aim(aim: float, under: float, over: float) -> float:
    """Cost of a part with limits of 8 µm to either side and a spread of 3 µm."""
    return under * share_below(aim, 3.0, -8.0) + over * share_above(aim, 3.0, 8.0)


def test_the_best_aim_where_one_limit_costs_more_than_the_other() -> None:
    """470 too large, 10 too small: aim (s² / 2T) ln(c_u / c_o) = -2.1657 µm; 0.42412 a part where centred is 1.8386."""
    best = minimize_scalar(cost_of_aim, bounds=(-6.0, 2.0), args=(10.0, 470.0), method="bounded")
    assert best.x == pytest.approx(9.0 / 16.0 * math.log(10.0 / 470.0), abs=1e-3)
    assert best.x == pytest.approx(-2.1657, abs=1e-3)
    assert (cost_of_aim(0.0, 10.0, 470.0), best.fun) == pytest.approx((1.8386, 0.42412), rel=5e-5)


@pytest.mark.parametrize(
    ("times", "aim", "least"), [(2.0, -0.27603, 1.39126), (4.0, -0.549156, 1.87435), (9.0, -0.861592, 2.55565)]
)
def test_the_best_aim_under_unlike_squares(times: float, aim: float, least: float) -> None:
    """Spread 1, loss x² below and r x² above the target; on target (1 + r) / 2."""

    def loss(mean: float) -> float:
        return quad(lambda z: weighted_square(mean + z, 0.0, 1.0, times) * Z.pdf(z), -9.0, 9.0)[0]

    best = minimize_scalar(loss, bounds=(-3.0, 1.0), method="bounded")
    assert best.x == pytest.approx(aim, abs=1e-4)
    assert best.fun == pytest.approx(least, abs=1e-5)
    assert loss(0.0) == pytest.approx((1.0 + times) / 2.0)


def test_rejects_of_one_change_come_together() -> None:
    """Limits 8, 1.5 in a change, 2 from change to change: Cp 1.77778, Pp 1.06667, 0.137428 % out, half as many changes.

    Of 50 parts of a change 0.0687138 are out in the mean, but any at all with 0.0299783 where independent parts say
    0.0664503.
    """
    total = math.hypot(1.5, 2.0)
    assert (cp(1.5, -8.0, 8.0), cp(total, -8.0, 8.0)) == pytest.approx((1.77778, 1.06667), abs=6e-6)
    out = share_below(0.0, total, -8.0) + share_above(0.0, total, 8.0)
    assert (100.0 * out, 50.0 * out) == pytest.approx((0.137428, 0.0687138), abs=6e-7)

    def any_out(setting: float) -> float:
        one = share_below(setting, 1.5, -8.0) + share_above(setting, 1.5, 8.0)
        return (1.0 - (1.0 - one) ** 50) * math.exp(-(setting**2) / 8.0) / math.sqrt(8.0 * math.pi)

    assert quad(any_out, -16.0, 16.0)[0] == pytest.approx(0.0299783, abs=6e-7)
    assert 1.0 - (1.0 - out) ** 50 == pytest.approx(0.0664503, abs=6e-7)


def test_the_drift_of_an_edge_over_its_life() -> None:
    """Land 0.3 mm at 6 degrees: 6.2165, 9.1979, 11.3967, 18.2132, 23.1033, 31.5313 µm, a third in a sixth of it."""
    drift = [
        300.0 * math.tan(math.radians(6.0)) * wear_growth(w, 0.32, 0.057, 1.4)
        for w in (0.05, 0.1, 0.171, 0.5, 0.7, 1.0)
    ]
    assert drift == pytest.approx([6.2165, 9.1979, 11.3967, 18.2132, 23.1033, 31.5313], abs=6e-5)


def test_lives_within_a_heat_scatter_less_than_over_many() -> None:
    """Logarithms: edges 0.23, heats 0.15: 0.274591; an edge that spans three heats 0.245764.

    Worn before 0.6 of the median: 1.31761 % by edges alone, 3.14203 % with heats.
    """
    one, three = math.hypot(0.23, 0.15), math.hypot(0.23, 0.15 / math.sqrt(3.0))
    assert (one, three) == pytest.approx((0.274591, 0.245764), abs=6e-7)
    early = [100.0 * Z.cdf(math.log(0.6) / sigma) for sigma in (0.23, one)]
    assert early == pytest.approx([1.31761, 3.14203], abs=6e-6)
    cvs = [math.sqrt(math.expm1(sigma**2)) for sigma in (0.23, 0.15)]
    spreads = [
        np.std([math.log(factor(cv, u)) for u in UNIFORMS])
        for factor, cv in zip((edge_life_factor, heat_factor), cvs, strict=True)
    ]
    assert spreads == pytest.approx([0.23, 0.15], rel=2e-3)


def test_a_warm_aluminium_bore_on_a_steel_master() -> None:
    """88 mm at 30 °C against a master at 22 °C: 20.24 less 2.024 is 18.216 µm that are read too large."""
    assert growth_um(88.0, 23.0, 10.0) - growth_um(88.0, 11.5, 2.0) == pytest.approx(18.216)


@pytest.mark.parametrize(
    ("bar", "force", "share", "form"),
    [(66.0, 0.1144 * 2400.0, 0.2, 3.1307), (66.0, 0.41585 * 2400.0, 0.2, 11.382), (70.0, 82.046, 0.1, 0.43868)],
)
def test_an_unsteady_leader_on_the_bar(bar: float, force: float, share: float, form: float) -> None:
    """A rough blade 2.4 mm deep of slope 0.1144 N/µm, and 0.41585 at right angles; a fine one of 82 N on 70 mm."""
    across = cantilever_um_n(200.0, 230.0, bar, 206e3, 25.0)
    assert unsteady_um(across, share, force) == pytest.approx(form, rel=2e-3)


def test_what_a_bad_gasket_face_costs_later() -> None:
    """5 % caught at the leak test for 60 and 1 % in the field for 1500: 18 at the limit."""
    leak, field = strength_of(0.05, 0.5), strength_of(0.01, 0.2)
    later = 60.0 * chance_of_reject(1.0, *leak, 0.0) + 1500.0 * chance_of_reject(1.0, *field, 0.0)
    assert later == pytest.approx(18.0)
