"""Listening to a run: what happened to every part, machine and cutter set, event by event."""

from __future__ import annotations

from typing import Any, NamedTuple

import pandas as pd

from linesim.cutting.component import SHAPE, Component
from linesim.floor.part import Part
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import State
from linesim.plan.type_means import has_types, is_last_for, type_name
from linesim.plan.whereabouts import Whereabouts
from linesim.result import Trace

__all__ = [
    "CHANGE",
    "PART",
    "SET",
    "STATE",
    "Followed",
    "Tracer",
    "part_columns",
    "place_of",
    "places_of",
    "true_values",
    "value_names",
]

PART = ["line", "serial", "operation", "machine", "loaded_min", "complete_min", "left_min", "outcome"]
STATE = ["line", "operation", "machine", "state", "start_min", "end_min"]
CHANGE = ["now_min", "line", "operation", "machine", "cutter", "why", "life_share", "parts"]
SET = ["now_min", "cutter", "set", "place", "line", "operation", "machine"]


_MOST_SETS = 2**32
"""More than a kind ever has."""

_OUTCOMES = {"complete": "held up", "scrapped": "scrapped", "turned down": "to repair"}
"""Of a part at an operation, by what was heard of it last."""


class Tracer:
    """Writes down all that it hears from the floor; moments count from the run's start, warm-up included.

    Parameters
    ----------
    plan : Plan
        What is run; gives the names.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._here: dict[tuple[int, int, int], dict[str, Any]] = {}
        """Rows of parts on a machine or held up on it; a part that is repaired may come to an operation again."""
        self._rows: list[dict[str, Any]] = []
        self._states: list[tuple[Any, ...]] = []
        self._doing: dict[int, tuple[State, float]] = {}
        self._changes: list[tuple[Any, ...]] = []
        self._sets: list[tuple[Any, ...]] = []
        self._machines = [place_of(plan, machine) for machine in range(len(plan.names.machines))]
        self._places = [list(places_of(plan, line)) for line in range(len(plan.names.lines))]

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Close what the machine did before."""
        self._close(machine, now_min)
        self._doing[machine] = (state, now_min)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Write the moment into the row of this part at this operation."""
        if what == "sorted":
            return  # in the measuring room; what comes of it is told by itself
        key = (part.line, part.serial, operation)
        if key not in self._here:
            self._here[key] = self._new_row(part, machine)
            self._part_comes(self._here[key])
        row = self._here[key]
        if what not in ("scrapped", "turned down"):
            row[f"{what}_min"] = now_min
        if what == "left":
            row["outcome"] = "shipped" if is_last_for(self._plan, operation, part.type) else "passed on"
        if what in _OUTCOMES:
            row["outcome"] = _OUTCOMES[what]
            row |= true_values(part, self._places[part.line])
        if what in ("left", "scrapped", "turned down"):
            self._part_is_gone(self._here.pop(key), now_min, machine)

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Write down the change."""
        kind = self._plan.names.kinds[int(self._plan.mounts.kind[mount])]
        self._add_change(now_min, machine, (now_min, *self._machines[machine], kind, why, life_share, parts))

    def set_moves(self, now_min: float, kind: int, number: int, where: Whereabouts, machine: int) -> None:
        """Write down where a set has come to; sets of a kind are numbered from 1 as they were bought."""
        drawn_for = (None, None, None) if machine == NONE else self._machines[machine]
        row = (now_min, self._plan.names.kinds[kind], number + 1, where.words, *drawn_for)
        self._add_set(now_min, kind * _MOST_SETS + number, row)

    # what is done with it

    def _part_comes(self, row: dict[str, Any]) -> None:
        """Keep the row of a part at an operation, which is filled bit by bit."""
        self._rows.append(row)

    def _part_is_gone(self, row: dict[str, Any], now_min: float, machine: int) -> None:
        """The row of a part at an operation is complete."""

    def _add_state(self, now_min: float, machine: int, row: tuple[Any, ...]) -> None:  # noqa: ARG002 - files need them
        """Keep what a machine has done."""
        self._states.append(row)

    def _add_change(self, now_min: float, machine: int, row: tuple[Any, ...]) -> None:  # noqa: ARG002 - files need them
        """Keep a change."""
        self._changes.append(row)

    def _add_set(self, now_min: float, rank: int, row: tuple[Any, ...]) -> None:  # noqa: ARG002 - files need them
        """Keep where a set has come to."""
        self._sets.append(row)

    # handed over at the end

    def close_states(self, end_min: float) -> None:
        """Close what the machines still do at the moment at which the run ends."""
        for machine in sorted(self._doing):
            self._close(machine, end_min)

    def trace(self, end_min: float | None = None) -> Trace:
        """What was heard, as tables.

        Parameters
        ----------
        end_min : float, optional
            The moment at which the run ended; the end that was planned unless given.

        Returns
        -------
        Trace
            ``parts``: one row per part and operation with its moments, outcome (shipped, passed on, held up,
            scrapped, on the machine) and the true values of every place when it was complete there;
            ``states``: machine, state, from when to when; ``changes``: cutter sets changed, why (due, joined,
            broken; with "by a sister" where the next one took over), at what life share; ``sets``: where sets have
            come to that are not on a machine.
        """
        self.close_states(self._plan.warm_up_min + self._plan.length_min if end_min is None else end_min)
        sets = sorted(self._sets, key=lambda row: row[:3])
        columns = list(dict.fromkeys([*part_columns(self._plan), *(name for row in self._rows for name in row)]))
        return Trace(
            parts=pd.DataFrame(self._rows, columns=columns),
            states=pd.DataFrame(self._states, columns=STATE),
            changes=pd.DataFrame(self._changes, columns=CHANGE),
            sets=pd.DataFrame(sets, columns=SET),
        )

    def _new_row(self, part: Part, machine: int) -> dict[str, Any]:
        """A part that has just come onto a machine."""
        line, name, at = self._machines[machine]
        head = (line, part.serial, name, at, None, None, None, "on the machine")
        kind = [type_name(self._plan, part.line, part.type)] if has_types(self._plan) else []
        return dict(zip(part_columns(self._plan), (*head, *kind), strict=True))

    def _close(self, machine: int, now_min: float) -> None:
        """Write down what the machine did until now, unless it took no time."""
        state, since_min = self._doing.pop(machine, (State.WAITING_FOR_PART, 0.0))
        if now_min > since_min:
            self._add_state(now_min, machine, (*self._machines[machine], state.words, since_min, now_min))


