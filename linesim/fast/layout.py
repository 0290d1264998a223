"""From a plan to the records of a run: tables copied row by row, pools numbered as the floor numbers them.

What a policy says of its sets is put in afterwards, see `linesim.fast.layout_policy`.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from linesim.chance import Distribution
from linesim.cutting.life import break_in_share
from linesim.fast.arrays import AnyArray, Arrays, rows_of
from linesim.fast.layout_beginning import lay_beginning
from linesim.fast.layout_benches import lay_benches, lay_first_benches
from linesim.fast.layout_gauges import lay_gauges
from linesim.fast.layout_joins import meet_lines
from linesim.fast.layout_magazines import lay_sisters
from linesim.fast.layout_mixes import mix_lines, mix_machines
from linesim.fast.layout_policy import without_policy
from linesim.fast.layout_pools import lay_lists, lay_pools
from linesim.fast.layout_rooms import lay_probes, lay_rooms
from linesim.fast.layout_shape import lay_batches, lay_clocks, lay_unlike, lay_ways
from linesim.fast.memory import records
from linesim.fast.shortcuts import keeps_visits, plain_operations, torn_at_most_um
from linesim.fast.state import (
    CutterSet,
    Line,
    Machine,
    Mount,
    Part,
    Place,
    Shape,
    TimeRow,
    TraceRow,
    Visit,
)
from linesim.plan import place_tables, room_tables, shape_tables, staffing, tables, type_tables, unlike
from linesim.plan.magazine_tables import Magazines
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause, State, empty_tally

__all__ = ["FIXED", "Layout"]

_RANKS = 2**20
FARTHEST_NORMAL = 9.0
"""Beyond what any uniform number of 53 bits gives as a normal one."""

_TABLES = {
    "operations": tables.Operations,
    "strokes": tables.Strokes,
    "cuts": tables.Cuts,
    "kinds": tables.Kinds,
    "features": tables.Features,
    "disturbances": tables.Disturbances,
    "gauges": tables.Gauges,
    "first_pieces": tables.FirstPieces,
    "shapes": place_tables.Shapes,
    "tests": tables.Tests,
    "test_terms": tables.TestTerms,
    "placings": place_tables.Placings,
    "holdings": place_tables.Holdings,
    "fixtures": place_tables.Fixtures,
    "batches": shape_tables.Batches,
    "moves": shape_tables.Moves,
    "part_types": type_tables.PartTypes,
    "mixes": type_tables.Mixes,
    "changeover_times": type_tables.Changeovers,
    "type_times": type_tables.TypeTimes,
    "joins": type_tables.Joins,
    "rooms": room_tables.Rooms,
    "attending": staffing.Attending,
    "staffing": staffing.Staffing,
    "upkeeps": unlike.Upkeeps,
    "magazines": Magazines,
}
_WORKED_OUT = ("mount_plans", "break_ins", "rough_reaches", "torn_um", "times", "listed", "set_up_order")
FIXED = frozenset((*_TABLES, *_WORKED_OUT, "rules", "waiting", "corrected"))
"""Arrays that a run reads and never writes."""


class Layout(Arrays):
    """All arrays of a run as it begins but for what a policy says, and the world record that ties them together.

    Parameters
    ----------
    plan : Plan
        What is run; what `without_policy` takes out of it is not known here.
    parts : int
        Parts for which there is room at first.
    trace_rows : int
        Rows of the trace that are kept before they must be fetched; 0 for no trace.
    """

    def __init__(self, plan: Plan, parts: int, trace_rows: int) -> None:
        super().__init__(without_policy(plan))
        w = self.world
        w.shift_min = plan.shift_min
        w.instant = -1.0
        w.n_causes, w.n_states = len(Cause), len(State)
        self._lay_tables()
        self._lay_lines()
        self._lay_machines(trace_rows)
        self._lay_mounts()
        self._lay_sets()
        lay_benches(self)
        lay_first_benches(self)
        lay_rooms(self)
        lay_clocks(self)
        lay_ways(self)
        lay_pools(self)
        lay_lists(self)
        self._lay_parts(max(parts, 2 * int(w.n_needed)))
        self._lay_trace(trace_rows)
        self._lay_tally()
        lay_beginning(self)

    # --- tables ----------------------------------------------------------------------------------------------------

    def _lay_tables(self) -> None:
        plan = self.plan
        for name, kind in _TABLES.items():
            self.keep(name, rows_of(getattr(plan, name), kind))
        self.keep("mount_plans", rows_of(plan.mounts, tables.Mounts))
        self.keep("break_ins", np.zeros(len(plan.cuts.slot) + 1))
        for cut, (wear_b, wear_tau) in enumerate(zip(plan.cuts.wear_b, plan.cuts.wear_tau, strict=True)):
            self.arrays["break_ins"][cut] = break_in_share(1.0, wear_b, wear_tau)
        self.keep("rough_reaches", np.exp(FARTHEST_NORMAL * np.append(plan.cuts.roughness_sigma, 0.0)))
        self.keep("torn_um", torn_at_most_um(plan.cuts, self.arrays["rough_reaches"]))
        self.world.is_held = int(plan.cuts.is_held.any())
        self.world.n_operations = len(plan.operations.line)
        self.world.n_gauges = len(plan.gauges.feature)
        self.world.n_cuts = len(plan.cuts.feature)
        # A file has not room for so many: see `linesim.works.nodes.MOST_NODES`.
        assert len(plan.cuts.feature) + len(plan.operations.line) < 2**15, "the number of a cut has two bytes"
        times = self.keep("times", records(TimeRow, len(plan.times.distribution)))
        for name in times.dtype.names or ():
            times[name][: len(plan.times.distribution)] = getattr(plan.times, name)
        self.keep("listed", np.append(plan.times.listed, 0.0))

    def _lay_lines(self) -> None:
        plan, table = self.plan, self.plan.lines
        lines = self.keep("lines", records(Line, len(table.castings)))
        for name in ("first_operation", "end_operation", "first_feature", "end_feature", "arrival_time", "pallets"):
            lines[name] = getattr(table, name)
        for name in ("heat_castings", "heat_min", "heat_life_cv", "heat_force_cv"):
            lines[name] = getattr(table, name)
        lines["limit"], lines["turns_away"] = table.castings, table.turn_away
        lines["room"] = plan.operations.buffer[table.first_operation]
        lines["first_failure"], lines["end_failure"] = table.first_failure, table.end_failure
        for line in lines:
            features = slice(line.first_feature, line.end_feature)
            line.n_places = int(plan.features.places[features].sum())
            operations = slice(line.first_operation, line.end_operation)
            line.has_faults = (plan.operations.fault_chance[operations] > 0.0).any()
            line.keeps_visits = keeps_visits(plan, int(line.first_operation), int(line.end_operation))
        mix_lines(plan, lines)
        meet_lines(plan, lines)
        self.world.n_lines, self.world.n_part_types = len(lines), len(plan.part_types.line)
        self.world.most_places = int(lines["n_places"].max())
        self.world.most_shapes = self.world.most_places if plan.features.carries.any() else 0
        lengths = lines["end_operation"] - lines["first_operation"]
        self.world.most_operations = int((lengths * lines["keeps_visits"]).max())

    # --- machines and cutters --------------------------------------------------------------------------------------

    def _lay_machines(self, trace_rows: int) -> None:
        plan, operations = self.plan, self.plan.operations
        of = plan.machines.operation
        machines = self.keep("machines", records(Machine, len(of)))
        machines["index"] = np.arange(len(of))
        machines["operation"], machines["line"] = of, operations.line[of]
        machines["position"] = of - plan.lines.first_operation[operations.line[of]]
        machines["rank"] = operations.rank[of] * _RANKS + plan.machines.number
        machines["part"] = machines["breaking"] = machines["stop_for"] = NONE
        machines["first_mount"], machines["end_mount"] = plan.machines.first_mount, plan.machines.end_mount
        gauges = operations.end_gauge[of] - operations.first_gauge[of]
        machines["first_gauged"] = np.cumsum(gauges) - gauges
        lay_gauges(self, int(gauges.sum()))
        first_cut, end_cut = np.append(plan.strokes.first_cut, 0), np.append(plan.strokes.end_cut, 0)
        last = np.maximum(operations.end_stroke[of] - 1, 0)
        has_cuts = operations.end_stroke[of] > operations.first_stroke[of]
        cuts = np.where(has_cuts, end_cut[last] - first_cut[operations.first_stroke[of]], 0)
        machines["first_offset"] = np.cumsum(cuts) - cuts
        machines["first_cut"] = np.where(has_cuts, first_cut[operations.first_stroke[of]], 0)
        self.keep("offsets", np.zeros(int(cuts.sum()) + 1))
        self.keep("first_marks", np.zeros(int(cuts.sum()) + 1, dtype=np.int64))
        self.keep("first_offs", np.zeros(int(cuts.sum()) + 1))
        lay_batches(plan, machines)
        machines["runs_on"] = plan.first_pieces.runs_on[of]
        machines["has_firsts"] = (
            (plan.first_pieces.tries[of] > 0) & (machines["runs_on"] == 0) & (machines["batch"] == 0)
        )
        # What a gauge corrects, or the line loses as scrap, must happen in the order of time.
        corrected = np.isin(of, plan.gauges.corrects_operation[plan.gauges.corrects_cut != NONE])
        machines["goes_ahead"] = ~corrected & (operations.scrap_chance[of] <= 0.0) & (trace_rows == 0)
        machines["goes_ahead"] &= (operations.fault_chance[of] <= 0.0) & (machines["runs_on"] == 0)
        machines["goes_ahead"] &= plan.rooms.benches[of] == 0
        machines["attends"] = plan.attending.jobs[of]
        machines["goes_ahead"] &= machines["attends"] == 0
        lay_probes(plan, machines)
        lay_unlike(plan, machines)
        is_like = machines["goes_ahead"] * (machines["pace"] == 1.0)
        machines["is_plain"] = is_like * plain_operations(plan, self.arrays["lines"])[of]
        time, first = operations.cycle_time[of], np.append(plan.times.p1, 0.0)
        distribution = np.append(plan.times.distribution, NONE)
        machines["fixed_min"] = np.where(distribution[time] == Distribution.FIXED, first[time], -1.0)
        machines["test"] = operations.test[of]
        mix_machines(plan, machines)
        self.world.n_machines = len(of)
        self.world.n_needed = len(of) + 1

    def _lay_mounts(self) -> None:
        plan = self.plan
        mounts = self.keep("mounts", records(Mount, len(plan.mounts.machine)))
        count = len(plan.mounts.machine)
        for name in ("machine", "kind", "expected_life_min"):
            mounts[name][:count] = getattr(plan.mounts, name)
        mounts["ordinal"] = -1
        self.world.n_mounts = count

    def _lay_sets(self) -> None:
        """Sets in the order of the floor: mounted ones line by line from the last operation on, then the shelved."""
        plan = self.plan
        order = self.keep("set_up_order", self._order_of_machines())
        firsts, ends = plan.machines.first_mount.tolist(), plan.machines.end_mount.tolist()
        at_work = [mount for machine in order.tolist() for mount in range(firsts[machine], ends[machine])]
        mounted = lay_sisters(self, np.array(at_work, dtype=np.int64))
        self.n_mounted = len(mounted)
        kind_of = plan.mounts.kind[mounted]
        spare = np.maximum(plan.kinds.sets - np.bincount(kind_of, minlength=len(plan.kinds.sets)), 0)
        kinds = np.concatenate((kind_of, np.repeat(np.arange(len(spare)), spare)))
        sets = self.keep("sets", records(CutterSet, len(kinds)))
        bought = self.keep("bought_so_far", np.zeros(len(plan.kinds.sets) + 1, dtype=np.int64))
        self.keep("regrinds_begun", np.zeros(len(plan.kinds.sets) + 1, dtype=np.int64))
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

    # --- parts, trace and tally ------------------------------------------------------------------------------------

    def _lay_parts(self, parts: int) -> None:
        w = self.world
        links = self.keep("parts", records(Part, parts))["next"]
        links[:] = np.arange(1, parts + 1)
        links[parts - 1] = NONE
        self.keep("part_places", records(Place, parts * int(w.most_places)))
        self.keep("part_shapes", records(Shape, parts * int(w.most_shapes)))
        self.keep("led_um", np.zeros(int(w.most_places) + 1))
        self.keep("led_pushed_um", np.zeros(int(w.most_places) + 1))
        self.keep("honing_min", np.zeros(len(self.plan.cuts.slot) + 1))
        self.keep("visits", records(Visit, parts * int(w.most_operations)))
        w.first_free, w.n_free, w.n_parts = 0, parts, parts

    def _lay_trace(self, rows: int) -> None:
        w = self.world
        # No turn of the kernel tells more than each machine and each set can in one go.
        in_one_turn = 16 * int(w.n_machines) + 2 * int(w.n_mounts) + 4 * int(w.n_sets)
        w.is_traced, w.n_trace_most = int(rows > 0), rows
        size = rows + in_one_turn if rows else 1
        self.keep("trace_rows", records(TraceRow, size))
        self.keep("trace_places", records(Place, size * int(w.most_places)))
        self.keep("trace_shapes", records(Shape, size * int(w.most_shapes)))

    def _lay_tally(self) -> None:
        tally = empty_tally(self.plan)
        tally.stuck_from_min[:], tally.stuck_state[:], tally.stuck_for[:] = np.inf, NONE, NONE
        for field in fields(tally):
            value = getattr(tally, field.name)
            if isinstance(value, np.ndarray):
                self.keep(field.name, value)
