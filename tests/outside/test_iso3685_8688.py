"""Life criteria of ISO 3685:1993 (turning) and ISO 8688-1 and -2:1989 (milling).

Only contents pages and scopes were read; the limits are from memory.
"""

from __future__ import annotations

from linesim.handbook import grades


def test_handbook_grades_wear_to_the_standard_land() -> None:
    """0.3 mm for every grade (from memory)."""
    assert {grade.wear_limit_mm for grade in grades().values()} == {0.3}
