"""Money and minutes of a cut: cheapest and fastest speed, cost of an edge, regrinds from a stock.

Time per part Tc = Th + Tm + tc / N and cost per part Co Tc + Ct / N, with Th handling, Tm cutting, tc change minutes,
N parts per edge, Co money per minute and Ct money per edge. Sources: W. W. Gilbert, "Economics of machining",
*Machining: Theory and Practice*, ASM 1950; Groover, *Fundamentals of Modern Manufacturing*.

The closed formulas take a life without scatter, one tool, and N = T / Tm unrounded. `whole_parts_per_edge` rounds
down as Groover does, which is a little dearer. Co holds lost output only where the machine is the constraint.
"""

from __future__ import annotations

import math

from linesim.cutting.optimum import (
    Conditions,
    CutPrices,
    SpeedBounds,
    best_conditions,
    best_speed_m_min,
    conditions_at,
)
from linesim.cutting.replacement import (
    best_age,
    best_part_count,
    cost_rate_at_age,
    cost_rate_at_count,
    run_out_cost_rate,
)
from linesim.law import law

__all__ = [
    "Conditions",
    "CutPrices",
    "SpeedBounds",
    "best_age",
    "best_conditions",
    "best_part_count",
    "best_speed_m_min",
    "conditions_at",
    "cost_rate_at_age",
    "cost_rate_at_count",
    "edge_cost_by_grinds",
    "edge_cost_over_edges",
    "max_production_life_min",
    "min_cost_life_min",
    "part_cost",
    "part_minutes",
    "run_out_cost_rate",
    "turning_minutes",
    "whole_parts_per_edge",
]

_ROUNDING = 1e-9
"""What a quotient may fall short of a whole number by rounding alone: 3 / (0.9 + 0.1) must give 3."""


@law
def max_production_life_min(exponent: float, change_min: float) -> float:
    """Edge life that gives most parts per hour: (1/n - 1) tc.

    Parameters
    ----------
    exponent : float
        Taylor's n, between 0 and 1.
    change_min : float, min
        Minutes tc to change the edge.

    Returns
    -------
    float, min

    Notes
    -----
    Source: Gilbert 1950; Groover.

    >>> max_production_life_min(0.125, 2.0)
    14.0
    """
    return (1.0 / exponent - 1.0) * change_min


@law
def min_cost_life_min(exponent: float, change_min: float, cost_per_min: float, edge_cost: float) -> float:
    """Edge life that makes the part cheapest: (1/n - 1) (tc + Ct / Co).

    Parameters
    ----------
    exponent : float
        Taylor's n, between 0 and 1.
    change_min : float, min
        Minutes tc to change the edge.
    cost_per_min : float, money/min
        Co of machine and people, above 0.
    edge_cost : float, money
        Ct of one edge, 0 or more.

    Returns
    -------
    float, min
        Never below `max_production_life_min`.

    Notes
    -----
    Source: Gilbert 1950; Groover.

    >>> min_cost_life_min(0.125, 2.0, 0.5, 3.0)
    56.0
    """
    return (1.0 / exponent - 1.0) * (change_min + edge_cost / cost_per_min)


@law
def turning_minutes(diameter_mm: float, length_mm: float, speed_m_min: float, feed_mm_rev: float) -> float:
    """Minutes to turn or bore a length: pi D L / (1000 v f).

    Parameters
    ----------
    diameter_mm, length_mm : float, mm
        Diameter D and length L with approach and overrun.
    speed_m_min : float, m/min
        Cutting speed v, above 0.
    feed_mm_rev : float, mm/rev
        Feed f, above 0.

    Returns
    -------
    float, min

    >>> round(turning_minutes(100.0, 500.0, 50.0, 0.25), 2)
    12.57
    """
    return math.pi * diameter_mm * length_mm / (1000.0 * speed_m_min * feed_mm_rev)


@law
def whole_parts_per_edge(life_min: float, cutting_min: float) -> float:
    """Whole parts that one edge finishes within its life: floor(T / Tm).

    Parameters
    ----------
    life_min : float, min
        Life T of the edge.
    cutting_min : float, min
        Minutes Tm of each part, above 0.

    Returns
    -------
    float
        A whole number; 0 where one part outlasts the edge.

    >>> whole_parts_per_edge(56.0, 14.846)
    3.0
    """
    return float(math.floor(life_min / cutting_min + _ROUNDING))


@law
def part_minutes(handling_min: float, cutting_min: float, change_min: float, parts_per_edge: float) -> float:
    """Machine minutes of a part with its share of the change: Th + Tm + tc / N.

    Parameters
    ----------
    handling_min, cutting_min, change_min : float, min
        Th, Tm and tc.
    parts_per_edge : float
        N, whole or not, above 0.

    Returns
    -------
    float, min

    >>> part_minutes(5.0, 12.5, 2.0, 4.0)
    18.0
    """
    return handling_min + cutting_min + change_min / parts_per_edge


@law
def part_cost(
    cost_per_min: float,
    handling_min: float,
    cutting_min: float,
    change_min: float,
    edge_cost: float,
    parts_per_edge: float,
) -> float:
    """Cost of a part with its share of change and edge: Co (Th + Tm + tc / N) + Ct / N.

    Parameters
    ----------
    cost_per_min : float, money/min
        Co of machine and people.
    handling_min, cutting_min, change_min : float, min
        Th, Tm and tc.
    edge_cost : float, money
        Ct of one edge.
    parts_per_edge : float
        N, whole or not, above 0.

    Returns
    -------
    float, money

    >>> part_cost(0.5, 5.0, 12.5, 2.0, 3.0, 4.0)
    9.75
    """
    minutes = part_minutes(handling_min, cutting_min, change_min, parts_per_edge)
    return cost_per_min * minutes + edge_cost / parts_per_edge


@law
def edge_cost_over_edges(price: float, regrinds: float, regrind_cost: float) -> float:
    """Cost of each edge of a reground cutter, the new edge counted: (P + R c) / (R + 1).

    Parameters
    ----------
    price, regrind_cost : float, money
        Price P of the new cutter and cost c of one regrind.
    regrinds : float
        R regrinds in its life, so R + 1 edges.

    Returns
    -------
    float, money

    >>> edge_cost_over_edges(20.0, 15.0, 2.0)
    3.125
    """
    return (price + regrinds * regrind_cost) / (regrinds + 1.0)


@law
def edge_cost_by_grinds(price: float, grinds: float, grind_cost: float) -> float:
    """Cost of each edge when every edge is taken to be a ground one: P / n + c, Groover's way.

    Parameters
    ----------
    price, grind_cost : float, money
        Price P of the cutter and cost c of one grind.
    grinds : float
        Number n of grinds in its life, 1 or more.

    Returns
    -------
    float, money
        Above `edge_cost_over_edges` for the same figures, because the first edge comes with the price.

    >>> edge_cost_by_grinds(120.0, 8.0, 15.0)
    30.0
    """
    return price / grinds + grind_cost
