"""The tool room's plan: its figures week by week, kind by kind, and the orders."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.study.statistics.intervals import mean_intervals
from linesim.study.toolroom.orders import Lead, order_rows
from linesim.study.toolroom.weeks import ITEMS_OF_ROOM
from linesim.works import Works

__all__ = ["ENOUGH_IN", "ToolRoomFigures"]

ENOUGH_IN = 0.95
"""Share of the runs in which sets in circulation, orders and the upper end of a band are enough."""

_LOW = 0.05
_WAITS_MIN = 0.5
"""Waiting below this in a week is nothing that a shop would see."""


@dataclass(frozen=True, eq=False, repr=False)
class ToolRoomFigures:
    """What the coming weeks ask of the tool room.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        By which sets are changed.
    n_weeks : int
        Weeks of the plan.
    seed : int
        Key of all chance.
    confidence : float
        Of the intervals of means.
    leads : tuple of Lead
        Lead time and price of every kind of set.
    sums : mapping of str to array of float, (runs, weeks, ...)
        The figures of `linesim.study.toolroom.weeks.Week`; more weeks than the plan's, for the orders.
    """

    works: Works
    policy: str
    n_weeks: int
    seed: int
    confidence: float
    leads: tuple[Lead, ...]
    sums: Mapping[str, Floats]

    @property
    def n_replications(self) -> int:
        """Runs."""
        return len(self.sums["grinder_h"])

    @property
    def hours_staffed(self) -> float:
        """Hours that the tool grinders are there in a week."""
        return self.works.crib.grinders * self.works.calendar.minutes_per()["week"] / 60.0

    @cached_property
    def weeks(self) -> pd.DataFrame:
        """One row for each week of the plan: all kinds together.

        Returns
        -------
        DataFrame
            week; of changes, regrinds, used_up, grinder_h and cost: mean, ``..._half_width`` of its interval, and
            ``..._low`` and ``..._high``, between which nine runs in ten lie; hours_staffed, load_share; cost_... of
            each item, means.
        """
        money = self.sums["money"].sum(axis=2)
        named = {
            "changes": self.sums["changes"].sum(axis=2),
            "regrinds": self.sums["regrinds"].sum(axis=2),
            "used_up": self.sums["used_up"].sum(axis=2),
            "grinder_h": self.sums["grinder_h"],
            "cost": money,
        }
        table = pd.DataFrame({"week": np.arange(1, self.n_weeks + 1)})
        for name, values in named.items():
            for head, column in self._band(name, values[:, : self.n_weeks]).items():
                table[head] = column
        table["hours_staffed"] = self.hours_staffed
        table["load_share"] = table["grinder_h"] / self.hours_staffed if self.hours_staffed else math.nan
        for at, item in enumerate(ITEMS_OF_ROOM):
            table[f"cost_{item.value.replace(' ', '_')}"] = self.sums["money"][:, : self.n_weeks, at].mean(axis=0)
        return table

    @cached_property
    def kinds(self) -> pd.DataFrame:
        """One row for each kind of set and week.

        Returns
        -------
        DataFrame
            cutter, week; of changes, regrinds and used_up mean, interval and band as in `weeks`; broken and in_place
            (of the changes), means.
        """
        tables = []
        for kind, lead in enumerate(self.leads):
            table = pd.DataFrame({"cutter": lead.cutter, "week": np.arange(1, self.n_weeks + 1)})
            for name in ("changes", "regrinds", "used_up"):
                for head, column in self._band(name, self.sums[name][:, : self.n_weeks, kind]).items():
                    table[head] = column
            for name in ("broken", "in_place"):
                table[name] = self.sums[name][:, : self.n_weeks, kind].mean(axis=0)
            tables.append(table)
        return pd.concat(tables, ignore_index=True) if tables else pd.DataFrame({"cutter": []})

    @cached_property
    def sets(self) -> pd.DataFrame:
        """One row for each kind of set: how many are in circulation, and how many were ever out at once.

        Returns
        -------
        DataFrame
            cutter, sets, out_at_most (mounted, dull, in the grinding or on order, at the worst moment of the plan in 19
            runs of 20), waited_min (a week, mean), is_short (machines waited for them), spare (sets that were always on
            the shelf in 19 runs of 20), changes, regrinds and used_up a week, lead_weeks.
        """
        rows = []
        for kind, (lead, cutter) in enumerate(zip(self.leads, self.works.cutters.values(), strict=True)):
            own = {name: self.sums[name][:, : self.n_weeks, kind] for name in ("out_at_most", "waited_min")}
            most = int(np.quantile(own["out_at_most"].max(axis=1), ENOUGH_IN, method="inverted_cdf"))
            waited = float(own["waited_min"].mean())
            used = {name: float(self.sums[name][:, : self.n_weeks, kind].mean())
                    for name in ("changes", "regrinds", "used_up")}  # fmt: skip
            rows.append(
                {"cutter": lead.cutter, "sets": cutter.sets, "out_at_most": most, "waited_min": waited,
                 "is_short": waited >= _WAITS_MIN, "spare": cutter.sets - most, **used, "lead_weeks": lead.weeks}
            )  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def orders(self) -> pd.DataFrame:
        """New cutters to order, by week and kind.

        Returns
        -------
        DataFrame
            order_in_week, cutter, sets, there_in_week, cost. Ordered at the beginning of the week; enough in 19 runs of
            20 for all that is used up before the next order can be there.
        """
        rows = [
            row
            for kind, lead in enumerate(self.leads)
            for row in order_rows(lead, self.sums["used_up"][:, :, kind], self.n_weeks, ENOUGH_IN)
        ]
        heads = ["order_in_week", "cutter", "sets", "there_in_week", "cost"]
        return pd.DataFrame(rows, columns=heads).sort_values("order_in_week", kind="stable").reset_index(drop=True)

    @property
    def orders_by_kind(self) -> dict[str, dict[int, int]]:
        """Sets to order by kind, as the scenario has them, and week; kinds of which none is ordered are left out."""
        by_kind: dict[str, dict[int, int]] = {lead.cutter: {} for lead in self.leads}
        for row in self.orders.to_dict(orient="records"):
            by_kind[str(row["cutter"])][int(row["order_in_week"])] = int(row["sets"])
        return {cutter: weeks for cutter, weeks in by_kind.items() if weeks}

    def _band(self, name: str, values: Floats) -> dict[str, Floats]:
        """Mean with its interval, and between what nine runs in ten lie, week by week."""
        means, half_widths = mean_intervals(values, self.confidence)
        low, high = np.quantile(values, [_LOW, ENOUGH_IN], axis=0, method="inverted_cdf")
        return {name: means, f"{name}_half_width": half_widths, f"{name}_low": low, f"{name}_high": high}
