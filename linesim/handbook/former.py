"""Figures of a grade under their former names, as scenarios of earlier editions give them.

An own figure stands to the former usual one as the figure that took its place stands to the one of today.
"""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["FORMER", "Former"]


class Former(NamedTuple):
    """What a former figure has become.

    Attributes
    ----------
    now : tuple of str
        Figures in its place.
    usual : float
        What the handbook gave for it.
    """

    now: tuple[str, ...]
    usual: float


FORMER: dict[str, Former] = {
    "force_growth": Former(("wear_pressure_n_mm2", "wear_drag_n_mm2"), 0.9),
    "radial_ratio": Former(("thrust_ratio",), 0.275),
}
"""Rise of the force of a dull edge as a share; radial over cutting force."""
