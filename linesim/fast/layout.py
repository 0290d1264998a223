"""From a plan to the records of a run: tables copied row by row, pools numbered as the floor numbers them."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.chance import Distribution
from linesim.cutting.life import break_in_share
from linesim.fast import steps
from linesim.fast.memory import address_of, records, table_dtype
from linesim.fast.route import TURNS, route_of
from linesim.fast.rules import refuse_uncompiled
from linesim.fast.shortcuts import direct_pools, keeps_visits, plain_operations, sums_of_runs
from linesim.fast.state import (
    Claim,
    CutterSet,
    Due,
    Line,
    Machine,
    Mount,
    Note,
    Part,
    Place,
    Pool,
    TimeRow,
    TraceRow,
    Visit,
    World,
)
from linesim.plan import tables
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause, State, empty_tally
from linesim.rules import kind_of

__all__ = ["FIXED", "Layout"]

AnyArray = npt.NDArray[Any]

_RANKS = 2**20
_MOST = 2**31 - 1
"""More parts than will ever stand in a buffer."""
_TABLES = {
    "operations": tables.Operations,
    "strokes": tables.Strokes,
    "cuts": tables.Cuts,
    "kinds": tables.Kinds,
    "features": tables.Features,
    "disturbances": tables.Disturbances,
    "gauges": tables.Gauges,
    "rules": tables.Rules,
}
FIXED = frozenset((*_TABLES, "break_ins", "times", "listed", "set_up_order"))
"""Arrays that a run reads and never writes."""


def _rows(table: Any, kind: type) -> AnyArray:
    """A table of the plan, row by row."""
    rows = np.zeros(max(len(table[0]), 1), dtype=table_dtype(kind))
    for name, column in zip(table._fields, table, strict=True):
        rows[name][: len(column)] = column
    return rows


class Layout:
    """All arrays of a run as it begins, and the world record that ties them together.

    Parameters
    ----------
    plan : Plan
        What is run.
    parts : int
        Parts for which there is room at first.
    trace_rows : int
        Rows of the trace that are kept before they must be fetched; 0 for no trace.
    """

    def __init__(self, plan: Plan, parts: int, trace_rows: int) -> None:
        refuse_uncompiled(plan)
        self.plan = plan
        self.arrays: dict[str, AnyArray] = {}
        self.worlds = records(World, 1)
        self.world = self.worlds[0]
        w = self.world
        w.shift_min, w.group_past = plan.shift_min, plan.group_past
        w.instant = -1.0
        w.n_causes, w.n_states = len(Cause), len(State)
        self._lay_tables()
        self._lay_lines()
        self._lay_machines(trace_rows)
        self._lay_mounts()
        self._lay_sets()
        self._lay_pools()
        self._lay_lists()
        self._lay_parts(max(parts, 2 * int(w.n_needed)))
        self._lay_trace(trace_rows)
        self._lay_tally()

    def _keep(self, name: str, array: AnyArray) -> AnyArray:
        """Keep an array and note its address in the world."""
        self.arrays[name] = array
        setattr(self.world, name, address_of(array))
        return array

    # --- tables ----------------------------------------------------------------------------------------------------

    def _lay_tables(self) -> None:
        plan = self.plan
        for name, kind in _TABLES.items():
            self._keep(name, _rows(getattr(plan, name), kind))
        self._keep("break_ins", np.zeros(len(plan.cuts.slot) + 1))
        for cut, (wear_b, wear_tau) in enumerate(zip(plan.cuts.wear_b, plan.cuts.wear_tau, strict=True)):
            self.arrays["break_ins"][cut] = break_in_share(1.0, wear_b, wear_tau)
        self.world.n_operations = len(plan.operations.line)
        self.world.n_gauges = len(plan.gauges.feature)
        times = self._keep("times", records(TimeRow, len(plan.times.distribution)))
        for name in times.dtype.names or ():
            times[name][: len(plan.times.distribution)] = getattr(plan.times, name)
        self._keep("listed", np.append(plan.times.listed, 0.0))

    def _lay_lines(self) -> None:
        plan, table = self.plan, self.plan.lines
        lines = self._keep("lines", records(Line, len(table.castings)))
        for name in ("first_operation", "end_operation", "first_feature", "end_feature", "arrival_time", "pallets"):
            lines[name] = getattr(table, name)
        lines["limit"], lines["turns_away"] = table.castings, table.turn_away
        lines["room"] = plan.operations.buffer[table.first_operation]
        for line in lines:
            features = slice(line.first_feature, line.end_feature)
            line.n_places = int(plan.features.places[features].sum())
            line.keeps_visits = keeps_visits(plan, int(line.first_operation), int(line.end_operation))
        self.world.n_lines = len(lines)
        self.world.most_places = int(lines["n_places"].max())
        lengths = lines["end_operation"] - lines["first_operation"]
        self.world.most_operations = int((lengths * lines["keeps_visits"]).max())

    # --- machines and cutters --------------------------------------------------------------------------------------

    def _lay_machines(self, trace_rows: int) -> None:
        plan, operations = self.plan, self.plan.operations
        of = plan.machines.operation
        machines = self._keep("machines", records(Machine, len(of)))
        machines["index"] = np.arange(len(of))
        machines["operation"], machines["line"] = of, operations.line[of]
        machines["position"] = of - plan.lines.first_operation[operations.line[of]]
        machines["rank"] = operations.rank[of] * _RANKS + plan.machines.number
        machines["part"] = machines["breaking"] = machines["stop_for"] = NONE
        machines["first_mount"], machines["end_mount"] = plan.machines.first_mount, plan.machines.end_mount
        gauges = operations.end_gauge[of] - operations.first_gauge[of]
        machines["first_gauged"] = np.cumsum(gauges) - gauges
        self._keep("gauged", np.zeros(int(gauges.sum()) + 1, dtype=np.int64))
        first_cut, end_cut = np.append(plan.strokes.first_cut, 0), np.append(plan.strokes.end_cut, 0)
        last = np.maximum(operations.end_stroke[of] - 1, 0)
        has_cuts = operations.end_stroke[of] > operations.first_stroke[of]
        cuts = np.where(has_cuts, end_cut[last] - first_cut[operations.first_stroke[of]], 0)
        machines["first_offset"] = np.cumsum(cuts) - cuts
        machines["first_cut"] = np.where(has_cuts, first_cut[operations.first_stroke[of]], 0)
        self._keep("offsets", np.zeros(int(cuts.sum()) + 1))
        # What a gauge corrects, or the line loses as scrap, must happen in the order of time.
        corrected = np.isin(of, plan.gauges.corrects_operation[plan.gauges.corrects_cut != NONE])
        machines["goes_ahead"] = ~corrected & (operations.scrap_chance[of] <= 0.0) & (trace_rows == 0)
        machines["is_plain"] = machines["goes_ahead"] * plain_operations(plan, self.arrays["lines"])[of]
        time, first = operations.cycle_time[of], np.append(plan.times.p1, 0.0)
        distribution = np.append(plan.times.distribution, NONE)
        machines["fixed_min"] = np.where(distribution[time] == Distribution.FIXED, first[time], -1.0)
        looks = np.array([kind_of(way).looks for way in plan.rules.way], dtype=bool)[plan.mounts.rule]
        machines["has_looks"] = sums_of_runs(looks, plan.machines.first_mount, plan.machines.end_mount) > 0
        self.world.n_machines = len(of)
        self.world.n_needed = len(of) + 1

    def _lay_mounts(self) -> None:
        plan = self.plan
        mounts = self._keep("mounts", records(Mount, len(plan.mounts.machine)))
        count = len(plan.mounts.machine)
        for name in ("machine", "kind", "rule", "expected_life_min"):
            mounts[name][:count] = getattr(plan.mounts, name)
        mounts["ordinal"] = -1
        self.world.n_mounts = count

    def _lay_sets(self) -> None:
        """Sets in the order of the floor: mounted ones line by line from the last operation on, then the shelved."""
        plan = self.plan
        order = self._keep("set_up_order", self._order_of_machines())
        firsts, ends = plan.machines.first_mount.tolist(), plan.machines.end_mount.tolist()
        mounted = [mount for machine in order.tolist() for mount in range(firsts[machine], ends[machine])]
        self.n_mounted = len(mounted)
        self.arrays["mounts"]["cutter_set"][mounted] = np.arange(len(mounted))
        kind_of = plan.mounts.kind[mounted]
        spare = np.maximum(plan.kinds.sets - np.bincount(kind_of, minlength=len(plan.kinds.sets)), 0)
        kinds = np.concatenate((kind_of, np.repeat(np.arange(len(spare)), spare)))
        sets = self._keep("sets", records(CutterSet, len(kinds)))
        bought = self._keep("bought_so_far", np.zeros(len(plan.kinds.sets) + 1, dtype=np.int64))
        self._keep("regrinds_begun", np.zeros(len(plan.kinds.sets) + 1, dtype=np.int64))
        laid = sets[: len(kinds)]
        laid["kind"], laid["stock_mm"] = kinds, plan.kinds.stock_mm[kinds]
        laid["uses_left"] = plan.kinds.uses[kinds] - 1
        for kind in range(len(spare)):
            of_kind = kinds == kind
            bought[kind] = of_kind.sum()
            laid["number"][of_kind] = np.arange(bought[kind])
        self.world.n_sets = len(kinds)

    def _order_of_machines(self) -> AnyArray:
        table, operations = self.plan.lines, self.plan.operations
        order: list[int] = []
        for first, end in zip(table.first_operation.tolist(), table.end_operation.tolist(), strict=True):
            for operation in reversed(range(first, end)):
                order += range(int(operations.first_machine[operation]), int(operations.end_machine[operation]))
        return np.array(order, dtype=np.int64)

    # --- pools -----------------------------------------------------------------------------------------------------

    def _lay_pools(self) -> None:
        plan, route = self.plan, route_of(self.plan)
        rows, of_machine = route.rows, plan.machines.operation
        self.arrays["lines"]["yard"] = route.yards
        self.arrays["machines"]["source"] = route.sources[of_machine]
        self.arrays["machines"]["target"] = route.targets[of_machine]
        w = self.world
        w.crib, w.first_shelf = len(rows), len(rows) + 1
        rows.append((steps.CRIB, 0, 0))
        rows += [(steps.SHELF, kind, 0) for kind in range(len(plan.kinds.sets))]
        w.grinders, w.n_people = len(rows), 1 + len(plan.pools.people)
        rows += [(steps.PEOPLE, 0, count) for count in (plan.grinders, *plan.pools.people.tolist())]
        for line, row in enumerate(self.arrays["lines"]):
            row.door = len(rows)
            rows.append((steps.DOOR, line, 0))
        w.n_pools = len(rows)
        pools = self._keep("pools", records(Pool, len(rows)))
        ways, of, capacities = zip(*rows, strict=True)
        for name in ("first_claim", "last_claim", "first_giver", "last_giver", "first", "last"):
            pools[name] = NONE
        pools["way"], pools["of"], pools["capacity"] = ways, of, np.minimum(capacities, _MOST)
        pools["turn"] = [TURNS[way] for way in pools["way"].tolist()]
        pools["is_direct"] = direct_pools(plan, self.arrays["lines"], pools)
        pools["free"] = pools["capacity"] * (pools["way"] == steps.PEOPLE)
        operations = self.arrays["operations"]
        for column in ("setters", "fitters"):
            named = operations[column] != NONE
            operations[column][named] += int(w.grinders) + 1

    def _lay_lists(self) -> None:
        """Lists of fixed length: nobody stands in one of them twice."""
        w, plan = self.world, self.plan
        machines, sets = int(w.n_machines), int(w.n_sets)
        claims = self._keep("claims", records(Claim, machines + int(w.n_mounts) + sets))
        claims["rank"][:machines] = self.arrays["machines"]["rank"]
        claims["rank"][machines : machines + int(w.n_mounts)] = self.arrays["machines"]["rank"][plan.mounts.machine]
        actors = machines + sets + len(self.arrays["lines"])
        self._lay_agenda(actors)
        w.ready_last = actors
        for name, size in (("ready", actors), ("counter", sets)):
            self._keep(name, np.zeros(size + 1, dtype=np.int64))
        self._keep("called", np.zeros(2 * len(self.arrays["pools"]), dtype=np.int64))
        o = plan.operations
        tries = sums_of_runs(plan.gauges.tries + 1, o.first_gauge, o.end_gauge)
        readings = 1 + int((tries * (o.end_machine - o.first_machine)).sum())
        self._keep("notes", records(Note, readings))

    def _lay_agenda(self, actors: int) -> None:
        """A first round with a slot for everybody, of which only the first four lead up to the final as yet."""
        w = self.world
        w.first_slot = w.next_slot = 4 ** max(((actors - 1).bit_length() + 1) // 2, 1)
        w.end_of_slots, w.final = w.first_slot + 4, w.first_slot // 4
        w.vacant = w.wiped_out = NONE
        agenda = self._keep("agenda", records(Due, int(w.first_slot) + actors + 3))
        agenda["minute"], agenda["ticket"] = np.inf, NONE

    # --- parts, trace and tally ------------------------------------------------------------------------------------

    def _lay_parts(self, parts: int) -> None:
        w = self.world
        links = self._keep("parts", records(Part, parts))["next"]
        links[:] = np.arange(1, parts + 1)
        links[parts - 1] = NONE
        self._keep("part_places", records(Place, parts * int(w.most_places)))
        self._keep("visits", records(Visit, parts * int(w.most_operations)))
        w.first_free, w.n_free, w.n_parts = 0, parts, parts

    def _lay_trace(self, rows: int) -> None:
        w = self.world
        # No turn of the kernel tells more than each machine can in one go.
        in_one_turn = 16 * int(w.n_machines) + 2 * int(w.n_mounts)
        w.is_traced, w.n_trace_most = int(rows > 0), rows
        size = rows + in_one_turn if rows else 1
        self._keep("trace_rows", records(TraceRow, size))
        self._keep("trace_places", records(Place, size * int(w.most_places)))

    def _lay_tally(self) -> None:
        tally = empty_tally(self.plan)
        tally.stuck_from_min[:], tally.stuck_state[:], tally.stuck_for[:] = np.inf, NONE, NONE
        for field in fields(tally):
            value = getattr(tally, field.name)
            if isinstance(value, np.ndarray):
                self._keep(field.name, value)
