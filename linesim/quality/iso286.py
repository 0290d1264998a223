"""Standard tolerances for plain sizes: the unit i and the grades IT5 to IT16 (ISO 286-1).

i = 0.45 ∛D + 0.001 D µm, D the geometric mean of the step of sizes, mm. A grade is a multiple of i, rounded; from IT11
on it is ten times the grade five below. Source: IS 919:1993, which is ISO 286-1:1988, as transcribed in public tables;
the rules of rounding are from memory. Between 18 and 315 mm the result agrees with the standard's table (from memory)
for IT5 to IT10; outside, it can differ from the table by 1 µm, so look there before a drawing goes out.
"""

from __future__ import annotations

import math

__all__ = ["GRADES", "size_step_mm", "standard_tolerance_um", "tolerance_unit_um"]

_STEPS_MM = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0)

_MULTIPLES = {5: 7.0, 6: 10.0, 7: 16.0, 8: 25.0, 9: 40.0, 10: 64.0}

GRADES = range(5, 17)
"""Grades that can be worked out."""


def size_step_mm(size_mm: float) -> tuple[float, float]:
    """Step of nominal sizes (over, up to and including) that a size falls in.

    Parameters
    ----------
    size_mm : float, mm
        Above 0, up to 500.

    Raises
    ------
    ValueError
        The size lies outside the steps.

    >>> size_step_mm(80.0), size_step_mm(88.0)
    ((50.0, 80.0), (80.0, 120.0))
    """
    if not 0.0 < size_mm <= _STEPS_MM[-1]:
        raise ValueError(f"a size of {size_mm:g} mm has no step here; above 0 and up to 500 mm was expected")
    over = max((step for step in _STEPS_MM if step < size_mm), default=1.0)
    return over, min(step for step in _STEPS_MM if step >= size_mm)


def tolerance_unit_um(size_mm: float) -> float:
    """Standard tolerance unit i for a size, µm.

    Parameters
    ----------
    size_mm : float, mm
        Above 0, up to 500; i is the same over the whole step (the first step counts from 1 mm).

    >>> round(tolerance_unit_um(88.0), 4)
    2.1725
    """
    middle_mm = math.sqrt(math.prod(size_step_mm(size_mm)))
    return 0.45 * math.cbrt(middle_mm) + 0.001 * middle_mm


def _rounded(tolerance_um: float) -> float:
    """To 1 µm up to 100, to 5 µm up to 200, to 10 µm above."""
    step = 1.0 if tolerance_um <= 100.0 else 5.0 if tolerance_um <= 200.0 else 10.0
    return step * round(tolerance_um / step)


def standard_tolerance_um(grade: int, size_mm: float) -> float:
    """Standard tolerance of a grade for a size, µm (full width of the zone).

    Parameters
    ----------
    grade : int
        5 for IT5, up to 16.
    size_mm : float, mm
        Nominal size, above 0, up to 500.

    Raises
    ------
    ValueError
        Grade or size lies outside.

    >>> standard_tolerance_um(7, 88.0)
    35.0
    """
    if grade not in GRADES:
        raise ValueError(f"IT{grade} is not known here; a grade from IT5 to IT16 was expected")
    if grade >= 11:
        return 10.0 * standard_tolerance_um(grade - 5, size_mm)
    return _rounded(_MULTIPLES[grade] * tolerance_unit_um(size_mm))
