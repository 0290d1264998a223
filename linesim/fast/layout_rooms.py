"""Measuring rooms as they begin: records behind those of all machines and benches."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.memory import records
from linesim.fast.room_side import HAS_ROOM, SWEPT
from linesim.fast.shortcuts import sums_of_runs
from linesim.fast.state import Machine
from linesim.floor.measuring_room import BEHIND
from linesim.plan.plan import Plan
from linesim.plan.room_tables import Meanwhile
from linesim.plan.tables import NONE

__all__ = ["lay_probes", "lay_rooms", "looks_back", "readings_in_rooms", "tell_rooms"]


def looks_back(plan: Plan) -> AnyArray:
    """Operations whose measuring room has parts held, or swept back."""
    meanwhile = plan.rooms.meanwhile
    is_one: AnyArray = (meanwhile == Meanwhile.QUARANTINE) | (meanwhile == Meanwhile.SWEEP_BACK)
    return is_one & (plan.rooms.benches > 0)


def lay_rooms(layout: Arrays) -> None:
    """Put the benches of each room there, and behind them who looks after the parts of each of its machines."""
    plan, w, others = layout.plan, layout.world, layout.arrays["machines"]
    others["keeper"] = others["tray"] = others["held"] = NONE
    rooms, of, looking = plan.rooms, plan.machines.operation, looks_back(plan)
    homes: list[int] = []
    turns: list[int] = []
    is_sorter: list[int] = []
    for operation in np.flatnonzero(rooms.benches > 0).tolist():
        mine, benches = np.flatnonzero(of == operation).tolist(), int(rooms.benches[operation])
        sorters = mine if looking[operation] else []
        others["keeper"][sorters] = len(others) + len(homes) + benches + np.arange(len(sorters))
        homes += [mine[0]] * benches + sorters
        turns += range(benches + len(sorters))
        is_sorter += [0] * benches + [1] * len(sorters)
    if not homes:
        return
    both = records(Machine, len(others) + len(homes))
    both[: len(others)] = others
    added = both[len(others) :]
    added["index"] = np.arange(len(others), len(both))
    for name in ("operation", "line", "position", "first_gauged"):
        added[name] = others[name][homes]
    added["rank"] = plan.operations.rank[of[homes]] * 2**20 + BEHIND + np.array(turns)
    added["home"], added["is_sorter"] = homes, is_sorter
    for name in ("part", "breaking", "stop_for", "test", "bench", "aside", "keeper", "tray", "held", "clock", "starts"):
        added[name] = NONE
    added["step"] = steps.ROOM_TAKE
    layout.keep("machines", both)
    w.n_benches, w.n_machines = int(w.n_benches) + len(homes), len(both)
    w.n_needed = int(w.n_machines) + 1


def lay_probes(plan: Plan, machines: AnyArray) -> None:
    """Machines with a touch probe, or whose edges break unseen: what is told of them happens in the order of time."""
    operations = plan.operations
    of_operation = sums_of_runs(plan.gauges.in_spindle, operations.first_gauge, operations.end_gauge)
    machines["has_probes"] = of_operation[plan.machines.operation] > 0
    unseen = sums_of_runs(
        plan.kinds.seen_after[plan.mounts.kind] > 0, plan.machines.first_mount, plan.machines.end_mount
    )
    machines["has_unseen"] = unseen > 0
    machines["goes_ahead"] &= (machines["has_probes"] == 0) & (machines["has_unseen"] == 0)


def tell_rooms(layout: Arrays, trays: AnyArray, held: AnyArray) -> None:
    """Tell machines and rooms which pools they take parts from, and machines what may come to them."""
    plan, machines = layout.plan, layout.arrays["machines"]
    real, of = len(plan.machines.operation), plan.machines.operation
    machines["tray"][:real], machines["held"][:real] = trays[of], held
    lines = plan.operations.line
    # Of a quarantine, too: what a test has turned down comes back repaired, and may be suspected on its way.
    sweeps = np.unique(lines[looks_back(plan)])
    machines["offered"] = steps.GOT_PART
    machines["room_ways"][:real] = HAS_ROOM * (plan.rooms.benches[of] > 0) + SWEPT * np.isin(lines[of], sweeps)
    machines["offered"][machines["room_ways"] > 0] = steps.ROOM_OFFERED
    added = machines[machines["step"] == steps.ROOM_TAKE]
    homes, at = added["home"], added["index"]
    machines["source"][at] = np.where(added["is_sorter"], machines["held"][homes], machines["tray"][homes])
    machines["target"][at] = machines["target"][homes]


def readings_in_rooms(plan: Plan) -> int:
    """Notes that rooms can leave at one instant."""
    gauges = plan.operations.end_gauge - plan.operations.first_gauge + 1
    return int((gauges * (plan.rooms.benches + 1) * (plan.rooms.benches > 0)).sum())
