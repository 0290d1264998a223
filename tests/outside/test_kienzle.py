"""Cutting force against O. Kienzle, VDI-Z 94 (1952), with published coefficients.

kc1.1 and mc by material group: insert maker's table for ISO 513 / VDI 3323, Iscar turning catalogue 2017 p. 558
(read). German coefficients: Tschaetsch, Paucksch, Tabellenbuch Metall (from memory). Products of the formula derived.
"""

from __future__ import annotations

import math

import pytest

from linesim.cutting.force import (
    cutting_force_n,
    specific_force_n_mm2,
)
from linesim.cutting.kinematics import spindle_speed_rpm
from linesim.cutting.nose import edge_in_cut_mm, mean_chip_mm
from linesim.cutting.power import drilling_power_kw
from linesim.handbook import grades, materials


@pytest.mark.parametrize(
    ("kc11", "mc", "h", "kc"),
    [
        (1350.0, 0.28, 0.1, 2572.4),
        (1350.0, 0.28, 0.2, 2118.6),
        (700.0, 0.25, 0.1, 1244.8),
        (1700.0, 0.24, 0.2, 2501.5),
        (1500.0, 0.22, 0.2, 2137.3),
        (1160.0, 0.26, 0.2, 1762.7),
        (1470.0, 0.25, 0.2, 2198.2),
    ],
)
def test_specific_force(kc11: float, mc: float, h: float, kc: float) -> None:
    """kc1.1 h**-mc (derived); at h = 1 it is kc1.1."""
    assert specific_force_n_mm2(kc11, mc, h) == pytest.approx(kc, abs=0.05)
    assert specific_force_n_mm2(kc11, mc, 1.0) == kc11


@pytest.mark.parametrize(
    ("name", "kc11", "mc"),
    [
        ("C15", 1350.0, 0.21),
        ("C45", 1500.0, 0.22),
        ("C45 hardened and tempered", 1675.0, 0.24),
        ("C60", 1700.0, 0.24),
        ("EN-GJL-200", 1150.0, 0.20),
        ("EN-GJL-300", 1350.0, 0.28),
        ("EN-GJS-400", 1225.0, 0.25),
        ("EN-GJS-600", 1350.0, 0.28),
        ("EN-GJMB-350", 1225.0, 0.25),
        ("EN-GJMB-550", 1420.0, 0.30),
        ("AlSi10", 700.0, 0.25),
        ("AlSi17", 750.0, 0.25),
    ],
)
def test_handbook_coefficients_are_those_of_the_table(name: str, kc11: float, mc: float) -> None:
    """Insert maker's table (read), by VDI 3323 group."""
    material = materials()[name]
    assert (material.kc11_n_mm2, material.mc) == (kc11, mc)
    assert material.strengths["kc11_n_mm2"] == "read"


def test_gjl_250_lies_between_the_two_groups_of_grey_iron() -> None:
    """Of 1150/0.20 and 1350/0.28, over usual chips (read); the handbook takes 1160/0.26 (from memory)."""
    iron = materials()["EN-GJL-250"]
    for h in (0.1, 0.2, 0.3):
        ours = specific_force_n_mm2(iron.kc11_n_mm2, iron.mc, h)
        assert specific_force_n_mm2(1150.0, 0.20, h) < ours < specific_force_n_mm2(1350.0, 0.28, h)


def test_finish_boring_force() -> None:
    """Iron 1350/0.28, depth 0.5, feed 0.1, lead angle 90: 128.62 N (derived)."""
    assert cutting_force_n(specific_force_n_mm2(1350.0, 0.28, 0.1), 0.5, 0.1) == pytest.approx(128.62, abs=5e-3)


def test_drilling() -> None:
    """Iron 1350/0.28, D 10, feed 0.2, 118 degree point, 60 m/min (derived; formulas Sandvik Coromant, from memory)."""
    h = 0.2 / 2.0 * math.sin(math.radians(59.0))
    kc = specific_force_n_mm2(1350.0, 0.28, h)
    assert (h, kc) == (pytest.approx(0.08572, abs=5e-6), pytest.approx(2686.0, abs=0.5))
    power = drilling_power_kw(kc, 60.0, 0.2, 10.0, 0.0, 1.0)
    rpm = spindle_speed_rpm(60.0, 10.0)
    assert power == pytest.approx(1.343, abs=5e-4)
    assert rpm == pytest.approx(1909.9, abs=0.05)
    assert power * 60_000.0 / (2.0 * math.pi * rpm) == pytest.approx(6.715, abs=6e-4)


def test_wear_adds_between_the_open_tests_and_the_rule_of_a_third() -> None:
    """Koenig and Klocke's 30 % per 0.1 mm (from memory), of 0.4 of the cutting force: 423 N/mm²; steel 1060-1170."""
    iron = materials()["EN-GJL-250"]
    force_n = specific_force_n_mm2(iron.kc11_n_mm2, iron.mc, 0.2) * 0.2
    rule = 0.4 * 0.3 * force_n / 0.1
    assert rule == pytest.approx(423.06, rel=1e-4)
    assert {grade.wear_pressure_n_mm2 for (_, family), grade in grades().items() if family == "grey iron"} == {500.0}
    assert rule < 500.0 < 1060.0 <= grades()["coated carbide", "steel"].wear_pressure_n_mm2 <= 1170.0


@pytest.mark.parametrize(("degrees", "thickness", "width"), [(30.0, 0.1, 4.0), (45.0, 0.14142, 2.82843)])
def test_lead_angle_changes_the_shape_of_the_chip(degrees: float, thickness: float, width: float) -> None:
    """h = f sin(kappa), b = ap / sin(kappa) (DIN 6584), but for half the feed that the end of the edge adds."""
    edge = edge_in_cut_mm(2.0, 0.2, 0.0, math.radians(degrees)) - 0.1
    assert edge == pytest.approx(width, abs=5e-6)
    assert mean_chip_mm(2.0, 0.2, edge) == pytest.approx(thickness, abs=5e-6)
