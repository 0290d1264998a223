"""What each machine has of its own, where machines of an operation are not alike, and how each is kept going."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from linesim.plan.column_types import NONE, Floats, Ints
from linesim.plan.times import TimeTable
from linesim.works.operations import Operation
from linesim.works.upkeep import breakdowns_of, overhauled_by

__all__ = ["Upkeeps", "machine_names", "own_columns", "upkeep_columns"]


class Upkeeps(NamedTuple):
    """How machines fail, are repaired and overhauled, one row for each machine."""

    failure_time: Ints
    repair_time: Ints
    age_shape: Floats
    """Shape of the power law by which it ages; 0 where a repair makes it new."""
    age_scale_min: Floats
    age_left: Floats
    """Share of its age that a repair leaves it."""
    overhaul_every_min: Floats
    overhaul_time: Ints
    overhaul_people: Ints


def machine_names(name: str, operation: Operation) -> Iterator[str]:
    """Names of the machines of an operation: by their own names where they are not alike, else by number."""
    if operation.unlike:
        yield from (f"{name} {own}" for own in operation.unlike)
    elif operation.machines == 1:
        yield name
    else:
        yield from (f"{name} No. {number}" for number in range(1, operation.machines + 1))


def own_columns(operation: Operation, number: int) -> dict[str, float]:
    """Columns of a machine on what is its own; ``number`` counts the machines of the operation from 0."""
    own = list(operation.unlike.values())[number] if operation.unlike else None
    return {
        "pace": 1.0 if own is None else own.time,
        "own_position_um": 0.0 if own is None else own.position,
        "own_tilt_um": 0.0 if own is None else own.tilt,
    }


def upkeep_columns(operation: Operation, number: int, times: TimeTable, pools: Mapping[str, int]) -> dict[str, Any]:
    """The row of a machine among `Upkeeps`."""
    breakdowns = breakdowns_of(operation, number)
    between = None if breakdowns is None else breakdowns.between
    ages = None if breakdowns is None else breakdowns.ages
    overhaul = None if breakdowns is None else breakdowns.overhaul
    people = overhauled_by(operation, number)
    return {
        "failure_time": NONE if between is None else times.add(between),
        "repair_time": NONE if breakdowns is None else times.add(breakdowns.repair),
        "age_shape": 0.0 if ages is None else ages.shape,
        "age_scale_min": math.inf if ages is None else ages.scale,
        "age_left": 0.0 if ages is None else 1.0 - ages.repair_gives_back,
        "overhaul_every_min": math.inf if overhaul is None else overhaul.every,
        "overhaul_time": NONE if overhaul is None else times.add(overhaul.minutes),
        "overhaul_people": NONE if people is None else pools[people],
    }
