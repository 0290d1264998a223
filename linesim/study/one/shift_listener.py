"""What is written down of a shift as it is run: states, stock, edges, changes, parts, the crib and unseen breaks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import itemgetter
from typing import Any

import pandas as pd

from linesim.floor.part import Part
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.plan.type_means import has_types, is_last_for, type_name
from linesim.plan.whereabouts import Whereabouts
from linesim.study.one.break_trail import BreakTrail
from linesim.study.one.crib_trail import CribTrail
from linesim.study.one.tracing import place_of, places_of, true_values
from linesim.study.one.watching_floor import SeenEdge, SeenFloor

__all__ = ["ShiftListener"]

_STATES = ["line", "operation", "machine", "state", "start_min", "end_min"]
_STOCK = ["line", "operation", "minute", "parts"]
_EDGES = ["line", "operation", "machine", "cutter", "minute", "life_share", "parts"]
_CHANGES = ["line", "operation", "machine", "cutter", "minute", "why", "life_share", "parts"]
_MINUTES = ["minute", "start_min", "end_min", "broke_min", "found_min"]
_PARTS = ["line", "serial", "operation", "machine", "minute", "outcome"]


def _in_order(rows: Sequence[Any], columns: list[str], moment: str = "minute") -> pd.DataFrame:
    """A table of what was written down; what came at one instant stands by machine, whichever was told of first."""
    if rows and isinstance(rows[0], dict):
        # A part has further columns, and the first that has them says where they stand.
        rows, columns = sorted(rows, key=itemgetter(moment, "line", "machine")), []
    return pd.DataFrame(rows, columns=columns or None).sort_values([moment, "line", "machine"], kind="stable")


class ShiftListener:
    """Writes everything down once it is told to begin.

    Parameters
    ----------
    plan : Plan
        What is run.

    Attributes
    ----------
    floor : SeenFloor
        The floor to which it listens; set before anything is run.
    hears_from_min : float, min
        When it was told to begin; what machines and parts did before is not written down.
    """

    def __init__(self, plan: Plan) -> None:
        self.floor: SeenFloor
        self._plan = plan
        self._machines = [place_of(plan, machine) for machine in range(len(plan.names.machines))]
        self._kinds = [plan.names.kinds[kind] for kind in plan.mounts.kind.tolist()]
        self._places = [list(places_of(plan, line)) for line in range(len(plan.names.lines))]
        self._stock: dict[int, int] = {}
        self.hears_from_min = math.inf
        self._states: list[tuple[Any, ...]] = []
        self._doing: dict[int, tuple[State, float]] = {}
        self._stocks: list[tuple[int, float, int]] = []
        self._edges: list[tuple[Any, ...]] = []
        self._cut: set[int] = set()
        """Machines at which a part was done at this instant."""
        self._taken_off_min: dict[int, float] = {}
        """Of each mount, when its set was last taken off."""
        self._changes: list[tuple[Any, ...]] = []
        self._parts: list[dict[str, Any]] = []
        self._crib, self._breaks = CribTrail(plan), BreakTrail(plan)

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Close what the machine did before."""
        if now_min >= self.hears_from_min:
            self._close(machine, now_min)
            self._doing[machine] = (state, now_min)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Write down parts that are done, shipped or scrapped, and the edges that did them."""
        if now_min >= self.hears_from_min and what in ("complete", "scrapped", "turned down"):
            done = "shipped" if is_last_for(self._plan, operation, part.type) else "done"
            outcome = {"scrapped": "scrapped", "turned down": "to repair"}.get(what, done)
            head = (self._plan.names.lines[part.line], part.serial, *self._machines[machine][1:], now_min, outcome)
            kind = {"part_type": type_name(self._plan, part.line, part.type)} if has_types(self._plan) else {}
            self._parts.append(dict(zip(_PARTS, head, strict=True)) | kind | true_values(part, self._places[part.line]))
            self._cut.add(machine)
            self._breaks.part_done(now_min, machine)

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Write down the change, and the edge before and after it."""
        self._taken_off_min[mount] = now_min
        if now_min >= self.hears_from_min:
            self._breaks.changed(now_min, mount)
            place = (*self._machines[machine], self._kinds[mount], now_min)
            self._changes.append((*place, why, life_share, parts))
            self._edges += [(*place, life_share, parts), (*place, 0.0, 0)]

    def set_moves(self, now_min: float, kind: int, number: int, where: Whereabouts, machine: int) -> None:
        """Hand it on to the crib, with since when machines wait for sharp sets."""
        waits = {at: since for at, (state, since) in self._doing.items() if state is State.WAITING_FOR_SET}
        self._crib.set_moves(now_min, kind, number, where, machine, waits)

    # told by the study

    def begin(self, start_min: float) -> None:
        """From now on everything is written down."""
        self.hears_from_min = start_min
        for number, state in self.floor.states():
            self._doing[number] = (state, start_min)
            self._see_edges(start_min, number)
        self._see_breaks(start_min)
        self._crib.begin(start_min)
        self._breaks.begin()

    def end(self, length_min: float) -> dict[str, pd.DataFrame]:
        """What was written down, with minutes from the start of the shift."""
        end_min = self.hears_from_min + length_min
        for number in range(len(self._machines)):
            self._close(number, end_min)
            self._see_edges(end_min, number)
        names = self._plan.names
        lines = self._plan.operations.line.tolist()
        stock = [(names.lines[lines[at]], names.operations[at], minute, parts) for at, minute, parts in self._stocks]
        tables = {
            "states": _in_order(self._states, _STATES, "end_min"),
            "stock": pd.DataFrame(stock, columns=_STOCK),
            "edges": _in_order(self._edges, _EDGES),
            "changes": _in_order(self._changes, _CHANGES),
            "parts": _in_order(self._parts, _PARTS),
            "breaks": self._breaks.table(),
        } | self._crib.tables()
        for table in tables.values():
            for column in table.columns.intersection(_MINUTES):
                table[column] -= self.hears_from_min
        return {name: table.reset_index(drop=True) for name, table in tables.items()}

    def instant_over(self, now_min: float) -> None:
        """Look at the edges that have just cut, and for edges that have broken, now that the instant is over."""
        for machine in sorted(self._cut):
            self._see_edges(now_min, machine)
        self._cut.clear()
        self._see_breaks(now_min)

    def see_stock(self, now_min: float) -> None:
        """Write down the stock where it is another than before."""
        for operation, parts in self.floor.stock():
            if self._stock.get(operation) != parts:
                self._stock[operation] = parts
                self._stocks.append((operation, now_min, parts))

    # within

    def _see_edges(self, now_min: float, machine: int) -> None:
        for edge in self.floor.edges(machine):
            life_share, parts = (0.0, 0) if self._is_coming_off(edge) else (edge.life_share, edge.parts)
            self._edges.append((*self._machines[machine], self._kinds[edge.mount], now_min, life_share, parts))

    def _see_breaks(self, now_min: float) -> None:
        for machine in self._breaks.machines:
            for edge in self.floor.edges(machine):
                if not self._is_coming_off(edge):
                    self._breaks.see(now_min, edge)

    def _is_coming_off(self, edge: SeenEdge) -> bool:
        """While a set is being changed, the old edge is still the last that was mounted."""
        return self._taken_off_min.get(edge.mount, -math.inf) + self._plan.calendar_min > edge.mounted_min

    def _close(self, machine: int, now_min: float) -> None:
        """Write down what the machine did until now, unless it took no time."""
        state, since_min = self._doing[machine]
        if now_min > since_min:
            self._states.append((*self._machines[machine], state.words, since_min, now_min))
