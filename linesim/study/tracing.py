"""Listening to a run: what happened to every part, machine and cutter set, event by event."""

from __future__ import annotations

from typing import Any

import pandas as pd

from linesim.floor.part import Part
from linesim.plan.tables import Plan
from linesim.plan.tally import State
from linesim.result import Trace

__all__ = ["Tracer", "place_of", "places_of", "true_values"]

_PART = ["line", "serial", "operation", "machine", "loaded_min", "complete_min", "left_min", "outcome"]
_STATE = ["line", "operation", "machine", "state", "start_min", "end_min"]
_CHANGE = ["now_min", "line", "operation", "machine", "cutter", "why", "life_share", "parts"]


class Tracer:
    """Writes down all that it hears from the floor; moments count from the run's start, warm-up included.

    Parameters
    ----------
    plan : Plan
        What is run; gives the names.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._rows: dict[tuple[int, int, int], dict[str, Any]] = {}
        self._states: list[tuple[Any, ...]] = []
        self._doing: dict[int, tuple[State, float]] = {}
        self._changes: list[tuple[Any, ...]] = []
        self._machines = [place_of(plan, machine) for machine in range(len(plan.names.machines))]
        self._places = [list(places_of(plan, line)) for line in range(len(plan.names.lines))]

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Close what the machine did before."""
        self._close(machine, now_min)
        self._doing[machine] = (state, now_min)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Write the moment into the row of this part at this operation."""
        key = (part.line, part.serial, operation)
        row = self._rows.setdefault(key, self._new_row(part, machine))
        if what != "scrapped":
            row[f"{what}_min"] = now_min
        if what == "left":
            is_last = operation == int(self._plan.casts.end_operation[part.line]) - 1
            row["outcome"] = "shipped" if is_last else "passed on"
        if what in ("complete", "scrapped"):
            row["outcome"] = "held up" if what == "complete" else "scrapped"
            row |= true_values(part, self._places[part.line])

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Write down the change."""
        kind = self._plan.names.kinds[int(self._plan.mounts.kind[mount])]
        self._changes.append((now_min, *self._machines[machine], kind, why, life_share, parts))

    # handed over at the end

    def trace(self) -> Trace:
        """What was heard, as tables.

        Returns
        -------
        Trace
            ``parts``: one row per part and operation with its moments, outcome (shipped, passed on, held up,
            scrapped, on the machine) and the true values of every place when it was complete there;
            ``states``: machine, state, from when to when; ``changes``: cutter sets changed, why (due, joined,
            broken), at what life share.
        """
        end_min = self._plan.warm_up_min + self._plan.length_min
        for machine in list(self._doing):
            self._close(machine, end_min)
        columns = list(dict.fromkeys([*_PART, *(name for row in self._rows.values() for name in row)]))
        return Trace(
            parts=pd.DataFrame(list(self._rows.values()), columns=columns),
            states=pd.DataFrame(self._states, columns=_STATE),
            changes=pd.DataFrame(self._changes, columns=_CHANGE),
        )

    def _new_row(self, part: Part, machine: int) -> dict[str, Any]:
        """A part that has just come onto a machine."""
        line, name, at = self._machines[machine]
        return dict(zip(_PART, (line, part.serial, name, at, None, None, None, "on the machine"), strict=True))

    def _close(self, machine: int, now_min: float) -> None:
        """Write down what the machine did until now, unless it took no time."""
        state, since_min = self._doing.pop(machine, (State.WAITING_FOR_PART, 0.0))
        if now_min > since_min:
            self._states.append((*self._machines[machine], state.words, since_min, now_min))


def place_of(plan: Plan, machine: int) -> tuple[str, str, str]:
    """Line, operation and name of a machine."""
    operation = int(plan.machines.operation[machine])
    line = int(plan.operations.line[operation])
    return plan.names.lines[line], plan.names.operations[operation], plan.names.machines[machine]


def places_of(plan: Plan, line: int) -> list[tuple[str, int]]:
    """Names of the places of a line's features, and where their values stand in a part."""
    found = []
    for feature in range(int(plan.casts.first_feature[line]), int(plan.casts.end_feature[line])):
        name, places = plan.names.features[feature], int(plan.features.places[feature])
        first = int(plan.features.first_place[feature])
        found += [(name if places == 1 else f"{name} {place + 1}", first + place) for place in range(places)]
    return found


def true_values(part: Part, places: list[tuple[str, int]]) -> dict[str, float]:
    """Error, Ra and scratch of every place of a part, by name; places as from `places_of`."""
    values: dict[str, float] = {}
    for name, at in places:
        values[f"{name} error_um"] = part.error_um[at]
        values[f"{name} ra_um"] = part.roughness_um[at]
        values[f"{name} scratch_um"] = part.scratch_um[at]
    return values
