"""From when on a grinding wheel may burn what it grinds: for a warning, as iron burns less than steel."""

from __future__ import annotations

import math

from linesim.cutting.wheel import burn_energy_j_mm3, glazed_until
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
    return glazed_until(limit, wheel.energy), limit
