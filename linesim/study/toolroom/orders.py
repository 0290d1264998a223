"""When new cutters have to be ordered, so that one lies ready whenever a set is used up."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from linesim.plan.tables import Floats

__all__ = ["Lead", "order_rows"]


class Lead(NamedTuple):
    """What is known of ordering one kind of set.

    Attributes
    ----------
    cutter : str
        Its name.
    weeks : float
        From the order to the shelf, worked weeks.
    on_order : int
        Sets on order as the plan begins.
    price : float
        Of one.
    """

    cutter: str
    weeks: float
    on_order: int
    price: float


def order_rows(lead: Lead, used_up: Floats, weeks: int, enough_in: float) -> list[dict[str, object]]:
    """Orders of one kind of set, week by week.

    Parameters
    ----------
    lead : Lead
        Of the kind.
    used_up : array of float, (runs, weeks)
        Sets that are no more by run and week; as many weeks beyond the plan's as the lead time takes.
    weeks : int
        For which orders are planned.
    enough_in : float
        Share of the runs in which what has been ordered is enough.

    Returns
    -------
    list of dict
        cutter, order_in_week, sets, there_in_week, cost. What is ordered at the beginning of a week covers all that is
        used up until the order of a week later is there. Those needed before any order can be there stand in the first
        week as well.

    >>> used = np.array([[1.0, 0.0, 1.0, 1.0]])
    >>> [(row["order_in_week"], row["sets"]) for row in order_rows(Lead("blade", 2.0, 0, 5.0), used, 2, 0.95)]
    [(1, 2), (2, 1)]
    """
    ahead = math.ceil(lead.weeks)
    by_then = np.quantile(np.cumsum(used_up, axis=1), enough_in, axis=0, method="inverted_cdf")
    rows: list[dict[str, object]] = []
    ordered = lead.on_order
    for week in range(1, weeks + 1):
        covered = min(week + ahead, used_up.shape[1])
        sets = max(0, math.ceil(float(by_then[covered - 1])) - ordered)
        if sets:
            ordered += sets
            there = week + ahead
            rows.append(
                {"cutter": lead.cutter, "order_in_week": week, "sets": sets, "there_in_week": there,
                 "cost": sets * lead.price}
            )  # fmt: skip
    return rows
