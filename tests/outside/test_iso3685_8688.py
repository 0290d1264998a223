"""Life criteria of ISO 3685:1993 (turning) and ISO 8688-1 and -2:1989 (milling).

Only contents pages and scopes were read; the limits are from memory.
"""

from __future__ import annotations

from linesim.cutting.life import crater_limit_mm, is_worn_in_milling, is_worn_in_turning
from linesim.handbook import grades


def test_crater_depth_for_a_feed_of_a_quarter() -> None:
    """KT = 0.06 + 0.3 f (from memory): 0.135 mm."""
    assert abs(crater_limit_mm(0.25) - 0.135) < 1e-12


def test_a_regular_land_is_judged_by_its_mean() -> None:
    """VB_B 0.3 mm (from memory); a peak does not matter."""
    assert not is_worn_in_turning(0.29, 0.65, True)
    assert is_worn_in_turning(0.30, 0.35, True)


def test_an_irregular_land_is_judged_by_its_peak() -> None:
    """VB_B max 0.6 mm (from memory)."""
    assert not is_worn_in_turning(0.35, 0.59, False)
    assert is_worn_in_turning(0.20, 0.60, False)


def test_four_teeth_by_their_mean() -> None:
    """Lands 0.28, 0.31, 0.33, 0.27 average 0.2975 mm: not worn by VB1 0.3 (from memory), though two teeth are over."""
    teeth = [0.28, 0.31, 0.33, 0.27]
    assert abs(sum(teeth) / 4 - 0.2975) < 1e-12
    assert not is_worn_in_milling(sum(teeth) / 4, max(teeth))


def test_one_tooth_by_its_peak() -> None:
    """With a fifth tooth of 0.52 mm the cutter is worn by VB3 0.5 (from memory), as also by a mean of 0.3."""
    teeth = [0.20, 0.21, 0.23, 0.19, 0.52]
    assert sum(teeth) / 5 < 0.3
    assert is_worn_in_milling(sum(teeth) / 5, max(teeth))
    assert is_worn_in_milling(0.3, 0.31)


def test_handbook_grades_wear_to_the_standard_land() -> None:
    """0.3 mm for every grade (from memory)."""
    assert {grade.wear_limit_mm for grade in grades().values()} == {0.3}
