"""Least stock after Kovan's rule (Z = Rz + T + ρ + ε; from memory): a worked sum, and what a bore takes less."""

from __future__ import annotations

import math

import pytest

from linesim.routing.least_stock import least_stock_um


def test_a_face_that_was_left_at_ra_5_needs_70_um() -> None:
    """Ra 5, so Rz 25 µm; a layer of 25 and a form of 20 µm: 70 µm at the least, and the set-up error on top."""
    assert least_stock_um(25.0, 25.0, 20.0, 0.0, is_bore=False) == pytest.approx(70.0)
    assert least_stock_um(25.0, 25.0, 20.0, 15.0, is_bore=False) == pytest.approx(85.0)


def test_in_a_bore_form_and_set_up_add_as_vectors() -> None:
    assert least_stock_um(25.0, 25.0, 20.0, 15.0, is_bore=True) == pytest.approx(50.0 + math.hypot(20.0, 15.0))


def test_a_scratch_deeper_than_the_layer_takes_its_place() -> None:
    assert least_stock_um(25.0, 25.0, 20.0, 0.0, is_bore=False, reaches_um=60.0) == pytest.approx(80.0)
