"""Force, torque and power: relations that hold whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.cutting.force import (
    THIN_CHIP_EXPONENT,
    THIN_CHIP_MM,
    cutting_force_n,
    milling_chip_thickness_mm,
    specific_force_n_mm2,
)
from linesim.cutting.kinematics import milling_engagement_rad, spindle_speed_rpm
from linesim.cutting.power import (
    drilling_power_kw,
    milling_power_kw,
    turning_power_kw,
)

kc11 = st.floats(400.0, 2500.0)
mc = st.floats(0.1, 0.35)


def test_mean_milling_chip_is_the_mean_over_the_engagement() -> None:
    """Numeric mean of fz sin(kappa) cos(angle) over the arc of a centred cutter."""
    feed, lead, width, diameter = 0.2, 60.0, 90.0, 125.0
    half = 0.5 * milling_engagement_rad(width, diameter)
    n = 100_000
    mean = sum(math.cos(-half + 2.0 * half * (k + 0.5) / n) for k in range(n)) / n
    expected = feed * math.sin(math.radians(lead)) * mean
    assert milling_chip_thickness_mm(feed, lead, width, diameter) == pytest.approx(expected, rel=1e-8)


@given(k=kc11, m=mc)
def test_specific_force_is_continuous_at_the_bend_and_steeper_below(k: float, m: float) -> None:
    """No jump at 0.05 mm; the local exponent is m above and at least 0.4 below."""
    just_below = specific_force_n_mm2(k, m, THIN_CHIP_MM * (1.0 - 1e-12))
    assert just_below == pytest.approx(specific_force_n_mm2(k, m, THIN_CHIP_MM))
    above = math.log2(specific_force_n_mm2(k, m, 0.1) / specific_force_n_mm2(k, m, 0.2))
    below = math.log2(specific_force_n_mm2(k, m, 0.01) / specific_force_n_mm2(k, m, 0.02))
    assert above == pytest.approx(m)
    assert below == pytest.approx(THIN_CHIP_EXPONENT)


def test_a_steep_material_stays_steep_for_thin_chips() -> None:
    """The exponent below the bend is never less than the material's own."""
    ratio = specific_force_n_mm2(1000.0, 0.6, 0.01) / specific_force_n_mm2(1000.0, 0.6, 0.02)
    assert ratio == pytest.approx(2.0**0.6)


def test_turning_power_is_speed_times_force() -> None:
    """In watts: m/s x N."""
    kc, speed, depth, feed = 1800.0, 150.0, 2.0, 0.25
    force = cutting_force_n(kc, depth, feed)
    assert turning_power_kw(speed, depth, feed, kc, 1.0) == pytest.approx(speed / 60.0 * force / 1000.0)
    assert turning_power_kw(speed, depth, feed, kc, 0.5) == pytest.approx(2.0 * speed / 60.0 * force / 1000.0)


@given(kc=kc11, feed=st.floats(0.05, 1.0), d=st.floats(5.0, 60.0), share=st.floats(0.0, 0.99))
def test_drilling_and_reaming_power_is_torque_times_speed(kc: float, feed: float, d: float, share: float) -> None:
    """Power from the torque of the annulus and the spindle speed."""
    power = drilling_power_kw(kc, 60.0, feed, d, share * d, 1.0)
    torque_nm = kc * feed * (d**2 - (share * d) ** 2) / 8000.0
    assert 9549.0 * power / spindle_speed_rpm(60.0, d) == pytest.approx(torque_nm, rel=1e-4)


def test_drilling_power_is_specific_force_times_volume() -> None:
    """Hole area x feed rate x kc, for the solid and for an annulus."""
    kc, speed, feed, outer, inner = 2000.0, 60.0, 0.2, 20.0, 19.0
    rate = feed * spindle_speed_rpm(speed, outer)
    area = math.pi / 4.0 * (outer**2 - inner**2)
    expected = milling_power_kw(area, 1.0, rate, kc, 1.0)
    assert drilling_power_kw(kc, speed, feed, outer, inner, 1.0) == pytest.approx(expected)
