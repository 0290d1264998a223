"""Standard tolerances against the table of ISO 286-1.

Formula, multiples and the three steps from 30 to 120 mm for IT6 to IT8: from transcriptions of IS 919:1993
(ISO 286-1:1988). The other rows of the table are from memory.
"""

from __future__ import annotations

import re

import pytest

from linesim.quality.iso286 import size_step_mm, standard_tolerance_um, tolerance_unit_um


@pytest.mark.parametrize(("size", "unit"), [(40.0, 1.5612), (65.0, 1.8561), (88.0, 2.1725)])
def test_tolerance_unit(size: float, unit: float) -> None:
    assert tolerance_unit_um(size) == pytest.approx(unit, abs=5e-5)


@pytest.mark.parametrize(
    ("size", "row"),
    [
        (24.0, {5: 9, 6: 13, 7: 21, 8: 33, 9: 52, 10: 84, 11: 130, 12: 210}),
        (40.0, {5: 11, 6: 16, 7: 25, 8: 39, 9: 62, 10: 100, 11: 160, 12: 250, 13: 390}),
        (65.0, {5: 13, 6: 19, 7: 30, 8: 46, 9: 74, 10: 120, 11: 190, 12: 300, 13: 460}),
        (88.0, {5: 15, 6: 22, 7: 35, 8: 54, 9: 87, 10: 140, 11: 220, 12: 350, 13: 540, 14: 870, 15: 1400, 16: 2200}),
        (150.0, {5: 18, 6: 25, 7: 40, 8: 63, 9: 100, 10: 160, 11: 250}),
        (200.0, {5: 20, 6: 29, 7: 46, 8: 72, 9: 115, 10: 185, 11: 290}),
        (300.0, {5: 23, 6: 32, 7: 52, 8: 81, 9: 130, 10: 210, 11: 320}),
    ],
    ids=lambda value: f"{value:g} mm" if isinstance(value, float) else "",
)
def test_grades_agree_with_the_table(size: float, row: dict[int, float]) -> None:
    assert {grade: standard_tolerance_um(grade, size) for grade in row} == row


def test_a_limit_of_a_step_belongs_to_the_smaller_step() -> None:
    assert size_step_mm(120.0) == (80.0, 120.0)
    assert size_step_mm(120.001) == (120.0, 180.0)
    assert size_step_mm(2.0) == (1.0, 3.0)


def test_the_bore_of_a_passenger_car_lies_between_it5_and_it6() -> None:
    """87.992 to 88.008 mm (GM 2.4 service manual, read): 16 µm."""
    assert standard_tolerance_um(5, 88.0) < 1000.0 * (88.008 - 87.992) < standard_tolerance_um(6, 88.0)


@pytest.mark.parametrize(
    ("grade", "size", "text"),
    [
        (4, 88.0, "IT4 is not known here; a grade from IT5 to IT16 was expected"),
        (17, 88.0, "IT17 is not known here; a grade from IT5 to IT16 was expected"),
        (7, 501.0, "a size of 501 mm has no step here; above 0 and up to 500 mm was expected"),
        (12, 0.0, "a size of 0 mm has no step here; above 0 and up to 500 mm was expected"),
    ],
)
def test_what_the_table_does_not_hold_is_refused(grade: int, size: float, text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(text)}$"):
        standard_tolerance_um(grade, size)
