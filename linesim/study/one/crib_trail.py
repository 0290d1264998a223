"""The crib through a stretch of a run: sharp sets on the shelf, sets that are away, and who had to wait for one."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from typing import Any

import pandas as pd

from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.whereabouts import Whereabouts
from linesim.study.one.tracing import place_of

__all__ = ["CRIB", "DRAWS", "CribTrail"]

CRIB = ["cutter", "minute", "on_shelf", "grinding", "presetting", "on_order"]
DRAWS = ["line", "operation", "machine", "cutter", "minute", "waited_min"]

_COUNTED = (
    (Whereabouts.ON_SHELF,),
    (Whereabouts.BEFORE_GRINDER, Whereabouts.AT_GRINDER),
    (Whereabouts.BEFORE_PRESETTER, Whereabouts.AT_PRESETTER),
    (Whereabouts.ON_ORDER,),
)
"""What the columns of `CRIB` count, from the third on."""


class CribTrail:
    """Hears of every set from the beginning of a run, and writes down from a moment on.

    Parameters
    ----------
    plan : Plan
        What is run; gives the names.
    """

    def __init__(self, plan: Plan) -> None:
        self._kinds = plan.names.kinds
        self._machines = [place_of(plan, machine) for machine in range(len(plan.names.machines))]
        self._where: dict[tuple[int, int], Whereabouts] = {}
        """Of each set that is not on a machine, by its kind and number."""
        self._counts = [Counter[Whereabouts]() for _ in self._kinds]
        self._start_min = math.inf
        self._rows: dict[int, list[tuple[float, list[int]]]] = {}
        self._draws: list[tuple[Any, ...]] = []

    def set_moves(
        self, now_min: float, kind: int, number: int, where: Whereabouts, machine: int, waits: Mapping[int, float]
    ) -> None:
        """A set has come somewhere; ``waits`` says since when each machine has been waiting for sharp sets."""
        before = self._where.pop((kind, number), None)
        if before is not None:
            self._counts[kind][before] -= 1
        if where is not Whereabouts.DRAWN:
            self._where[kind, number] = where
            self._counts[kind][where] += 1
        if now_min < self._start_min:
            return
        self._note(kind, now_min)
        if machine != NONE:
            waited_min = now_min - waits.get(machine, now_min)
            self._draws.append((*self._machines[machine], self._kinds[kind], now_min, waited_min))

    def begin(self, start_min: float) -> None:
        """From now on everything is written down."""
        self._start_min = start_min
        for kind in range(len(self._kinds)):
            self._note(kind, start_min)

    def tables(self) -> dict[str, pd.DataFrame]:
        """``crib`` and ``draws``, minutes of the run; see `linesim.study.one.shift_record.ShiftRecord`."""
        crib = [
            (self._kinds[kind], minute, *counts)
            for kind, rows in sorted(self._rows.items())
            for at, (minute, counts) in enumerate(rows)
            if at == 0 or counts != rows[at - 1][1]
        ]
        # Several drawn at one instant stand by machine and cutter, whichever was told of first.
        draws = sorted(self._draws, key=lambda row: (row[4], *row[:4]))
        return {"crib": pd.DataFrame(crib, columns=CRIB), "draws": pd.DataFrame(draws, columns=DRAWS)}

    def _note(self, kind: int, now_min: float) -> None:
        """Write down where the sets of a kind are; of one instant only what it leaves behind."""
        counts = [sum(self._counts[kind][where] for where in column) for column in _COUNTED]
        rows = self._rows.setdefault(kind, [])
        if rows and rows[-1][0] == now_min:
            rows.pop()
        rows.append((now_min, counts))
