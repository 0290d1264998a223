"""Operations to which not all parts of their line come, as they stand in a branch."""

from __future__ import annotations

import numpy as np
import pandas as pd

from linesim.plan.branches import branch_share
from linesim.plan.plan import Plan

__all__ = ["by_branches"]


def by_branches(table: pd.DataFrame, plan: Plan) -> pd.DataFrame:
    """The table of operations with all that is meant for each part in the mean over all parts of the line.

    Parameters
    ----------
    table : pandas.DataFrame
        One row for each operation of the plan, as if all parts came to it.
    plan : Plan
        Says how many take each branch.

    Returns
    -------
    pandas.DataFrame
        Minutes are fewer and parts an hour more by the share of the parts that come; the same table without branches.
    """
    shares = np.array([branch_share(plan.mixes, number) for number in range(len(table))])
    if (shares == 1.0).all():
        return table
    minutes = [name for name in table.columns if name.endswith("_min") or name == "minutes_per_part"]
    each = {name: table[name] * shares for name in minutes}
    with np.errstate(divide="ignore"):
        paces = {name: table[name] / shares for name in ("parts_per_hour", "way_per_hour")}
        return table.assign(**each, **paces, share_of_parts=table["share_of_parts"] * shares)
