"""Money and minutes of a cut: cheapest and fastest speed, cost of an edge, regrinds from a stock.

Time per part Tc = Th + Tm + tc / N and cost per part Co Tc + Ct / N, with Th handling, Tm cutting, tc change minutes,
N parts per edge, Co money per minute and Ct money per edge. Sources: W. W. Gilbert, "Economics of machining",
*Machining: Theory and Practice*, ASM 1950; Groover, *Fundamentals of Modern Manufacturing*.

The closed formulas take a life without scatter, one tool, and N = T / Tm unrounded; Groover rounds down to whole parts,
which is a little dearer. Co holds lost output only where the machine is the constraint.
"""

from __future__ import annotations

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
    "edge_cost_over_edges",
    "run_out_cost_rate",
]


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
