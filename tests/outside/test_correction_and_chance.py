"""What processes correct of an axis, and the laws of chance on edges, heats and settings, against exact values.

Shares of correction: "a reamer will never straighten a crooked hole nor correct its position" (trade page, read); the
chain of cuts is arithmetic on them. Weibull and lognormal: exact, by quadrature. Bars: beam theory (from memory).
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from linesim.cutting.error_terms import least_metal_um, metal_met_um, worn_um
from linesim.cutting.form import line_bar_stiffness_n_um
from linesim.cutting.heat import room_kelvin
from linesim.cutting.heats import heat_factor, heat_number
from linesim.cutting.kinematics import feed_rate_mm_min, stock_removal_minutes, teeth_in_cut
from linesim.cutting.knowing import kind_life_factor, unknown_sigma
from linesim.cutting.life import edge_break_share, edge_life_factor, finish_factor
from linesim.cutting.locating import Placing, form_of_cut_um, own_form_um, position_of_cut_um, tilt_of_cut_um
from linesim.cutting.printing import printed_form_um
from linesim.cutting.setting import setting_um
from tests.builders import a_cut_of

FOLLOWS = Placing(1.0, 1.0, 0.4, *([0.0] * 16), math.inf)
"""A reamer: it keeps position and tilt, and 0.4 of the form."""
HONES = FOLLOWS._replace(left_form=0.15)
BORES = FOLLOWS._replace(left_position=-1.0, left_tilt=-1.0, left_form=-1.0)
UNIFORMS = [(number + 0.5) / 20_000.0 for number in range(20_000)]


@pytest.mark.parametrize(
    ("chain", "left"),
    [
        (((BORES, 0.03), (BORES, 0.01), (FOLLOWS, 0.0), (HONES, 0.0)), (0.15, 0.06, 0.0054)),
        (((BORES, 0.03), (FOLLOWS, 0.0), (HONES, 0.0)), (15.0, 6.0, 0.54)),
    ],
    ids=["two boring cuts", "one boring cut"],
)
def test_only_boring_corrects_an_axis(chain: tuple[tuple[Placing, float], ...], left: tuple[float, ...]) -> None:
    """500, 200 and 300 µm as cast: the hone saves the roundness, and nothing saves the position."""
    position, tilt, form = 500.0, 200.0, 300.0
    for placing, copied in chain:
        position = position_of_cut_um(placing, copied, position, 0.0, 0.0, 0.0, 0.0)
        tilt = tilt_of_cut_um(placing, copied, tilt, 0.0, 0.0)
        form = form_of_cut_um(placing, copied, form, 0.0, 0.0, 0.0, 0.0)
    assert (position, tilt, form) == pytest.approx(left)


def test_independent_parts_of_a_form_add_in_squares() -> None:
    """3, 4 and 12 are 13 (Pythagoras); a leading blade of 3 and a wheel of 2 a minute over two minutes are 5."""
    assert own_form_um(3.0, 4.0, 12.0) == pytest.approx(13.0)
    printing = FOLLOWS._replace(led_form_um=3.0, wheel_form_um_min=2.0)
    assert (printed_form_um(printing, True, 2.0), printed_form_um(printing, False, 2.0)) == pytest.approx((5.0, 4.0))


@pytest.mark.parametrize("factor", [edge_life_factor, heat_factor])
def test_factors_of_edges_and_heats_have_a_mean_of_one_and_the_scatter_asked_for(factor) -> None:  # type: ignore[no-untyped-def]
    values = [factor(0.15, uniform) for uniform in UNIFORMS]
    mean = sum(values) / len(values)
    assert mean == pytest.approx(1.0, abs=1e-4)
    assert math.sqrt(sum((value - mean) ** 2 for value in values) / len(values)) == pytest.approx(0.15, rel=2e-3)


def test_the_finish_of_a_mounted_cutter_is_lognormal_of_mean_one() -> None:
    assert sum(finish_factor(0.3, uniform) for uniform in UNIFORMS) / len(UNIFORMS) == pytest.approx(1.0, abs=2e-4)
    assert finish_factor(0.3, 0.975) == pytest.approx(math.exp(0.3 * stats.norm.ppf(0.975) - 0.045))


def test_a_life_known_within_a_factor_lies_there_in_95_of_100() -> None:
    """Known within 1.5: sigma 0.206874, ln 1.5 over 1.959964; the median is what is planned with."""
    sigma = unknown_sigma(1.5)
    assert sigma == pytest.approx(0.206874, abs=5e-7)
    ends = [kind_life_factor(sigma, uniform) for uniform in (0.025, 0.5, 0.975)]
    assert ends == pytest.approx([1.0 / 1.5, 1.0, 1.5])


def test_breaking_is_weibull() -> None:
    """Shape 3, scale 60 parts: broken in the first 25 with a chance of 0.0697835."""
    assert edge_break_share(3.0, 60.0, 1.0 - 0.0697835) == pytest.approx(25.0, rel=1e-5)


def test_castings_of_a_heat() -> None:
    """Heats of 25 castings; of eight hours: both begin at 0."""
    assert [heat_number(serial, 0.0, 25, 0.0) for serial in (0, 24, 25, 74, 75)] == [0, 0, 1, 2, 3]
    assert [heat_number(7, minute, 0, 480.0) for minute in (0.0, 479.0, 480.0, 1440.0)] == [0, 0, 1, 3]


def test_a_line_boring_bar_at_mid_span() -> None:
    """60 mm over 800 mm, E 2e5, I 636 173 mm4: 48 E I / L**3 is 11.928 N/µm, and 192 with fixed ends 47.713."""
    assert line_bar_stiffness_n_um(60.0, 800.0, 2e5, False) == pytest.approx(11.928, abs=5e-4)
    assert line_bar_stiffness_n_um(60.0, 800.0, 2e5, True) == pytest.approx(47.713, abs=5e-4)


def test_a_room_that_is_coldest_when_the_day_begins() -> None:
    """A cosine of 3 K over eight hours: -3, 0, 3 and 0 at its quarters."""
    assert [room_kelvin(120.0 * quarter, 3.0, 480.0) for quarter in range(4)] == pytest.approx([-3.0, 0.0, 3.0, 0.0])


def test_terms_of_a_cut() -> None:
    """Land 0.3 mm at 6 degrees: 31.5313 µm of recession; 30 N on 10 N/µm 3 µm more. A setting of 2 and 1.5 times 6."""
    cut = a_cut_of(depth_mm=0.3, wear_limit_mm=0.3, tan_clearance=math.tan(math.radians(6.0)), wear_force_n=30.0,
                   stiffness_n_um=10.0, least_metal_um=30.0, least_metal_rise_um=20.0)  # fmt: skip
    assert worn_um(cut, 1.0) == pytest.approx(34.5313, abs=5e-5)
    assert (metal_met_um(cut, 20.0, False), metal_met_um(cut, 20.0, True)) == pytest.approx((320.0, 20.0))
    assert least_metal_um(cut, 0.5) == pytest.approx(40.0)
    assert setting_um(6.0, 2.0, 1.5) == pytest.approx(11.0)


def test_minutes_and_teeth() -> None:
    """0.22 mm at 400 rev/min: 88 mm/min; 12 teeth over 60 degrees: 2 in the cut; 30 µm at 40 and 15 s: one minute."""
    assert feed_rate_mm_min(0.22, 400.0) == pytest.approx(88.0)
    assert teeth_in_cut(12.0, math.radians(60.0)) == pytest.approx(2.0)
    assert stock_removal_minutes(30.0, 40.0, 0.25) == pytest.approx(1.0)
