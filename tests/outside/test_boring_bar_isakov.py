"""Stiffness of boring bars against E. Isakov, *Cutting Tool Engineering*, July 2019 (read)."""

from __future__ import annotations

import pytest

from linesim.cutting.form import bar_stiffness_n_um, round_section_mm4
from linesim.handbook import moduli


def test_deflection_of_a_one_inch_bar() -> None:
    """911.1 N at 101.6 mm on d 25.4, E 206e3: prints I 20 432 mm4 and 0.0757 mm (read)."""
    assert round_section_mm4(25.4) == pytest.approx(20_431.7, abs=0.05)
    steel = moduli()["steel"].modulus_n_mm2
    assert steel == 206e3
    assert 911.1 / bar_stiffness_n_um(25.4, 101.6, steel) == pytest.approx(75.7, abs=0.05)


@pytest.mark.parametrize(
    ("diameter", "length", "modulus", "stiffness"),
    [(25.0, 100.0, 210e3, 12.080), (60.0, 240.0, 210e3, 28.992), (25.0, 100.0, 630e3, 36.240)],
    ids=["steel", "thick steel", "carbide"],
)
def test_stiffness_of_bars(diameter: float, length: float, modulus: float, stiffness: float) -> None:
    """3 E I / L**3 in N/um (derived)."""
    assert bar_stiffness_n_um(diameter, length, modulus) == pytest.approx(stiffness, abs=5e-4)


def test_length_and_diameter_act_by_the_third_and_fourth_power() -> None:
    """Twice the length: an eighth; a quarter more diameter: 2.4414 times (derived)."""
    base = bar_stiffness_n_um(25.0, 100.0, 210e3)
    assert base / bar_stiffness_n_um(25.0, 200.0, 210e3) == pytest.approx(8.0)
    assert bar_stiffness_n_um(31.25, 100.0, 210e3) / base == pytest.approx(2.4414, abs=5e-5)


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [("steel", 206e3, 210e3), ("carbide", 550e3, 650e3), ("heavy metal", 310e3, 340e3)],
)
def test_moduli_lie_in_the_makers_ranges(material: str, low: float, high: float) -> None:
    """Boring-bar makers' data (from memory)."""
    assert low <= moduli()[material].modulus_n_mm2 <= high
