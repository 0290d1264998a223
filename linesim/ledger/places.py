"""Operations of a plan with what the scenario says of them, and the minutes that a run has spent there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesim.ledger.rows import WORKS, Place
from linesim.plan.tables import Floats, Plan
from linesim.plan.tally import State, Tally
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["PUT_INTO_PARTS", "Minutes", "Station", "minutes_of", "places_of_lines", "stations_of"]


@dataclass(frozen=True)
class Station:
    """One operation: its number in the plan, its place, what the scenario says of it, and its machines."""

    number: int
    place: Place
    spec: Operation
    machines: slice
    gauges: slice


def stations_of(works: Works, plan: Plan) -> list[Station]:
    """All operations of a works, in the order of the plan."""
    named = [(Place(line, name), spec) for line, row in works.lines.items() for name, spec in row.operations.items()]
    rows = plan.operations
    return [
        Station(
            number,
            place,
            spec,
            slice(int(rows.first_machine[number]), int(rows.end_machine[number])),
            slice(int(rows.first_gauge[number]), int(rows.end_gauge[number])),
        )
        for number, (place, spec) in enumerate(named)
    ]


def places_of_lines(works: Works) -> list[Place]:
    """One place for each line, for shares in something of the whole works."""
    return [Place(line, WORKS) for line in works.lines]


@dataclass(frozen=True)
class Minutes:
    """Machine minutes of one operation, each in one place only.

    Attributes
    ----------
    by_state : dict of State to float
        What is left in each state when recuts and scrapped parts have been moved out; gauging included.
    recut : float
        Cutting again.
    scrapped_share : float
        Of the minutes put into scrapped parts here, the share that is moved to scrap: 1, but less where parts that were
        worked on before the counted time bring more minutes than the counted time has.
    """

    by_state: dict[State, float]
    recut: float
    scrapped_share: float


PUT_INTO_PARTS = (State.CUTTING, State.LOADING, State.GAUGING)
"""States whose minutes go into the part on the machine."""


def minutes_of(station: Station, tally: Tally) -> Minutes:
    """Part the minutes of an operation's machines into what they were spent on.

    Parameters
    ----------
    station : Station
        The operation.
    tally : Tally
        Of the run.

    Returns
    -------
    Minutes
        The states, the recuts and the scrapped minutes times their share add up to all minutes of the machines.
    """
    spent: Floats = tally.state_min[station.machines].sum(axis=0)
    left = {state: float(spent[state]) for state in State}
    recut = min(float(np.sum(tally.recut_min[station.machines])), left[State.CUTTING])
    left[State.CUTTING] -= recut
    put_in = 0.0
    for state in PUT_INTO_PARTS:  # one after another, as pricing does; sum() rounds in its own way in newer Pythons
        put_in += left[state]
    lost = float(tally.scrapped_min[:, station.number].sum())
    moved = min(lost, put_in)
    for state in PUT_INTO_PARTS:
        left[state] *= 1.0 - moved / put_in if moved else 1.0
    return Minutes(left, recut, moved / lost if lost else 0.0)