def part_columns(plan: Plan) -> list[str]:
    """Columns of the table of parts but for the true values: `PART`, and ``part_type`` where a line makes several."""
    return [*PART, "part_type"] if has_types(plan) else PART


def value_names(plan: Plan) -> list[str]:
    """Names of the columns with true values, of all lines, each once."""
    places = [place for line in range(len(plan.names.lines)) for place in places_of(plan, line)]
    return list(dict.fromkeys(f"{place.name} {of.column}" for place in places for of in place.components))


def place_of(plan: Plan, machine: int) -> tuple[str, str, str]:
    """Line, operation and name of a machine."""
    operation = int(plan.machines.operation[machine])
    line = int(plan.operations.line[operation])
    return plan.names.lines[line], plan.names.operations[operation], plan.names.machines[machine]


class Followed(NamedTuple):
    """A place whose true values are written down: its name, where they stand in a part, and what it carries."""

    name: str
    at: int
    components: tuple[Component, ...]


def places_of(plan: Plan, line: int) -> list[Followed]:
    """The places of a line's features."""
    answer = []
    for feature in range(int(plan.lines.first_feature[line]), int(plan.lines.end_feature[line])):
        name, places = plan.names.features[feature], int(plan.features.places[feature])
        first = int(plan.features.first_place[feature])
        carries = bool(plan.features.carries[feature])
        components = tuple(of for of in Component if carries or of not in SHAPE)
        named = [name] if places == 1 else [f"{name} {place + 1}" for place in range(places)]
        answer += [Followed(each, first + place, components) for place, each in enumerate(named)]
    return answer


def true_values(part: Part, places: list[Followed]) -> dict[str, float]:
    """True values of every place of a part, by name of place and component; places as from `places_of`."""
    return {f"{name} {of.column}": part.values_um(of)[at] for name, at, components in places for of in components}
