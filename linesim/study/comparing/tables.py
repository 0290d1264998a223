"""From the figures of single runs to the tables of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim.plan.tables import Floats
from linesim.result.details import Detail
from linesim.study.comparing.measures import MEASURES, Measure
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.statistics.intervals import (
    Difference,
    each_of,
    holm,
    mean_interval,
    mean_intervals,
    paired_difference,
    t_quantile,
)

__all__ = [
    "DETAIL_COLUMNS",
    "LINE_DETAILS",
    "detail_table",
    "difference_table",
    "finding_table",
    "ledger_table",
    "policy_table",
    "time_table",
]

_IDLE = ("waiting for a part", "filling a batch", "held up")
"""What a machine does through no doing of its own."""


Runs = dict[tuple[str, str], pd.DataFrame]
"""By policy and line: one row per replication, in their order."""


def _runs_of(replications: pd.DataFrame) -> Runs:
    """The rows of each policy and line by themselves."""
    groups = replications.sort_values("replication", kind="stable").groupby(["policy", "line"])
    return {(str(policy), str(line)): rows for (policy, line), rows in groups}


def _values(runs: Runs, policy: str, line: str, name: str) -> npt.NDArray[np.float64]:
    """One figure, replication after replication."""
    return runs[policy, line][name].to_numpy(dtype=np.float64)


def policy_table(
    replications: pd.DataFrame, policies: Sequence[str], confidence: float, looks: int = 1
) -> pd.DataFrame:
    """Mean and interval of every measure.

    Parameters
    ----------
    replications : pandas.DataFrame
        One row per policy, replication and line, and for the whole works.
    policies : sequence of str
        Their names, in the order of the rows.
    confidence : float
        Of each interval by itself, at whichever look the study ends.
    looks : int
        How often the intervals may have been looked at; the risk is split among the looks.

    Returns
    -------
    pandas.DataFrame
        Columns policy, line, measure, mean, half_width, confidence, n.
    """
    lines = list(dict.fromkeys(replications["line"]))
    runs = _runs_of(replications)
    own = each_of(confidence, looks)
    rows = []
    for policy in policies:
        for line in lines:
            if (policy, line) not in runs:
                continue
            for measure in MEASURES:
                interval = mean_interval(_values(runs, policy, line, measure.name), own)
                head = (policy, line, measure.name)
                rows.append((*head, interval.mean, interval.half_width, confidence, interval.n))
    return pd.DataFrame(rows, columns=["policy", "line", "measure", "mean", "half_width", "confidence", "n"])


def difference_table(
    replications: pd.DataFrame, policies: Sequence[str], against: Sequence[str], confidence: float, looks: int = 1
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
        Of all the intervals of one measure against one policy together, at whichever look the study ends.
    looks : int
        How often the intervals may have been looked at; the risk is split among the looks.

    Returns
    -------
    pandas.DataFrame
        Columns policy, against, measure, mean (policy less against), half_width, confidence, n (replications that
        both have), p_value (of this pair alone), p_holm (of this pair among all against the same) and is_apart (the
        interval leaves out 0). P values are raised for the looks by Bonferroni's inequality.

    Notes
    -----
    Dunnett's test for several against one takes their figures as independent of each other. Here they share
    castings, edges and breakdowns, which is what makes differences small beside their means; so it does not apply,
    and the paired t interval with Bonferroni's inequality stands in its place, which needs no such assumption.
    """
    rows: list[dict[str, Any]] = []
    runs = _runs_of(replications)
    for other in against:
        others = [name for name in policies if name != other]
        for measure in MEASURES:
            rows += _against_one(runs, others, other, measure, confidence, looks)
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
    runs: Runs, policies: Sequence[str], against: str, measure: Measure, confidence: float, looks: int
) -> list[dict[str, Any]]:
    """All policies against one of them by one measure; the intervals hold together."""
    theirs = _values(runs, against, WHOLE_WORKS, measure.name)
    own = each_of(confidence, looks * len(policies))
    differences = [_paired(_values(runs, name, WHOLE_WORKS, measure.name), theirs, own) for name in policies]
    raised = [min(1.0, looks * difference.p_value) for difference in differences]
    adjusted = holm(raised)
    return [
        {
            "policy": policy,
            "against": against,
            "measure": measure.name,
            "mean": difference.mean,
            "half_width": difference.half_width,
            "confidence": confidence,
            "n": difference.n,
            "p_value": p_value,
            "p_holm": p_holm,
            "is_apart": difference.is_apart,
        }
        for policy, difference, p_value, p_holm in zip(policies, differences, raised, adjusted, strict=True)
    ]


def _paired(ours: npt.NDArray[np.float64], theirs: npt.NDArray[np.float64], confidence: float) -> Difference:
    """The paired difference over the replications that both have."""
    shared = min(len(ours), len(theirs))
    return paired_difference(ours[:shared], theirs[:shared], confidence)


LINE_DETAILS = {
    "parts_in_limits_per_hour": "1/h", "rolled_yield": "", "scrap_share": "", "mean_in_line": "parts",
    "mean_lead_min": "min", "sd_lead_min": "min",
}  # fmt: skip
"""Figures of a line that no measure is, with their units; a share of 1 has none."""

