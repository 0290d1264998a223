"""When to change a tool that may fail: age replacement.

A tool is changed when it reaches an age, at cost cp, or when it fails before, at cost cf. Over a long run the cost
per unit of time is [cp R(T) + cf F(T)] / integral of R from 0 to T. Source: R. E. Barlow and F. Proschan,
*Mathematical Theory of Reliability*, Wiley 1965, chapter 4. Lives follow a Weibull distribution,
R(t) = exp(-(t / scale)**shape).

Plain Python on SciPy: these are answers to a question, and no engine calls them.
"""

from __future__ import annotations

import math

from scipy import special

_WIDEST_LOG = 600.0
"""Largest |ln((age / scale)**shape)| looked at; exp of it is still a number."""


def _survival(age: float, shape: float, scale: float) -> float:
    """Share of tools that outlive an age."""
    return math.exp(-((age / scale) ** shape))


def _mean_use(age: float, shape: float, scale: float) -> float:
    """Mean age at change, the integral of the survival function from 0 to the age."""
    mean_life = scale * math.gamma(1.0 + 1.0 / shape)
    return mean_life * float(special.gammainc(1.0 / shape, (age / scale) ** shape))


def cost_rate_at_age(age: float, shape: float, scale: float, planned_cost: float, failure_cost: float) -> float:
    """Cost per unit of time when tools are changed at an age or on failure.

    Parameters
    ----------
    age : float
        Age at which a tool is changed, above 0; parts, minutes, or any unit that the scale has.
    shape, scale : float
        Of the Weibull life, above 0.
    planned_cost, failure_cost : float, money
        cp and cf of one change.

    Returns
    -------
    float, money per unit of age

    >>> round(cost_rate_at_age(493.05, 2.5, 1000.0, 1.0, 5.0), 6)
    0.003462
    """
    survive = _survival(age, shape, scale)
    return (planned_cost * survive + failure_cost * (1.0 - survive)) / _mean_use(age, shape, scale)


def run_out_cost_rate(shape: float, scale: float, failure_cost: float) -> float:
    """Cost per unit of time when tools run until they fail: cf / mean life; arguments as `cost_rate_at_age`.

    >>> run_out_cost_rate(1.0, 100.0, 5.0)
    0.05
    """
    return failure_cost / (scale * math.gamma(1.0 + 1.0 / shape))


def best_age(shape: float, scale: float, planned_cost: float, failure_cost: float) -> float:
    """Age at which changing is cheapest: the root of h(T) x integral of R - F(T) = cp / (cf - cp).

    Parameters
    ----------
    shape, scale : float
        Of the Weibull life, above 0; h is its hazard.
    planned_cost, failure_cost : float, money
        cp above 0 and cf of one change.

    Returns
    -------
    float
        In the unit of the scale; infinite where changing early never pays (shape <= 1, or cf <= cp).

    >>> round(best_age(2.5, 1000.0, 1.0, 5.0), 2)
    493.05
    """
    if shape <= 1.0 or failure_cost <= planned_cost:
        return math.inf
    wanted = planned_cost / (failure_cost - planned_cost)

    def excess(log_age: float) -> float:
        """Left side less right side at an age of scale x exp(log_age)."""
        x = math.exp(log_age)
        hazard = shape * math.pow(x, shape - 1.0)
        return hazard * _mean_use(x, shape, 1.0) - (1.0 - _survival(x, shape, 1.0)) - wanted

    widest = _WIDEST_LOG / shape
    if excess(widest) < 0.0:
        return math.inf
    from scipy import optimize  # noqa: PLC0415 - a quarter of what a command loads; see also `optimum`

    return scale * math.exp(float(optimize.brentq(excess, -widest, widest, xtol=1e-12)))


def cost_rate_at_count(count: int, shape: float, scale_parts: float, planned_cost: float, failure_cost: float) -> float:
    """Cost per part when tools are changed after a number of parts or on failure: sums in place of the integral.

    Parameters
    ----------
    count : int, parts
        Number of parts N after which a tool is changed, 1 or more.
    shape, scale_parts : float
        Of the Weibull life in parts, above 0. A tool which fails during part j has served j parts.
    planned_cost, failure_cost : float, money
        cp and cf of one change.

    Returns
    -------
    float, money/part
        [cp R(N) + cf F(N)] / sum of R(j), j = 0 to N - 1.

    >>> round(cost_rate_at_count(1, 2.0, 10.0, 1.0, 5.0), 4)
    1.0398
    """
    survive = _survival(count, shape, scale_parts)
    served = math.fsum(_survival(j, shape, scale_parts) for j in range(count))
    return (planned_cost * survive + failure_cost * (1.0 - survive)) / served


def best_part_count(
    shape: float, scale_parts: float, planned_cost: float, failure_cost: float, most: int = 100_000
) -> int | None:
    """Number of parts after which changing is cheapest; arguments as `cost_rate_at_count`.

    Parameters
    ----------
    most : int, parts
        Largest number looked at.

    Returns
    -------
    int or None
        The first count that the next one does not better; None where changing early never pays or the best count
        lies beyond `most`.

    >>> best_part_count(1.0, 50.0, 1.0, 5.0) is None
    True
    """
    if shape <= 1.0 or failure_cost <= planned_cost:
        return None
    served, lowest = 0.0, math.inf
    for count in range(1, most + 1):
        served += _survival(count - 1, shape, scale_parts)
        survive = _survival(count, shape, scale_parts)
        rate = (planned_cost * survive + failure_cost * (1.0 - survive)) / served
        if rate >= lowest:
            return count - 1
        lowest = rate
    return None
