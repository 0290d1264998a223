"""Two studies of a store set side by side, policy by policy, paired where they met the same chance."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd

from linesim.study.comparing.measures import MEASURES
from linesim.study.crew.summary import WHOLE_WORKS
from linesim.study.statistics.intervals import Interval, mean_interval, paired_difference

__all__ = ["between_studies"]

_KEYS = ["seed", "replication"]


def between_studies(first: pd.DataFrame, second: pd.DataFrame, confidence: float = 0.95) -> pd.DataFrame:
    """Means of two studies and the differences of their policies of the same name.

    Parameters
    ----------
    first, second : DataFrame
        As `linesim.study.comparing.past.run_table` gives them.
    confidence : float
        Of each interval, between 0 and 1.

    Returns
    -------
    DataFrame
        policy, measure; first, first_half_width, first_n and the same of the second, over all of their runs;
        difference (first less second), half_width, is_apart, n: paired over the runs of the same seed and replication,
        not a number where there are fewer than two. Policies of one study only have no figures of the other. Where a
        study has run a policy of one name on several scenarios, the scenario with the most runs counts.
    """
    one, other = _whole(first), _whole(second)
    names = list(dict.fromkeys([*one["policy"], *other["policy"]]))
    rows = []
    for name in names:
        mine, theirs = one[one["policy"] == name], other[other["policy"] == name]
        both = mine.merge(theirs, on=_KEYS, suffixes=("_1", "_2"))
        for measure in MEASURES:
            row: dict[str, Any] = {"policy": name, "measure": measure.name}
            for head, table in (("first", mine), ("second", theirs)):
                values = table[measure.name].to_numpy(dtype=np.float64)
                answer = mean_interval(values, confidence) if len(values) else Interval(math.nan, math.nan, 0)
                row |= {head: answer.mean, f"{head}_half_width": answer.half_width, f"{head}_n": answer.n}
            one_s, other_s = (both[f"{measure.name}_{at}"].to_numpy(dtype=np.float64) for at in (1, 2))
            rows.append(row | _apart(one_s, other_s, confidence))
    columns = ["policy", "measure", "first", "first_half_width", "first_n", "second", "second_half_width", "second_n"]
    return pd.DataFrame(rows, columns=[*columns, "difference", "half_width", "is_apart", "n"])


def _whole(table: pd.DataFrame) -> pd.DataFrame:
    """Rows of the whole works, of one scenario for each policy."""
    whole = table[table["line"] == WHOLE_WORKS]
    if whole.empty:
        return pd.DataFrame(columns=["policy", *_KEYS, *(measure.name for measure in MEASURES)])
    counts = whole.groupby(["policy", "works"], sort=False).size().reset_index(name="runs")
    chosen = counts.sort_values("runs", ascending=False, kind="stable").drop_duplicates("policy")
    stored = whole.merge(chosen[["policy", "works"]], on=["policy", "works"])
    return stored.drop_duplicates(["policy", *_KEYS])


def _apart(first: np.ndarray[Any, Any], second: np.ndarray[Any, Any], confidence: float) -> dict[str, Any]:
    """The paired difference, if there are pairs enough for an interval."""
    if len(first) < 2:
        return {"difference": math.nan, "half_width": math.nan, "is_apart": False, "n": len(first)}
    answer = paired_difference(first, second, confidence)
    return {"difference": answer.mean, "half_width": answer.half_width, "is_apart": answer.is_apart, "n": answer.n}