DETAIL_COLUMNS = (
    "policy", "of", "line", "operation", "name", "characteristic", "figure", "unit", "mean", "half_width", "confidence",
    "n",
)  # fmt: skip
"""Columns of the table of details."""


def detail_table(
    alternatives: Sequence[tuple[str, Sequence[Detail], Floats]], confidence: float, looks: int = 1
) -> pd.DataFrame:
    """Waits, stock, lead times, people, sharp sets and characteristics, each with its interval.

    Parameters
    ----------
    alternatives : sequence of (str, sequence of Detail, array of float (n, heads))
        Name of each, what its figures are of, and the figures of its replications.
    confidence : float
        Of each interval by itself, at whichever look the study ends.
    looks : int
        How often the intervals may have been looked at; the risk is split among the looks.

    Returns
    -------
    pandas.DataFrame
        With the columns `DETAIL_COLUMNS`. Not a number where a replication does not know a figure, such as the wait of
        a pool that had nothing to do.
    """
    own = each_of(confidence, looks)
    tables = []
    for name, heads, values in alternatives:
        if len(values):
            means, half_widths = mean_intervals(values, own)
            table = pd.DataFrame(list(heads), columns=list(DETAIL_COLUMNS[1:8]))
            table = table.assign(mean=means, half_width=half_widths, confidence=confidence, n=len(values))
            table.insert(0, "policy", name)
            tables.append(table)
    return pd.concat(tables, ignore_index=True) if tables else pd.DataFrame(columns=list(DETAIL_COLUMNS))


def ledger_table(ledger: pd.DataFrame, confidence: float = 0.95, looks: int = 1) -> pd.DataFrame:
    """What each item costs per good part, in the mean over the replications, with its interval.

    Parameters
    ----------
    ledger : pandas.DataFrame
        Columns policy, replication, line, item, per_good_part.
    confidence, looks : float, int
        As for `policy_table`.

    Returns
    -------
    pandas.DataFrame
        The same without replication, and half_width, confidence and n; items add up to the cost per good part. Items
        that cost nothing anywhere are left out. Not a number for a policy that in some replication ships nothing.
    """
    means = _means(ledger, ["policy", "line", "item"], "per_good_part", confidence, looks)
    costs_something = means.groupby("item")["per_good_part"].transform(lambda money: money.abs().max() > 0.0)
    return means[costs_something.astype(bool)].reset_index(drop=True)


def _means(rows: pd.DataFrame, keys: Sequence[str], value: str, confidence: float, looks: int) -> pd.DataFrame:
    """Means over the replications by some keys, with their intervals; not a number where one replication knows none."""
    groups = rows.groupby(list(keys), sort=False)[value]
    known, n = groups.count(), groups.size()
    quantile = t_quantile((1.0 + each_of(confidence, looks)) / 2.0, np.maximum(n - 1, 1))
    table = groups.mean().where(known == n).to_frame()
    table["half_width"] = np.where((n > 1) & (known == n), quantile * groups.std() / np.sqrt(n), np.nan)
    return table.assign(confidence=confidence, n=n).reset_index()


def time_table(times: pd.DataFrame, confidence: float = 0.95, looks: int = 1) -> pd.DataFrame:
    """Mean share of each machine's time in each state, with its interval.

    Parameters
    ----------
    times : pandas.DataFrame
        Columns policy, replication, line, operation, machine, state, share.
    confidence, looks : float, int
        As for `policy_table`.

    Returns
    -------
    pandas.DataFrame
        The same without replication, and half_width, confidence, n and is_constraint: whether the operation holds back
        its line, by the share of time in which its machines neither wait for a part nor are held up, in the mean over
        all policies.
    """
    keys = ["policy", "line", "operation", "machine", "state"]
    means = _means(times, keys, "share", confidence, looks)
    where = ["line", "operation"]
    idle = means[means["state"].isin(_IDLE)].groupby([*where, "machine", "policy"], sort=False)["share"].sum()
    by_operation = idle.reset_index().groupby(where, sort=False)["share"].mean().reset_index()
    holding = by_operation.loc[by_operation.groupby("line", sort=False)["share"].idxmin(), where]
    table = means.merge(holding.assign(is_constraint=True), on=where, how="left")
    return table.assign(is_constraint=table["is_constraint"].eq(True))


def finding_table(findings: pd.DataFrame) -> pd.DataFrame:
    """Findings that differ in their figures alone, put together.

    Parameters
    ----------
    findings : pandas.DataFrame
        Columns policy, replication, text, is_problem.

    Returns
    -------
    pandas.DataFrame
        Columns policy, text (as the first run of that policy has it), is_problem, runs; problems first.
    """
    alike = findings["text"].astype(str).str.replace(r"\d+(\.\d+)?", "#", regex=True)
    groups = findings.assign(alike=alike).groupby(["policy", "alike"], sort=False)
    table = groups.agg(text=("text", "first"), is_problem=("is_problem", "first"), runs=("replication", "nunique"))
    return table.reset_index().drop(columns="alike").sort_values("is_problem", ascending=False, kind="stable")
