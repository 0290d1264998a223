"""From the figures of single runs to the tables of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim.study.intervals import each_of, holm, mean_interval, paired_difference
from linesim.study.measures import MEASURES, Measure
from linesim.study.outcome import WHOLE_WORKS

__all__ = ["difference_table", "ledger_table", "policy_table", "time_table", "values_of"]

_IDLE = ("waiting for a part", "held up")
"""What a machine does through no doing of its own."""


def values_of(
    replications: pd.DataFrame, policy: str, name: str, line: str = WHOLE_WORKS
) -> npt.NDArray[np.float64]:
    """One figure of one policy, replication after replication."""
    rows = replications[(replications["policy"] == policy) & (replications["line"] == line)]
    return rows.sort_values("replication")[name].to_numpy(dtype=np.float64)


def policy_table(replications: pd.DataFrame, policies: Sequence[str], confidence: float) -> pd.DataFrame:
    """Mean and interval of every measure.

    Parameters
    ----------
    replications : pandas.DataFrame
        One row per policy, replication and line, and for the whole works.
    policies : sequence of str
        Their names, in the order of the rows.
    confidence : float
        Of each interval by itself.

    Returns
    -------
    pandas.DataFrame
        Columns policy, line, measure, mean, half_width, confidence, n.
    """
    lines = list(dict.fromkeys(replications["line"]))
    rows = []
    for policy in policies:
        for line in lines:
            for measure in MEASURES:
                found = mean_interval(values_of(replications, policy, measure.name, line), confidence)
                place = (policy, line, measure.name)
                rows.append((*place, found.mean, found.half_width, confidence, found.n))
    return pd.DataFrame(rows, columns=["policy", "line", "measure", "mean", "half_width", "confidence", "n"])


def difference_table(
    replications: pd.DataFrame, policies: Sequence[str], against: Sequence[str], confidence: float
) -> pd.DataFrame:
    """Paired differences of every policy against some, for the whole works.

    Parameters
    ----------
    replications : pandas.DataFrame
        One row per policy, replication and line, and for the whole works.
    policies : sequence of str
        All policies compared.
    against : sequence of str
        Those to set each of them against.
    confidence : float
        Of all the intervals of one measure against one policy together.

    Returns
    -------
    pandas.DataFrame
        Columns policy, against, measure, mean (policy less against), half_width, confidence, n, p_value (of
        this pair alone), p_holm (of this pair among all against the same) and is_apart (the interval leaves
        out 0).
    """
    rows: list[dict[str, Any]] = []
    for other in against:
        for measure in MEASURES:
            rows += _against_one(
                replications, [name for name in policies if name != other], other, measure, confidence
            )
    columns = [
        "policy",
        "against",
        "measure",
        "mean",
        "half_width",
        "confidence",
        "n",
        "p_value",
        "p_holm",
        "is_apart",
    ]
    return pd.DataFrame(rows, columns=columns)


def _against_one(
    replications: pd.DataFrame, policies: Sequence[str], against: str, measure: Measure, confidence: float
) -> list[dict[str, Any]]:
    """All policies against one of them by one measure; the intervals hold together."""
    theirs = values_of(replications, against, measure.name)
    own = each_of(confidence, len(policies))
    found = [paired_difference(values_of(replications, name, measure.name), theirs, own) for name in policies]
    adjusted = holm([difference.p_value for difference in found])
    return [
        {
            "policy": policy,
            "against": against,
            "measure": measure.name,
            "mean": difference.mean,
            "half_width": difference.half_width,
            "confidence": confidence,
            "n": difference.n,
            "p_value": difference.p_value,
            "p_holm": p_holm,
            "is_apart": difference.is_apart,
        }
        for policy, difference, p_holm in zip(policies, found, adjusted, strict=True)
    ]


def ledger_table(money: pd.DataFrame, policies: Sequence[str], lines: Sequence[str]) -> pd.DataFrame:
    """What each item costs per good part, in the mean over the replications.

    Parameters
    ----------
    money : pandas.DataFrame
        Columns policy, replication, line, item, money, shipped.
    policies, lines : sequence of str
        Their names, in order.

    Returns
    -------
    pandas.DataFrame
        Columns policy, line (and the whole works, if it has several lines), item, per_good_part; items add up
        to the cost per good part. Not a number for a policy that in some replication ships nothing.
    """
    wide = money.pivot_table(
        index=["policy", "replication", "line"],
        columns="item",
        values="money",
        aggfunc="sum",
        fill_value=0.0,
        sort=False,
    )
    shipped = money.drop_duplicates(["policy", "replication", "line"]).set_index(
        ["policy", "replication", "line"]
    )["shipped"]
    frames = [(line, wide.xs(line, level="line"), shipped.xs(line, level="line")) for line in lines]
    if len(lines) > 1:
        runs = ["policy", "replication"]
        frames.append((WHOLE_WORKS, wide.groupby(level=runs).sum(), shipped.groupby(level=runs).sum()))
    rows = []
    for line, sums, parts in frames:
        means = (
            sums.div(parts.where(parts > 0), axis=0)
            .groupby(level="policy")
            .agg(lambda column: column.mean(skipna=False))
        )
        rows += [
            (policy, line, item, means.loc[policy, item]) for policy in policies for item in means.columns
        ]
    return pd.DataFrame(rows, columns=["policy", "line", "item", "per_good_part"])


def time_table(times: pd.DataFrame) -> pd.DataFrame:
    """Mean share of each machine's time in each state.

    Parameters
    ----------
    times : pandas.DataFrame
        Columns policy, replication, line, operation, machine, state, share.

    Returns
    -------
    pandas.DataFrame
        The same without replication, and is_constraint: whether the operation holds back its line, by the
        share of time in which its machines neither wait for a part nor are held up, in the mean over all
        policies.
    """
    keys = ["policy", "line", "operation", "machine", "state"]
    means = times.groupby(keys, sort=False)["share"].mean().reset_index()
    idle = (
        means[means["state"].isin(_IDLE)]
        .groupby(["line", "operation", "machine", "policy"], sort=False)["share"]
        .sum()
    )
    by_operation = idle.groupby(level=["line", "operation"], sort=False).mean()
    holding = set(by_operation.groupby(level="line", sort=False).idxmin())
    places = zip(means["line"], means["operation"], strict=True)
    return means.assign(is_constraint=[place in holding for place in places])
