"""The pools of a run as it begins, the claims on them, and the agenda."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import Arrays
from linesim.fast.layout_joins import tell_where_lines_meet
from linesim.fast.layout_mixes import mix_pools
from linesim.fast.layout_people import entries_of_rosters, lay_rosters
from linesim.fast.layout_rooms import readings_in_rooms, tell_rooms
from linesim.fast.layout_shape import lay_starts, place_ways
from linesim.fast.memory import records
from linesim.fast.route import TURNS, route_of
from linesim.fast.shortcuts import direct_pools, sums_of_runs
from linesim.fast.state import Claim, Due, Note, Pool
from linesim.plan.tables import NONE

__all__ = ["lay_lists", "lay_pools"]

_MOST = 2**31 - 1
"""More parts than will ever stand in a buffer."""


def lay_pools(layout: Arrays) -> None:
    """The pools, numbered as the floor numbers them."""
    plan, route = layout.plan, route_of(layout.plan)
    rows, of_machine = route.rows, plan.machines.operation
    layout.arrays["lines"]["yard"] = route.yards
    tell_where_lines_meet(layout, route.sources)
    machines, real = layout.arrays["machines"], len(of_machine)
    machines["source"][:real] = route.sources[of_machine]
    machines["target"][:real] = route.targets[of_machine]
    machines["bench"] = np.append(route.benches, NONE)[machines["test"]]
    machines["aside"][:real] = route.asides
    mends = machines[real : real + int(plan.tests.benches.sum())]
    mends["source"] = mends["bench"]
    mends["target"] = route.sources[plan.tests.back_to[mends["test"]]]
    firsts = np.flatnonzero(machines["step"] == steps.BENCH_FIRST_TAKE)
    homes = machines["home"][firsts]
    machines["source"][firsts], machines["target"][firsts] = route.asides[homes], machines["target"][homes]
    place_ways(layout, route)
    tell_rooms(layout, route.trays, route.held)
    w = layout.world
    w.crib, w.first_shelf = len(rows), len(rows) + 1
    rows.append((steps.CRIB, 0, 0))
    rows += [(steps.SHELF, kind, 0) for kind in range(len(plan.kinds.sets))]
    w.grinders, w.n_people = len(rows), 1 + len(plan.pools.people)
    rows += [(steps.PEOPLE, 0, count) for count in (plan.grinders, *plan.pools.people.tolist())]
    for line, row in enumerate(layout.arrays["lines"]):
        row.door = len(rows)
        rows.append((steps.DOOR, line, 0))
    lay_starts(layout, rows)
    w.n_pools = len(rows)
    pools = layout.keep("pools", records(Pool, len(rows)))
    ways, of, capacities = zip(*rows, strict=True)
    for name in ("first_claim", "last_claim", "first_giver", "last_giver", "first", "last"):
        pools[name] = NONE
    pools["way"], pools["of"], pools["capacity"] = ways, of, np.minimum(capacities, _MOST)
    pools["turn"] = [TURNS[way] for way in pools["way"].tolist()]
    mix_pools(plan, pools)
    pools["is_direct"] = direct_pools(plan, layout.arrays["lines"], pools)
    pools["fills"][machines["source"][np.flatnonzero(machines["batch"])]] = 1
    pools["free"] = pools["capacity"] * (pools["way"] == steps.PEOPLE)
    arrays = layout.arrays
    columns = [arrays["operations"]["setters"], arrays["operations"]["fitters"], arrays["upkeeps"]["overhaul_people"]]
    columns += [arrays[name]["by"] for name in ("first_pieces", "rooms", "attending")]
    for column in (*columns, arrays["tests"]["people"], arrays["mixes"]["people"]):
        column[column != NONE] += int(w.grinders) + 1
    w.presetters = NONE if plan.presetters == NONE else plan.presetters + int(w.grinders) + 1
    layout.keep("presets_begun", np.zeros(len(plan.kinds.sets) + 1, dtype=np.int64))
    lay_rosters(layout)


def lay_lists(layout: Arrays) -> None:
    """Lists of fixed length: nobody stands in one of them twice."""
    w, plan = layout.world, layout.plan
    machines, sets = int(w.n_machines), int(w.n_sets)
    sisters = layout.arrays["sisters"]
    w.first_sister_claim = machines + int(w.n_mounts) + sets
    claims = layout.keep("claims", records(Claim, int(w.first_sister_claim) + len(sisters)))
    claims["rank"][:machines] = layout.arrays["machines"]["rank"]
    claims["rank"][machines : machines + int(w.n_mounts)] = layout.arrays["machines"]["rank"][plan.mounts.machine]
    of_sisters = layout.arrays["mounts"]["machine"][sisters["mount"]]
    claims["rank"][int(w.first_sister_claim) :] = layout.arrays["machines"]["rank"][of_sisters]
    actors = machines + sets + len(layout.arrays["lines"])
    _lay_agenda(layout, actors + entries_of_rosters(layout))
    w.ready_last = actors
    for name, size in (("ready", actors), ("counter", sets)):
        layout.keep(name, np.zeros(size + 1, dtype=np.int64))
    layout.keep("called", np.zeros(2 * len(layout.arrays["pools"]), dtype=np.int64))
    o = plan.operations
    tries = sums_of_runs(plan.gauges.tries + 1, o.first_gauge, o.end_gauge)
    readings = 1 + int((tries * (o.end_machine - o.first_machine)).sum()) + readings_in_rooms(plan)
    layout.keep("notes", records(Note, readings))


def _lay_agenda(layout: Arrays, actors: int) -> None:
    """A first round with a slot for everybody, of which only the first four lead up to the final as yet."""
    w = layout.world
    w.first_slot = w.next_slot = 4 ** max(((actors - 1).bit_length() + 1) // 2, 1)
    w.end_of_slots, w.final = w.first_slot + 4, w.first_slot // 4
    w.vacant = w.wiped_out = NONE
    agenda = layout.keep("agenda", records(Due, int(w.first_slot) + actors + 3))
    agenda["minute"], agenda["ticket"] = np.inf, NONE
