"""Heats of castings: what one heat of iron does to the life of edges and to cutting force."""

from __future__ import annotations

from linesim.chance import lognormal_value, normal_from_uniform
from linesim.law import law

__all__ = ["heat_factor", "heat_number"]


@law
def heat_number(serial: int, came_min: float, heat_castings: int, heat_min: float) -> int:
    """Which heat a casting is of, from 0.

    Parameters
    ----------
    serial : int
        Serial number of the casting in its line.
    came_min : float
        When it came into the line, minutes from the start.
    heat_castings : int
        Castings of one heat; 0 where heats go by time.
    heat_min : float
        Minutes in which castings are of one heat, above 0 where heats go by time.

    >>> heat_number(239, 0.0, 120, 0.0), heat_number(239, 1000.0, 0, 960.0)
    (1, 1)
    """
    return serial // heat_castings if heat_castings > 0 else int(came_min / heat_min)


@law
def heat_factor(cv: float, uniform: float) -> float:
    """What a heat multiplies edge life, or cutting force, by: lognormal of mean 1.

    Parameters
    ----------
    cv : float
        Standard deviation over mean from heat to heat, 0 or more.
    uniform : float
        The heat's luck, strictly between 0 and 1.

    Notes
    -----
    That irons of the same strength and hardness differ in wear rate up to five-fold: Griffin, Li, Eleftheriou and
    Bates, AFS Transactions 02-159, 2002 (abstract). The lognormal form is assumed, as for the lives of edges.

    >>> heat_factor(0.0, 0.9), heat_factor(0.15, 0.9) > 1.0
    (1.0, True)
    """
    return 1.0 if cv <= 0.0 else lognormal_value(1.0, cv, normal_from_uniform(uniform))
