"""One shift of the floor, minute by minute: states, stock, edges as they dull, parts as they pass, costly moments."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

import pandas as pd

from linesim.desk import desk_figures
from linesim.errors import StudyError
from linesim.floor.part import Part
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.plan.type_means import has_types, is_last_for, type_name
from linesim.study.interim import Interim, last_of
from linesim.study.one.moments import costly_moments, minute_price
from linesim.study.one.runs import check_key
from linesim.study.one.tracing import place_of, places_of, true_values
from linesim.study.one.watching_floor import SeenFloor, seen_floor
from linesim.works import Works

__all__ = ["MOST_SHIFTS", "ShiftRecord", "record_shift", "shift_steps"]

MOST_SHIFTS = 60
"""Shifts after the warm-up of which one may be recorded."""

_STATES = ["line", "operation", "machine", "state", "start_min", "end_min"]
_STOCK = ["line", "operation", "minute", "parts"]
_EDGES = ["line", "operation", "machine", "cutter", "minute", "life_share", "parts"]
_MINUTE, _SHARE = _EDGES.index("minute"), _EDGES.index("life_share")
_CHANGES = ["line", "operation", "machine", "cutter", "minute", "why", "life_share", "parts"]
_PARTS = ["line", "serial", "operation", "machine", "minute", "outcome"]


@dataclass(frozen=True, eq=False)
class ShiftRecord:
    """What happened in one shift; minutes count from its start.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which cutters were changed.
    shift, seed, replication : int
        Which shift after the warm-up (the first is 1) of which run.
    length_min : float
        Length of the shift.
    states : DataFrame
        line, operation, machine, state, start_min, end_min.
    stock : DataFrame
        line, operation, minute, parts: standing before the operation, looked at every minute and written down where
        it had changed.
    edges : DataFrame
        line, operation, machine, cutter, minute, life_share, parts: each edge at the start, when a part is done, when
        it is changed (before and after) and at the end. The life share is the true one, which nobody on the floor sees.
    changes : DataFrame
        line, operation, machine, cutter, minute, why (with "by a sister" where one took over), life_share, parts.
    parts : DataFrame
        line, serial, operation, machine, minute, outcome (done, shipped or scrapped), part_type where a line makes
        several, and the true values of every place as in a run's trace.
    moments : DataFrame
        What cost most; see `linesim.study.one.moments.costly_moments`.
    price_per_minute : dict
        By line: what a lost minute of its constraint is reckoned to cost.
    """

    works: Works
    policy: str
    shift: int
    seed: int
    replication: int
    length_min: float
    states: pd.DataFrame
    stock: pd.DataFrame
    edges: pd.DataFrame
    changes: pd.DataFrame
    parts: pd.DataFrame
    moments: pd.DataFrame
    price_per_minute: dict[str, float]


def record_shift(
    works: Works, policy: str | None = None, shift: int = 1, seed: int | None = None, replication: int = 0,
    engine: str = "fast",
) -> ShiftRecord:  # fmt: skip
    """Record one shift; see `shift_steps`."""
    return last_of(shift_steps(works, policy, shift, seed, replication, engine))


def shift_steps(
    works: Works, policy: str | None = None, shift: int = 1, seed: int | None = None, replication: int = 0,
    engine: str = "fast",
) -> Iterator[Interim[ShiftRecord]]:  # fmt: skip
    """Run a works up to a shift, record that shift, and tell after each shift on the way.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    shift : int
        Which shift after the warm-up, 1 to `MOST_SHIFTS`.
    seed, replication : int
        Key of all chance; the scenario's seed unless given. The run is the same as any other with this key.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same record.

    Yields
    ------
    Interim of ShiftRecord

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    StudyError
        There is no such shift, or no such engine.
    """
    if not 1 <= shift <= MOST_SHIFTS:
        raise StudyError(f"shift {shift} cannot be shown; a whole number from 1 to {MOST_SHIFTS} was expected")
    name = works.chosen_policy(policy)
    key = works.run.seed if seed is None else seed
    check_key(key, replication)
    began_s, length = time.monotonic(), works.calendar.shift
    plan = make_plan(works, name)
    listener = _Listener(plan)
    floor = seen_floor(plan, key, replication, [listener], engine)
    listener.floor = floor
    starts = _starts(works.run.warm_up, length, shift)
    for done, minute in enumerate(starts):
        floor.run_until(minute)
        yield Interim(done, len(starts) + 1, time.monotonic() - began_s, None, "running up to the shift")
    listener.begin(starts[-1])
    for minute in range(math.ceil(length)):
        floor.follow_until(starts[-1] + minute)
        listener.see_stock(starts[-1] + minute)
    floor.follow_until(starts[-1] + length)
    listener.see_stock(starts[-1] + length)
    tables = listener.end(length)
    desk = desk_figures(works, name)
    moments, prices = costly_moments(works, desk, tables["states"], tables["parts"]), minute_price(works, desk)
    record = ShiftRecord(works, name, shift, key, replication, length, **tables, moments=moments,
                         price_per_minute=prices)  # fmt: skip
    yield Interim(len(starts) + 1, len(starts) + 1, time.monotonic() - began_s, record, "recorded", is_final=True)


def _starts(warm_up_min: float, length_min: float, shift: int) -> list[float]:
    """Moments at which to tell how far the run is; the last is the start of the shift."""
    start = warm_up_min + (shift - 1) * length_min
    steps = min(200, math.ceil(start / length_min)) or 1
    return [start * step / steps for step in range(1, steps + 1)]


def _in_order(rows: Sequence[Any], columns: list[str], moment: str = "minute") -> pd.DataFrame:
    """A table of what was written down; what came at one instant stands by machine, whichever was told of first."""
    if rows and isinstance(rows[0], dict):
        # A part has further columns, and the first that has them says where they stand.
        rows, columns = sorted(rows, key=itemgetter(moment, "line", "machine")), []
    return pd.DataFrame(rows, columns=columns or None).sort_values([moment, "line", "machine"], kind="stable")


class _Listener:
    """Writes everything down once it is told to begin."""

    def __init__(self, plan: Plan) -> None:
        self.floor: SeenFloor | None = None
        self._plan = plan
        self._machines = [place_of(plan, machine) for machine in range(len(plan.names.machines))]
        self._kinds = [plan.names.kinds[kind] for kind in plan.mounts.kind.tolist()]
        self._places = [list(places_of(plan, line)) for line in range(len(plan.names.lines))]
        self._stock: dict[int, int] = {}
        self._start_min = math.inf
        self._states: list[tuple[Any, ...]] = []
        self._doing: dict[int, tuple[State, float]] = {}
        self._stocks: list[tuple[int, float, int]] = []
        self._edges: list[tuple[Any, ...]] = []
        """As the table has them, and the mount of each."""
        self._taken_off_min: dict[int, float] = {}
        """Of each mount, when its set was last taken off."""
        self._changes: list[tuple[Any, ...]] = []
        self._parts: list[dict[str, Any]] = []

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Close what the machine did before."""
        if now_min >= self._start_min:
            self._close(machine, now_min)
            self._doing[machine] = (state, now_min)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Write down parts that are done, shipped or scrapped, and the edges that did them."""
        if now_min >= self._start_min and what in ("complete", "scrapped", "turned down"):
            done = "shipped" if is_last_for(self._plan, operation, part.type) else "done"
            outcome = {"scrapped": "scrapped", "turned down": "to repair"}.get(what, done)
            head = (self._plan.names.lines[part.line], part.serial, *self._machines[machine][1:], now_min, outcome)
            kind = {"part_type": type_name(self._plan, part.line, part.type)} if has_types(self._plan) else {}
            self._parts.append(dict(zip(_PARTS, head, strict=True)) | kind | true_values(part, self._places[part.line]))
            self._see_edges(now_min, machine)

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Write down the change, and the edge before and after it."""
        self._taken_off_min[mount] = now_min
        if now_min >= self._start_min:
            place = (*self._machines[machine], self._kinds[mount], now_min)
            self._changes.append((*place, why, life_share, parts))
            self._see_edge_before(mount, now_min, life_share, parts)
            self._edges += [(*place, life_share, parts, mount), (*place, 0.0, 0, mount)]

    # told by the study

    def begin(self, start_min: float) -> None:
        """From now on everything is written down."""
        assert self.floor is not None
        self._start_min = start_min
        for number, state in self.floor.states():
            self._doing[number] = (state, start_min)
            self._see_edges(start_min, number)

    def end(self, length_min: float) -> dict[str, pd.DataFrame]:
        """What was written down, with minutes from the start of the shift."""
        assert self.floor is not None
        end_min = self._start_min + length_min
        for number in range(len(self._machines)):
            self._close(number, end_min)
            self._see_edges(end_min, number)
        names = self._plan.names
        lines = self._plan.operations.line.tolist()
        stock = [(names.lines[lines[at]], names.operations[at], minute, parts) for at, minute, parts in self._stocks]
        tables = {
            "states": _in_order(self._states, _STATES, "end_min"),
            "stock": pd.DataFrame(stock, columns=_STOCK),
            "edges": _in_order([row[:-1] for row in self._edges], _EDGES),
            "changes": _in_order(self._changes, _CHANGES),
            "parts": _in_order(self._parts, _PARTS),
        }
        for table in tables.values():
            for column in table.columns.intersection(["minute", "start_min", "end_min"]):
                table[column] -= self._start_min
        return {name: table.reset_index(drop=True) for name, table in tables.items()}

    # within

    def see_stock(self, now_min: float) -> None:
        """Write down the stock where it is another than before."""
        assert self.floor is not None
        for operation, parts in self.floor.stock():
            if self._stock.get(operation) != parts:
                self._stock[operation] = parts
                self._stocks.append((operation, now_min, parts))

    def _see_edges(self, now_min: float, machine: int) -> None:
        assert self.floor is not None
        for edge in self.floor.edges(machine):
            # While a set is being changed, the old edge is still the last that was mounted.
            taken_off_min = self._taken_off_min.get(edge.mount, -math.inf) + self._plan.calendar_min
            life_share, parts = (0.0, 0) if taken_off_min > edge.mounted_min else (edge.life_share, edge.parts)
            self._edges.append(
                (*self._machines[machine], self._kinds[edge.mount], now_min, life_share, parts, edge.mount)
            )

    def _see_edge_before(self, mount: int, now_min: float, life_share: float, parts: int) -> None:
        """What was written down at this instant is of the edge that went, also where the new one was seen already."""
        for at in range(len(self._edges) - 1, -1, -1):
            if self._edges[at][_MINUTE] != now_min:
                break
            if self._edges[at][-1] == mount:
                self._edges[at] = (*self._edges[at][:_SHARE], life_share, parts, mount)

    def _close(self, machine: int, now_min: float) -> None:
        """Write down what the machine did until now, unless it took no time."""
        state, since_min = self._doing[machine]
        if now_min > since_min:
            self._states.append((*self._machines[machine], state.words, since_min, now_min))
