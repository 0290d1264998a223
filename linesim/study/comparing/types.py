"""Good parts of each type under each policy, and by how much they differ from the base, pair by pair."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.result.details import Detail
from linesim.result.type_details import PART_TYPE
from linesim.study.statistics.intervals import each_of, paired_difference

__all__ = ["TYPE_COLUMNS", "type_differences"]

TYPE_COLUMNS = (
    "policy", "against", "line", "part_type", "good_per_hour", "mean", "half_width", "confidence", "n", "is_apart",
)  # fmt: skip
"""Columns of the table of types."""


def type_differences(
    values: Mapping[str, tuple[Sequence[Detail], Floats]], against: str, confidence: float, looks: int = 1
) -> pd.DataFrame:
    """Good parts per hour of each part type, and what they are more than under one policy.

    Parameters
    ----------
    values : mapping of str to (sequence of Detail, array of float (n, heads))
        By policy, what its figures are of, and the figures of its replications.
    against : str
        The policy that the others are set against.
    confidence : float
        Of the intervals of all policies of a type together, at whichever look the study ends.
    looks : int
        How often the intervals may have been looked at.

    Returns
    -------
    pandas.DataFrame
        With the columns `TYPE_COLUMNS`: the mean of good_per_hour, and of its paired difference from ``against`` with
        its half width; no rows where no line says which types it makes.
    """
    rows = []
    heads, theirs = values[against]
    others = [name for name in values if name != against and len(values[name][1])]
    level = each_of(confidence, looks * max(1, len(others)))
    for at, head in enumerate(heads):
        if head.of != PART_TYPE or head.figure != "good_per_hour" or not len(theirs):
            continue
        kind = {"against": against, "line": head.line, "part_type": head.name, "confidence": confidence}
        rows.append({"policy": against, **kind, "good_per_hour": theirs[:, at].mean(), "n": len(theirs)})
        for name in others:
            shared = min(len(theirs), len(values[name][1]))
            pair = paired_difference(values[name][1][:shared, at], theirs[:shared, at], level)
            rows.append(
                {
                    "policy": name, **kind, "good_per_hour": values[name][1][:, at].mean(), "mean": pair.mean,
                    "half_width": pair.half_width, "n": pair.n, "is_apart": pair.is_apart,
                }
            )  # fmt: skip
    table = pd.DataFrame(rows, columns=list(TYPE_COLUMNS))
    return table.assign(is_apart=table["is_apart"].eq(True), mean=table["mean"].astype(np.float64))
