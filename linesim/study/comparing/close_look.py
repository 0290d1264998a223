"""What a close look at a few policies shows: money by operation and cause, characteristics, gauges, time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim.study.statistics.intervals import Interval, each_of, mean_interval, paired_difference
from linesim.works import Works

__all__ = ["MONEY_KEYS", "CloseLook"]

MONEY_KEYS = ("operation", "item", "cause", "what")
"""By what the money of a good part can be opened, from coarse to fine."""


@dataclass(frozen=True, eq=False)
class CloseLook:
    """What a few replications of a few policies say, in detail; replications share their chance between policies.

    Attributes
    ----------
    works : Works
        The scenario.
    names : tuple of str
        The policies looked at.
    seed, n : int
        Key of all chance, and replications of each policy (0 to n - 1).
    confidence : float
        Of every interval.
    lines, money, drawing, gauges, times, causes, blame, faults, first_pieces, later : DataFrame
        The tables of `linesim.result.Result` of all runs, with policy and replication in each row. ``money`` has
        ``per_good_part`` in the scenario's currency and ``per_part``, the quantity; ``times`` a share for each machine
        and state.
    """

    works: Works
    names: tuple[str, ...]
    seed: int
    n: int
    confidence: float
    lines: pd.DataFrame
    money: pd.DataFrame
    drawing: pd.DataFrame
    gauges: pd.DataFrame
    times: pd.DataFrame
    causes: pd.DataFrame
    blame: pd.DataFrame
    faults: pd.DataFrame
    first_pieces: pd.DataFrame
    later: pd.DataFrame

    def figure(self, policy: str, line: str, name: str) -> Interval:
        """Mean of one column of the lines' table, with its interval.

        Parameters
        ----------
        policy, line : str
            Which.
        name : str
            Column, such as ``good_per_hour``.

        Returns
        -------
        Interval
        """
        return mean_interval(self._values(policy, line, name), self.confidence)

    def difference(self, policy: str, against: str, line: str, name: str) -> tuple[float, float, bool]:
        """Paired difference of one column between two policies: mean, half width, whether it is apart from none."""
        first, second = (self._values(each, line, name) for each in (policy, against))
        answer = paired_difference(first, second, self.confidence)
        return answer.mean, answer.half_width, answer.is_apart

    def money_table(self, policy: str, line: str, by: Sequence[str]) -> pd.DataFrame:
        """Money per good part, opened by some of its keys.

        Parameters
        ----------
        policy, line : str
            Which.
        by : sequence of str
            Some of `MONEY_KEYS`, coarse first.

        Returns
        -------
        DataFrame
            The keys; mean, half_width (at ``confidence``) and n, in the scenario's currency per good part, the most
            costly first. Means add up to the cost per good part.
        """
        pivot = self._money_of(policy, line, by)
        rows = [mean_interval(values, self.confidence) for values in pivot.to_numpy(dtype=np.float64)]
        table = pivot.index.to_frame(index=False)
        table["mean"] = [row.mean for row in rows]
        table["half_width"] = [row.half_width for row in rows]
        table["n"] = self.n
        return table.sort_values("mean", ascending=False, kind="stable").reset_index(drop=True)

    def money_between(self, policy: str, against: str, line: str, by: Sequence[str]) -> pd.DataFrame:
        """What one policy costs more or less than another per good part, opened by some of its keys.

        Parameters
        ----------
        policy, against : str
            The first less the second.
        line : str
            Which line.
        by : sequence of str
            Some of `MONEY_KEYS`, coarse first.

        Returns
        -------
        DataFrame
            The keys; ``first``, ``second``, ``difference``, ``half_width``, ``is_apart``; the greatest differences
            first. Differences are paired by replication; the intervals of all rows hold together (Bonferroni).
        """
        first, second = self._money_of(policy, line, by), self._money_of(against, line, by)
        index = first.index.union(second.index, sort=False)
        first, second = first.reindex(index, fill_value=0.0), second.reindex(index, fill_value=0.0)
        level = each_of(self.confidence, max(len(index), 1))
        answer = [
            paired_difference(one, other, level)
            for one, other in zip(first.to_numpy(np.float64), second.to_numpy(np.float64), strict=True)
        ]
        table = index.to_frame(index=False)
        table["first"] = first.to_numpy(np.float64).mean(axis=1) if len(index) else []
        table["second"] = second.to_numpy(np.float64).mean(axis=1) if len(index) else []
        table["difference"] = [row.mean for row in answer]
        table["half_width"] = [row.half_width for row in answer]
        table["is_apart"] = [row.is_apart for row in answer]
        order = table["difference"].abs().sort_values(ascending=False, kind="stable").index
        return table.loc[order].reset_index(drop=True)

    def composition(
        self, policy: str, line: str, operation: str | None = None, item: str | None = None
    ) -> pd.DataFrame:
        """What an amount is made of: what it is spent on, for which cause, at which operation.

        Parameters
        ----------
        policy, line : str
            Which.
        operation, item : str, optional
            Only these rows; all unless given, and then the operations are taken together.

        Returns
        -------
        DataFrame
            operation (not if all is wanted), item, cause, what; quantity (per good part) in unit, at price; mean and
            half_width, in the scenario's currency per good part; the most costly first. A price that differs from run
            to run, as that of machine time does, is its mean, weighted by quantity.
        """
        first = 1 if operation is None and item is None else 0
        keys = [*MONEY_KEYS[first:], "unit"]
        table = self.money_table(policy, line, keys)
        own = self.money[(self.money["policy"] == policy) & (self.money["line"] == line)]
        weighed = own.assign(quantity=own["per_part"], at_price=own["per_part"] * own["price"])
        sums = weighed.groupby(keys)[["quantity", "at_price"]].sum()
        prices = own.groupby(keys)["price"].agg(["min", "max"])
        price = (sums["at_price"] / sums["quantity"]).where(prices["min"] != prices["max"], prices["min"])
        counted = pd.DataFrame({"quantity": sums["quantity"] / self.n, "price": price})
        table = table.merge(counted.reset_index(), on=keys, how="left")
        for column, wanted in (("operation", operation), ("item", item)):
            table = table if wanted is None else table[table[column] == wanted]
        return table.reset_index(drop=True)

    def drawing_table(self, policy: str, line: str) -> pd.DataFrame:
        """Every characteristic of a line: limits, mean, spread, capability, share out; means over the replications.

        Returns
        -------
        DataFrame
            feature, characteristic, unit, lower, upper, aim; mean, sd, cp, cpk, out_percent (of the places), loss
            (money per shipped part), each with a column ``..._half_width``; n.
        """
        own = self.drawing[(self.drawing["policy"] == policy) & (self.drawing["line"] == line)]
        own = own.assign(out_percent=100.0 * (own["share_below"].fillna(0.0) + own["share_above"].fillna(0.0)))
        own = own.rename(columns={"loss_per_part": "loss"})
        rows = []
        for (feature, of), group in own.groupby(["feature", "characteristic"], sort=False):
            head = group.iloc[0]
            row = {"feature": feature, "characteristic": of} | {
                name: head[name] for name in ("unit", "lower", "upper", "aim")
            }
            for name in ("mean", "sd", "cp", "cpk", "out_percent", "loss"):
                answer = mean_interval(group[name].to_numpy(dtype=np.float64), self.confidence)
                row |= {name: answer.mean, f"{name}_half_width": answer.half_width}
            rows.append(row | {"n": self.n})
        return pd.DataFrame(rows)

    def gauge_table(self, policy: str, line: str) -> pd.DataFrame:
        """What the gauges of a line did, readings of all replications together.

        Returns
        -------
        DataFrame
            operation, gauge, feature, readings, caught (bad and turned down), missed (bad and passed), false_alarms
            (good and turned down), corrections, caught_percent (of the bad ones read; not a number if there was none).
        """
        own = self.gauges[(self.gauges["policy"] == policy) & (self.gauges["line"] == line)]
        names = ["readings", "bad_turned_down", "bad_passed", "good_turned_down", "corrections"]
        sums = own.groupby(["operation", "gauge", "feature"], sort=False)[names].sum().reset_index()
        sums = sums.rename(
            columns={"bad_turned_down": "caught", "bad_passed": "missed", "good_turned_down": "false_alarms"}
        )
        bad = (sums["caught"] + sums["missed"]).to_numpy(dtype=np.float64)
        sums["caught_percent"] = 100.0 * sums["caught"].to_numpy(dtype=np.float64) / np.where(bad > 0.0, bad, np.nan)
        return sums

    def sums(
        self, table: pd.DataFrame, policy: str, line: str, by: Sequence[str], counts: Sequence[str]
    ) -> pd.DataFrame:
        """Counts of a table of all runs, added up over the replications.

        Parameters
        ----------
        table : DataFrame
            One of this record's, such as ``faults``.
        policy, line : str
            Which.
        by : sequence of str
            Columns that tell the rows apart.
        counts : sequence of str
            Columns that are added up.

        Returns
        -------
        DataFrame
            In the order of the first run that has the row.
        """
        own = table[(table["policy"] == policy) & (table["line"] == line)]
        return own.groupby([*by], sort=False)[[*counts]].sum().reset_index()

    def time_table(self, policy: str, line: str) -> pd.DataFrame:
        """Share of time of every machine in every state, in per cent, with its interval.

        Returns
        -------
        DataFrame
            operation, machine, state, percent, half_width; in the order of the routing.
        """
        own = self.times[(self.times["policy"] == policy) & (self.times["line"] == line)]
        rows = []
        for place, group in own.groupby(["operation", "machine", "state"], sort=False):
            answer = mean_interval(100.0 * group["share"].to_numpy(dtype=np.float64), self.confidence)
            names = dict(zip(("operation", "machine", "state"), place, strict=True))
            rows.append(names | {"percent": answer.mean, "half_width": answer.half_width})
        return pd.DataFrame(rows)

    def _values(self, policy: str, line: str, name: str) -> npt.NDArray[np.float64]:
        """One column of the lines' table, one value for each replication."""
        own = (self.lines["policy"] == policy) & (self.lines["line"] == line)
        return self.lines.loc[own, name].to_numpy(dtype=np.float64)

    def _money_of(self, policy: str, line: str, by: Sequence[str]) -> pd.DataFrame:
        """Money per good part: one row for each group, one column for each replication."""
        own = self.money[(self.money["policy"] == policy) & (self.money["line"] == line)]
        sums = own.groupby([*by, "replication"], sort=False)["per_good_part"].sum()
        return sums.unstack("replication").reindex(columns=range(self.n)).fillna(0.0)
