"""What a bad surface costs after the line: the chance that a later test turns the part down.

A part fails where the weighted sum of its deviations (in units of the drawing) exceeds a strength, normal from part to
part. Two anchors set the strength: the chance at the limit and at twice the limit. One draw for each part and cause
serves all tests in turn, so that a part which passed a hard test is not failed by an easier one.

Sources: that cold-test rejects follow bore machining: Hernandez-Nunez and Bonilla-Blancas, Ing. Compet. 24(2), 2022,
and that leak areas follow from both mated faces: Ren, Park and Wang, J. Manuf. Sci. Eng. 140, 2018 (abstracts read). No
published anchors exist: they are the user's, or assumptions and shown as such. Limits by economics: Taguchi 1986.
A part beyond a limit may also be sold at a concession; up to which deviation that costs less is derived.
"""

from __future__ import annotations

import math

from linesim.law import law
from linesim.normal import normal_from_uniform

MOST_REPAIRS = 63
"""Repairs of one part past which it is scrap, whatever its tests allow."""


@law
def over_limit(value: float, aim: float, below: float, above: float) -> float:
    """Deviation in units of the drawing: distance from the aim over that of the limit on its side.

    Parameters
    ----------
    value, aim : float
        In one unit.
    below, above : float
        How far the limits lie from the aim, above 0; infinite where there is none.

    Returns
    -------
    float
        0 or more; 1 at a limit.

    >>> over_limit(1.0, 2.0, 2.0, 0.5), over_limit(3.0, 2.0, 2.0, 0.5)
    (0.5, 2.0)
    """
    away = value - aim
    return -away / below if away < 0.0 else away / above


@law
def normal_share(z: float) -> float:
    """Share of a standard normal below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


@law
def strength_of(at_limit: float, at_twice: float) -> tuple[float, float]:
    """Mean and standard deviation of the strength, from the chance of a reject at the limit and at twice the limit.

    Parameters
    ----------
    at_limit, at_twice : float
        Chances between 0 and 1, the second the greater.

    Returns
    -------
    tuple of float, float
        In units of the drawing's deviation.

    >>> mean, spread = strength_of(0.05, 0.5)
    >>> round(mean, 4), round(spread, 4)
    (2.0, 0.608)
    """
    first, second = normal_from_uniform(at_limit), normal_from_uniform(at_twice)
    spread = 1.0 / (second - first)
    return 1.0 - spread * first, spread


@law
def chance_of_reject(deviation: float, mean: float, spread: float, floor: float) -> float:
    """Chance that a part with this weighted deviation is turned down: 1 - (1 - floor)(1 - Phi((d - m) / s)).

    Parameters
    ----------
    deviation : float
        Sum of weights times deviations over their limits, 0 or more.
    mean, spread : float
        Of the strength, see `strength_of`.
    floor : float
        Chance for causes that are not surfaces.

    Returns
    -------
    float
    """
    return 1.0 - (1.0 - floor) * (1.0 - normal_share((deviation - mean) / spread))


@law
def is_turned_down(deviation: float, mean: float, spread: float, floor: float, uniform: float) -> bool:
    """Whether a test turns a part down, from the one uniform that the part carries for this cause.

    Parameters
    ----------
    deviation, mean, spread, floor : float
        As for `chance_of_reject`.
    uniform : float
        Of the part and cause; the same for all tests in turn.

    Returns
    -------
    bool
    """
    return uniform < chance_of_reject(deviation, mean, spread, floor)


@law
def producers_limit(consumers_limit: float, loss: float, rejecting: float) -> float:
    """Limit at which rejecting costs as much as passing on: Delta_0 sqrt(R / A_0).

    Parameters
    ----------
    consumers_limit : float
        At which the customer loses ``loss``.
    loss, rejecting : float
        Money at the consumer's limit; cost of rejecting here. Above 0.

    Returns
    -------
    float
        In the unit of the limit. Source: Taguchi 1986, pp. 17-19 (read in a printed summary).

    >>> round(producers_limit(3.0, 1500.0, 300.0), 2)
    1.34
    """
    return consumers_limit * math.sqrt(rejecting / loss)


@law
def chance_worth_a_concession(rejecting: float, discount: float, later_cost: float) -> float:
    """Chance of a later failure up to which selling a part beyond a limit costs less than rejecting it: (R - q) / C.

    Parameters
    ----------
    rejecting, discount : float
        Money: what rejecting it costs, R; what a concession takes off its worth, q.
    later_cost : float
        Money that the failure costs, C, above 0.

    Returns
    -------
    float
        1 or more where it is sold whatever follows, 0 or less where it is not even if nothing follows. Source: the
        sum of both ways (derived).

    >>> chance_worth_a_concession(127.0, 40.0, 600.0)
    0.145
    """
    return (rejecting - discount) / later_cost


@law
def deviation_at_chance(chance: float, mean: float, spread: float, floor: float) -> float:
    """Weighted deviation at which a part is turned down by this chance: the inverse of `chance_of_reject`.

    Parameters
    ----------
    chance : float
        Any number.
    mean, spread, floor : float
        As for `chance_of_reject`; the spread above 0, the floor below 1.

    Returns
    -------
    float
        In units of the drawing; 0 where a part on its aim has that chance already, infinite where none ever has.

    >>> mean, spread = strength_of(0.05, 0.5)
    >>> round(deviation_at_chance(0.05, mean, spread, 0.0), 6), deviation_at_chance(1.0, mean, spread, 0.0)
    (1.0, inf)
    """
    if chance >= 1.0:
        return math.inf
    over_floor = (chance - floor) / (1.0 - floor)
    if over_floor <= 0.0:
        return 0.0
    return max(0.0, mean + spread * normal_from_uniform(over_floor))
