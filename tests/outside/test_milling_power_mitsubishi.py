"""Milling power and time against makers' technical pages and handbooks.

Mitsubishi Materials, technical page on milling (read); El-Hofy, *Fundamentals of Machining Processes* (read); others
as marked.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from linesim.cutting.force import milling_chip_thickness_mm, specific_force_n_mm2
from linesim.cutting.kinematics import (
    cutting_minutes,
    full_face_approach_mm,
    milling_engagement_rad,
    milling_feed_rate_mm_min,
    spindle_speed_rpm,
)
from linesim.cutting.power import milling_power_kw, turning_power_kw


def test_face_mill_on_tool_steel() -> None:
    """kc 1800, ap 2, ae 80, vf 280, D 250, z 12, vc 80, eta 0.8: prints fz 0.228 and 1.68 kW (read)."""
    rpm = spindle_speed_rpm(80.0, 250.0)
    assert rpm == pytest.approx(101.86, abs=5e-3)
    assert 280.0 / (12.0 * rpm) == pytest.approx(0.229, abs=5e-4)
    assert milling_power_kw(2.0, 80.0, 280.0, 1800.0, 0.8) == pytest.approx(1.68, abs=5e-3)


def test_deck_face_mill() -> None:
    """Iron 1350/0.28, D 125, ae 80, kappa 45, z 8, fz 0.2, ap 3, 150 m/min, eta 1 (derived).

    Engagement and mean chip by Palbit's catalogue p. 128 (read).
    """
    assert math.degrees(milling_engagement_rad(80.0, 125.0)) == pytest.approx(79.58, abs=5e-3)
    h = milling_chip_thickness_mm(0.2, 45.0, 80.0, 125.0)
    palbit = 360.0 * 0.2 * 80.0 * math.sin(math.radians(45.0)) / (math.pi * 125.0 * 79.5836)
    assert h == pytest.approx(palbit, rel=1e-5)
    assert h == pytest.approx(0.13032, abs=5e-6)
    kc = specific_force_n_mm2(1350.0, 0.28, h)
    rpm = spindle_speed_rpm(150.0, 125.0)
    rate = milling_feed_rate_mm_min(0.2, 8.0, rpm)
    assert (kc, rpm, rate) == (
        pytest.approx(2388.5, abs=0.05),
        pytest.approx(381.97, abs=5e-3),
        pytest.approx(611.15, abs=5e-3),
    )
    assert 3.0 * 80.0 * rate / 1000.0 == pytest.approx(146.68, abs=5e-3)
    power = milling_power_kw(3.0, 80.0, rate, kc, 1.0)
    assert (power, 9549.3 * power / rpm) == (pytest.approx(5.839, abs=5e-4), pytest.approx(145.97, abs=0.01))


def test_turning_power() -> None:
    """ap 3, f 0.2, 120 m/min, kc 3100, eta 0.8: 4.65 kW (maker's example, from memory)."""
    assert turning_power_kw(120.0, 3.0, 0.2, 3100.0, 0.8) == pytest.approx(4.65)


def test_slot_of_el_hofy() -> None:
    """p. 189 (read): slot d 30, t 4, 120 mm/min, 1000 N/mm2: prints 0.24 kW, 14.13 m/min, motor 0.27 (eta 0.9)."""
    assert milling_power_kw(4.0, 30.0, 120.0, 1000.0, 1.0) == pytest.approx(0.240)
    assert milling_power_kw(4.0, 30.0, 120.0, 1000.0, 0.9) == pytest.approx(0.27, abs=5e-3)
    assert pytest.approx(150.0) == 120.0 / (8.0 * 0.1)
    assert milling_feed_rate_mm_min(0.1, 8.0, 150.0) == pytest.approx(120.0)
    assert spindle_speed_rpm(14.137, 30.0) == pytest.approx(150.0, abs=0.01)


def test_grey_iron_row_is_a_power_law() -> None:
    """kc 1750, 1400, 1240, 1050, 970 at fz 0.1-0.6 for iron of 200 HB (read): exponent 0.3405, 802.8 at fz 1.

    fz is not the chip thickness, so these are not Kienzle's coefficients; the law of that form follows the row.
    """
    feed = np.array([0.1, 0.2, 0.3, 0.4, 0.6])
    printed = np.array([1750.0, 1400.0, 1240.0, 1050.0, 970.0])
    slope, level = np.polyfit(np.log(feed), np.log(printed), 1)
    assert (-slope, math.exp(level)) == (pytest.approx(0.3405, abs=5e-5), pytest.approx(802.8, abs=0.05))
    ours = np.array([specific_force_n_mm2(802.8, 0.3405, float(f)) for f in feed])
    assert np.abs(ours / printed - 1.0).max() < 0.05


def test_grey_iron_deck_time() -> None:
    """D 200, z 16, 125 m/min, fz 0.25, block 300 long: vf 795.8, travel 500, prints 37.7 s (from memory)."""
    rate = milling_feed_rate_mm_min(0.25, 16.0, spindle_speed_rpm(125.0, 200.0))
    assert rate == pytest.approx(795.8, abs=0.05)
    approach = full_face_approach_mm(200.0)
    assert 300.0 + 2.0 * approach == 500.0
    assert 60.0 * cutting_minutes(300.0, approach, approach, rate) == pytest.approx(37.70, abs=5e-3)
