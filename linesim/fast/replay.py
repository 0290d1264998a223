"""Telling those who listen what a compiled run has written into its trace."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from linesim.fast import steps
from linesim.fast.pattern import Working
from linesim.floor.crib import CribWatcher
from linesim.floor.part import Part
from linesim.floor.part_type import TypeOf
from linesim.floor.site import BY_SISTER, LateWatcher, Watcher
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.plan.whereabouts import Whereabouts

__all__ = ["Replay"]

_MOVES = {
    steps.PART_LOADED: "loaded",
    steps.PART_COMPLETE: "complete",
    steps.PART_LEFT: "left",
    steps.PART_SCRAPPED: "scrapped",
    steps.PART_TURNED_DOWN: "turned down",
    steps.PART_SORTED: "sorted",
}
_WITH_VALUES = (steps.PART_COMPLETE, steps.PART_SCRAPPED, steps.PART_TURNED_DOWN, steps.PART_SORTED)
_STATES = {int(state): state for state in State}
_WHEREABOUTS = list(Whereabouts)
_WHY = {steps.DUE: "due", steps.JOINED: "joined", steps.BROKEN: "broken"}
_WHY |= {role + steps.BY_SISTER: BY_SISTER.format(why) for role, why in _WHY.items()}


class Replay:
    """Tells those who listen to a compiled run what has happened, again and again.

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

    def __init__(self, plan: Plan, working: Working, watchers: Sequence[Watcher]) -> None:
        self._working, self._watchers = working, watchers
        self._type_of = TypeOf(plan, int(working.world.seed), int(working.world.replication))
        self._of_crib = [watcher for watcher in watchers if isinstance(watcher, CribWatcher)]
        self._late = [watcher if isinstance(watcher, LateWatcher) else None for watcher in watchers]
        self._operations = plan.machines.operation.tolist()
        self._lines = plan.operations.line.tolist()

    def tell(self) -> None:
        """Tell the events of the trace one by one, in the order in which they happened."""
        watchers = self._watchers
        rows = self._working.arrays["trace_rows"][: int(self._working.world.n_trace)]
        for number, event in self._told_of(rows):
            minute, what, machine, subject, count, life_share, role = event  # as `linesim.fast.rows.TraceRow` has them
            if what == steps.ENTERS:
                for watcher in watchers:
                    watcher.machine_enters(minute, machine, _STATES[subject])
            elif what == steps.SET_CHANGED:
                for watcher in watchers:
                    watcher.set_changed(minute, machine, subject, _WHY[role], life_share, count)
            elif what == steps.SET_MOVES:
                for of_crib in self._of_crib:
                    of_crib.set_moves(minute, subject, count, _WHEREABOUTS[role], machine)
            else:
                part = self._part(number, what, self._operations[machine], subject)
                for watcher in watchers:
                    watcher.part_moves(minute, part, self._operations[machine], machine, _MOVES[what])

    def _told_of(self, rows: Any) -> Iterable[tuple[int, Any]]:
        """The events that somebody wants to hear of, each with its number in the trace."""
        from_min = min((0.0 if watcher is None else watcher.hears_from_min for watcher in self._late), default=0.0)
        if not len(rows) or rows["minute"][0] >= from_min:
            return enumerate(rows.tolist())
        what = rows["what"]
        is_told = (what == steps.SET_CHANGED) | (what == steps.SET_MOVES) | (rows["minute"] >= from_min)
        return zip(np.flatnonzero(is_told).tolist(), rows[is_told].tolist(), strict=True)

    def _part(self, number: int, what: int, operation: int, serial: int) -> Part:
        """The part of an event, with its true values where they were written down with it."""
        part = Part(serial, self._lines[operation], 0.0)
        part.type = self._type_of(part.line, serial)
        if what in _WITH_VALUES:
            _fill(part, self._working, number)
        return part


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
