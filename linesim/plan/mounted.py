"""One mounted set with an average edge, as the plan knows it: minutes, life, and how long its rule leaves it in."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from linesim.cutting.life import MOST_LIVES, share_of_growth
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.times import row_minutes
from linesim.plan.type_means import casting_shares, cutting_minutes, gauges_of, share_cut, visits
from linesim.rules import Figures, Interval, kind_of, whole_parts

__all__ = ["PlannedSet"]

_FULL_LIFE = "at its full life"


@dataclass(frozen=True)
class PlannedSet:
    """One set at one operation.

    Parameters
    ----------
    plan : Plan
        Its rules are those of a policy.
    number : int
        The operation.
    slot : int
        Its slot on each machine of the operation, from 0.
    """

    plan: Plan
    number: int
    slot: int

    @cached_property
    def mount(self) -> int:
        """Its slot on the operation's first machine, as the plan counts."""
        machine = self.plan.operations.first_machine[self.number]
        return int(self.plan.machines.first_mount[machine]) + self.slot

    @cached_property
    def cuts(self) -> list[int]:
        """The cuts that it makes here, as the plan counts."""
        operations, strokes = self.plan.operations, self.plan.strokes
        first, end = int(operations.first_stroke[self.number]), int(operations.end_stroke[self.number])
        if first == end:
            return []
        cuts = range(int(strokes.first_cut[first]), int(strokes.end_cut[end - 1]))
        return [cut for cut in cuts if self.plan.cuts.slot[cut] == self.slot]

    @cached_property
    def share_of_parts(self) -> float:
        """Share of the line's parts that the set cuts; 1 for all of them."""
        return share_cut(self.plan, self.number, int(self.plan.mounts.types[self.mount]))

    @cached_property
    def minutes_per_part(self) -> float:
        """Mean cutting minutes of a part that the set cuts; those of an operation that is given by its minutes."""
        operations, share = self.plan.operations, self.share_of_parts
        if share == 0.0:
            return 0.0
        if operations.first_stroke[self.number] == operations.end_stroke[self.number]:
            return self._of_mix(cutting_minutes(self.plan, self.number)) / share
        shares = [share_cut(self.plan, self.number, int(self.plan.cuts.types[cut])) for cut in self.cuts]
        return float((self.plan.cuts.cut_min[self.cuts] * np.array(shares)).sum()) / share

    @property
    def cycle_min(self) -> float:
        """Mean minutes of the operation from one part that the set cuts to the next, if it works all the time.

        Handling, cutting and gauging, masterings with it; of all parts that come there.
        """
        operations, share = self.plan.operations, self.share_of_parts
        rows = (operations.load_time, operations.unload_time, operations.chip_clean_time)
        handling = sum(row_minutes(self.plan.times, int(column[self.number])) for column in rows)
        read = range(operations.first_gauge[self.number], operations.end_gauge[self.number])
        gauging = gauges_of(self.plan, self.number, np.array([self._gauging_min(gauge) for gauge in read]))
        cutting = self._of_mix(cutting_minutes(self.plan, self.number))
        total = handling * visits(self.plan, self.number) + cutting + self._of_mix(gauging)
        return total / share if share > 0.0 else 0.0

    def _of_mix(self, minutes: Floats) -> float:
        """Mean over the line's castings of a figure by part type."""
        return float(casting_shares(self.plan, int(self.plan.operations.line[self.number])) @ minutes)

    def _gauging_min(self, gauge: int) -> float:
        """Mean minutes of a gauge for each part, whether it reads it or not; none of one in the measuring room."""
        gauges, times = self.plan.gauges, self.plan.times
        if gauges.in_room[gauge]:
            return 0.0
        minutes = row_minutes(times, int(gauges.time[gauge]))
        if gauges.master_every[gauge]:
            minutes += row_minutes(times, int(gauges.master_time[gauge])) / float(gauges.master_every[gauge])
        return minutes / float(gauges.every[gauge])

    @property
    def shift_min(self) -> float:
        """Length of a shift."""
        return self.plan.shift_min

    @property
    def life_min(self) -> float:
        """Cutting minutes that an average edge lasts."""
        return float(self.plan.mounts.expected_life_min[self.mount])

    @property
    def parts_per_edge(self) -> float:
        """Parts that an average edge lasts; infinite if it never dulls or cuts nothing."""
        minutes = self.minutes_per_part
        return self.life_min / minutes if minutes > 0.0 else math.inf

    @property
    def full_life(self) -> Interval:
        """Change at the full life."""
        return Interval(whole_parts(self.parts_per_edge), _FULL_LIFE)

    @property
    def look_min(self) -> float:
        """Mean minutes of one look at the edge."""
        return row_minutes(self.plan.times, int(self.plan.rules.look_time[self._rule]))

    @property
    def interval(self) -> Interval:
        """Parts from change to change as its rule has it, with an average edge."""
        rules, row = self.plan.rules, self._rule
        figures = Figures(int(rules.way[row]), *(float(getattr(rules, name)[row]) for name in Figures._fields[1:]))
        return kind_of(figures.way).between(figures, self)

    @property
    def _rule(self) -> int:
        return int(self.plan.mounts.rule[self.mount])

    def parts_to_wear(self, limit_mm: float) -> float:
        """Parts until the wear land of an average edge stands at a figure, mm."""
        kinds, kind = self.plan.kinds, int(self.plan.mounts.kind[self.mount])
        curve = (float(column[kind]) for column in (kinds.wear_b, kinds.wear_tau, kinds.wear_gamma))
        share = share_of_growth(limit_mm / float(kinds.wear_limit_mm[kind]), *curve)
        return share * self.parts_per_edge if share < MOST_LIVES else math.inf
