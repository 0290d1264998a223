"""From when on a grinding wheel may burn what it grinds: for a warning, as iron burns less than steel."""

from __future__ import annotations

import math

from linesim.cutting.wheel import STIFFENING, burn_energy_j_mm3
from linesim.works.crib import Cutter

__all__ = ["burns_from"]


def burns_from(cutter: Cutter) -> tuple[float, float]:
    """Life share from which a wheel takes more energy than that at which steel burns, and that energy.

    Parameters
    ----------
    cutter : Cutter
        A wheel with its figures and its diameter; other cutters never burn.

    Returns
    -------
    tuple of float
        Life share, 0 or more, infinite where it never happens; J/mm³.
    """
    wheel = cutter.wheel
    if wheel is None or cutter.diameter is None:
        return math.inf, math.inf
    limit = burn_energy_j_mm3(cutter.diameter, wheel.pass_depth, wheel.work_speed * 1000.0 / 60.0)
    # The inverse of `linesim.cutting.wheel.grinding_energy_j_mm3`.
    return max(0.0, (limit / wheel.energy - 1.0) / (0.5 * STIFFENING)), limit
