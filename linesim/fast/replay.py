"""Telling those who listen what a compiled run has written into its trace."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from linesim.fast import steps
from linesim.fast.pattern import Working
from linesim.floor.crib import CribWatcher
from linesim.floor.part import Part
from linesim.floor.part_type import TypeOf
from linesim.floor.site import BY_SISTER, Watcher
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.plan.whereabouts import Whereabouts

__all__ = ["replay"]

_MOVES = {
    steps.PART_LOADED: "loaded",
    steps.PART_COMPLETE: "complete",
    steps.PART_LEFT: "left",
    steps.PART_SCRAPPED: "scrapped",
    steps.PART_TURNED_DOWN: "turned down",
    steps.PART_SORTED: "sorted",
}
_COLUMNS = ("minute", "what", "machine", "subject", "count", "life_share", "role")
_WHY = {steps.DUE: "due", steps.JOINED: "joined", steps.BROKEN: "broken"}
_WHY |= {role + steps.BY_SISTER: BY_SISTER.format(why) for role, why in _WHY.items()}


def replay(plan: Plan, working: Working, watchers: Sequence[Watcher]) -> None:
    """Tell the watchers the events of the trace one by one, in the order in which they happened.

    Parameters
    ----------
    plan : Plan
        What is run.
    working : Working
        Memory of the run; the trace is read and left as it is.
    watchers : sequence of Watcher
        Told as the SimPy floor tells them. A part has its true values when it is complete or scrapped, and
        otherwise only its serial number and line.
    """
    type_of = TypeOf(plan, int(working.world.seed), int(working.world.replication))
    states = {int(state): state for state in State}
    whereabouts = list(Whereabouts)
    of_crib = [watcher for watcher in watchers if isinstance(watcher, CribWatcher)]
    operations = plan.machines.operation.tolist()
    lines = plan.operations.line.tolist()
    rows = working.arrays["trace_rows"][: int(working.world.n_trace)]
    columns = (rows[name].tolist() for name in _COLUMNS)
    for number, (minute, what, machine, subject, count, life_share, role) in enumerate(zip(*columns, strict=True)):
        if what == steps.ENTERS:
            for watcher in watchers:
                watcher.machine_enters(minute, machine, states[subject])
        elif what == steps.SET_CHANGED:
            for watcher in watchers:
                watcher.set_changed(minute, machine, subject, _WHY[role], life_share, count)
        elif what == steps.SET_MOVES:
            for watcher in of_crib:
                watcher.set_moves(minute, subject, count, whereabouts[role], machine)
        else:
            operation = operations[machine]
            part = Part(subject, lines[operation], 0.0)
            part.type = type_of(part.line, subject)
            if what in (steps.PART_COMPLETE, steps.PART_SCRAPPED, steps.PART_TURNED_DOWN, steps.PART_SORTED):
                _fill(part, working, number)
            for watcher in watchers:
                watcher.part_moves(minute, part, operation, machine, _MOVES[what])


def _fill(part: Part, working: Working, number: int) -> None:
    """Give a part the true values that were written down with its event."""
    most = int(working.world.most_places)
    count = int(working.arrays["lines"]["n_places"][part.line])
    places: Any = working.arrays["trace_places"][number * most : number * most + count]
    part.error_um = places["error_um"].tolist()
    part.roughness_um = places["roughness_um"].tolist()
    part.scratch_um = places["scratch_um"].tolist()
    shapes: Any = working.arrays["trace_shapes"][number * most : number * most + count]
    has_shapes = bool(working.world.most_shapes)
    for name in ("position_um", "tilt_um", "form_um"):
        setattr(part, name, shapes[name].tolist() if has_shapes else [0.0] * count)
    part.is_clean = (places["is_clean"] != 0).tolist()
    part.is_machined = (places["is_machined"] != 0).tolist()
