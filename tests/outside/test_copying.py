"""Copying of blank errors (Sokolovsky 1946-52; Matalin, *Tekhnologiya mashinostroeniya*; both from memory).

No printed numeric example could be opened; the figures are derived from the formulas.
"""

from __future__ import annotations

import pytest

from linesim.cutting.error_terms import copied_share, error_after_cut
from linesim.cutting.force import specific_force_n_mm2
from linesim.cutting.form import (
    bar_stiffness_n_um,
    copying_factor,
    series_stiffness_n_um,
)
from linesim.handbook import machine_stiffness
from tests.builders import a_cut_of


def test_copying_factor_and_the_short_form() -> None:
    """k_cut 2, k 20: 0.090909 where the short form C/k gives 0.1000, 10 % high; k_cut 5: 0.2000."""
    assert copying_factor(2.0, 20.0) == pytest.approx(0.090909, abs=5e-7)
    assert (2.0 / 20.0) / copying_factor(2.0, 20.0) == pytest.approx(1.10)
    assert copying_factor(5.0, 20.0) == pytest.approx(0.2000)


@pytest.mark.parametrize(("passes", "left"), [(1, 45.455), (2, 4.132), (3, 0.3757)])
def test_passes_multiply(passes: int, left: float) -> None:
    """Blank error 500 um, factor 1/11."""
    error_um = 500.0
    for _ in range(passes):
        error_um = error_after_cut(a_cut_of(cutting_stiffness_n_um=2.0), 0.0, error_um, 0.0, 0.0, 0.0, 0.0, False, 1.0)
    assert error_um == pytest.approx(left, rel=2e-4)


def test_boring_grey_iron() -> None:
    """Iron 1350/0.28, f 0.2, radial share 0.35: 0.1483 N/um; on 10 N/um factor 0.014613, 7.3067 um at 0.5 mm."""
    k_cut = 0.35 * specific_force_n_mm2(1350.0, 0.28, 0.2) * 0.2 / 1000.0
    assert 1000.0 * k_cut == pytest.approx(148.3, abs=0.05)
    assert copying_factor(k_cut, 10.0) == pytest.approx(0.014613, abs=5e-7)
    assert 500.0 * copying_factor(k_cut, 10.0) == pytest.approx(7.3067, abs=5e-5)


def test_two_passes_at_one_setting() -> None:
    """k_cut 0.3, k 10, ap 0.5: spring-off 14.563 um, and 0.029126 of that after a second pass, 0.4242 um."""
    factor = copying_factor(0.3, 10.0)
    first = 500.0 * factor
    assert (first, factor) == (pytest.approx(14.563, abs=5e-4), pytest.approx(0.029126, abs=5e-7))
    assert first * factor == pytest.approx(0.4242, abs=5e-5)


def test_two_members_in_series() -> None:
    """30 N/um of machine and 12.08 N/um of bar: 8.612 N/um."""
    assert series_stiffness_n_um(30.0, 12.08) == pytest.approx(8.612, abs=5e-4)
    assert series_stiffness_n_um(30.0, bar_stiffness_n_um(25.0, 100.0, 210e3)) == pytest.approx(8.612, abs=5e-4)


def test_a_worn_edge_copies_more() -> None:
    """Cutting stiffness from 0.3 to 0.57 at a land of 0.3 mm: the factor follows."""
    cut = a_cut_of(cutting_stiffness_n_um=0.3, stiffness_n_um=10.0, wear_slope_n_um=0.27)
    assert copied_share(cut, 1.0, 1.0) == pytest.approx(0.57 / 10.57)


@pytest.mark.parametrize(
    ("machine", "low_kgf_mm", "high_kgf_mm"),
    [("milling machine", 400, 1500), ("grinding machine", 2000, 5000), ("unit boring head", 300, 400)],
)
def test_typical_stiffness_is_that_of_trusov(machine: str, low_kgf_mm: int, high_kgf_mm: int) -> None:
    """A. N. Trusov, tables P3-P4 (read), classes in kgf/mm; 1000 kgf/mm = 9.807 N/um."""
    n_um = 9.80665e-3
    assert 1000 * n_um == pytest.approx(9.807, abs=5e-4)
    entry = machine_stiffness()[machine]
    assert entry.low == pytest.approx(low_kgf_mm * n_um, rel=0.02)
    assert entry.high == pytest.approx(high_kgf_mm * n_um, rel=0.02)
