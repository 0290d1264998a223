"""What part types mean on average: their shares of the castings, the minutes of each, changeovers for each casting."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats
from linesim.plan.times import row_minutes
from linesim.plan.type_tables import Sequence

__all__ = [
    "Changing", "casting_shares", "changing_of", "cutting_minutes", "gauges_of", "has_types", "is_last_for",
    "share_cut", "type_name", "visits", "visits_by_type",
]  # fmt: skip


class Changing(NamedTuple):
    """Changeovers at an operation, for each casting that its line draws.

    Attributes
    ----------
    times, minutes : float
        Of all machines of the operation together.
    is_most : bool
        Whether a run may have fewer, as machines choose among the parts that wait.
    """

    times: float
    minutes: float
    is_most: bool


def has_types(plan: Plan) -> bool:
    """Whether any line makes several part types."""
    return len(plan.part_types.line) > len(plan.lines.first_type)


def type_name(plan: Plan, line: int, kind: int) -> str:
    """Name of a part type of a line."""
    return plan.names.part_types[int(plan.lines.first_type[line]) + kind]


def is_last_for(plan: Plan, operation: int, kind: int) -> bool:
    """Whether parts of a type are finished behind an operation: nothing further down its line is for them."""
    end = int(plan.lines.end_operation[plan.operations.line[operation]])
    return not any(int(plan.mixes.types[after]) >> kind & 1 for after in range(operation + 1, end))


def casting_shares(plan: Plan, line: int) -> Floats:
    """Share of each part type in the castings of a line, (types,), under the batches of the plan's policy."""
    own = slice(int(plan.lines.first_type[line]), int(plan.lines.end_type[line]))
    ends = plan.part_types.batch_to[own].astype(float)
    if ends[-1] > 0.0:
        shares = np.zeros(len(ends))
        shares[plan.part_types.batch_of[own]] = np.diff(ends, prepend=0.0) / ends[-1]
        return shares
    return np.diff(np.append(plan.part_types.share_to[own][:-1], 1.0), prepend=0.0)


def _is_for(plan: Plan, number: int, mask: int) -> Floats:
    """1 for each type of an operation's line that something there is for, (types,)."""
    line = plan.operations.line[number]
    types = int(plan.lines.end_type[line] - plan.lines.first_type[line])
    here = int(plan.mixes.types[number]) & int(mask)
    return np.array([float(here >> each & 1) for each in range(types)])


def visits_by_type(plan: Plan, number: int) -> Floats:
    """1 for each type that comes to an operation, 0 for the others, (types,)."""
    return _is_for(plan, number, -1)


def share_cut(plan: Plan, number: int, mask: int) -> float:
    """Share of a line's castings that come to an operation and for which something there is, by its ``mask``."""
    line = int(plan.operations.line[number])
    if plan.lines.end_type[line] - plan.lines.first_type[line] == 1:
        return float(int(plan.mixes.types[number]) & int(mask) & 1)
    return float(casting_shares(plan, line) @ _is_for(plan, number, mask))


def visits(plan: Plan, number: int) -> float:
    """Share of a line's castings that come to an operation."""
    return share_cut(plan, number, -1)


def cutting_minutes(plan: Plan, number: int) -> Floats:
    """Mean minutes of cutting that a part of each type takes at an operation, (types,); 0 for those that pass it by.

    Of a batch: the minutes of the whole batch.
    """
    operations, strokes = plan.operations, plan.strokes
    minutes = np.zeros(len(visits_by_type(plan, number)))
    own = slice(int(operations.first_stroke[number]), int(operations.end_stroke[number]))
    if len(minutes) == 1:
        return minutes + float(strokes.cut_min[own].sum()) + row_minutes(plan.times, int(operations.cycle_time[number]))
    for stroke in range(own.start, own.stop):
        if not strokes.has_only[stroke]:
            minutes += float(strokes.cut_min[stroke]) * _is_for(plan, number, int(strokes.types[stroke]))
            continue
        cuts = range(int(strokes.first_cut[stroke]), int(strokes.end_cut[stroke]))
        of_cuts = [float(plan.cuts.cut_min[cut]) * _is_for(plan, number, int(plan.cuts.types[cut])) for cut in cuts]
        minutes += np.max(of_cuts, axis=0)
    if operations.cycle_time[number] != NONE:
        minutes += _own_minutes(plan, number) * visits_by_type(plan, number)
    return minutes


def _own_minutes(plan: Plan, number: int) -> Floats:
    """Mean of the minutes of an operation without cuts, by type."""
    first, types = int(plan.mixes.first_time[number]), len(visits_by_type(plan, number))
    if first == NONE:
        return np.full(types, row_minutes(plan.times, int(plan.operations.cycle_time[number])))
    rows = plan.type_times.time[first : first + types]
    return np.array([row_minutes(plan.times, int(row)) for row in rows])


def gauges_of(plan: Plan, number: int, minutes: Floats) -> Floats:
    """Minutes of an operation's gauges by type, (types,), from those of each gauge for a part that it may read."""
    first, total = int(plan.operations.first_gauge[number]), np.zeros(len(visits_by_type(plan, number)))
    for at, of_gauge in enumerate(minutes):
        total += of_gauge * _is_for(plan, number, int(plan.gauges.types[first + at]))
    return total


def changing_of(plan: Plan, number: int) -> Changing:
    """Changeovers of an operation for each casting, under its sequence and the batches in which castings come.

    Oldest first, castings in batches: every machine changes over once in each batch of another type than the last one
    that came here, or for each part of it where it has fewer parts than the operation machines. By shares: by the
    chance that two parts in a row are of two types. In turns of so many parts: the type of which most come fills its
    turns. Where a machine prefers parts of one type, or empties its stock in turn, how many come together depends on
    what waits: at most as many as with the oldest first, or none at best, are counted.
    """
    first = int(plan.mixes.first_changeover[number])
    if first == NONE:
        return Changing(0.0, 0.0, is_most=False)
    here = visits_by_type(plan, number)
    size = len(here)
    minutes = plan.changeover_times.mean_min[first : first + size * size].reshape(size, size)
    sequence = int(plan.mixes.sequence[number])
    steps = (_in_turn if sequence == Sequence.IN_TURN else _as_they_come)(plan, number, here)
    chooses = sequence in (Sequence.SAME_TYPE, Sequence.LEAST_CHANGEOVER)
    return Changing(float(steps.sum()), float((steps * minutes).sum()), is_most=chooses)


def _as_they_come(plan: Plan, number: int, here: Floats) -> Floats:
    """Changeovers from each type to each for each casting, (types, types), if the oldest part is taken."""
    line = int(plan.operations.line[number])
    own = slice(int(plan.lines.first_type[line]), int(plan.lines.end_type[line]))
    steps = np.zeros((len(here), len(here)))
    sizes = np.diff(plan.part_types.batch_to[own], prepend=0)
    if plan.part_types.batch_to[own][-1] > 0:
        machines = int(plan.operations.end_machine[number] - plan.operations.first_machine[number])
        coming = [
            (int(kind), int(n)) for kind, n in zip(plan.part_types.batch_of[own], sizes, strict=True) if here[kind]
        ]
        for at, (kind, parts) in enumerate(coming):
            before = coming[at - 1][0]
            steps[before, kind] += min(machines, parts) / float(sizes.sum()) if before != kind else 0.0
        return steps
    shares = casting_shares(plan, line) * here
    if shares.sum() > 0.0:
        steps = np.outer(shares, shares) / shares.sum()
    return steps * (1.0 - np.eye(len(here)))


def _in_turn(plan: Plan, number: int, here: Floats) -> Floats:
    """Changeovers from each type to each for each casting, (types, types), if types take turns of so many parts."""
    steps, turn = np.zeros((len(here), len(here))), int(plan.mixes.turn[number])
    types = [int(kind) for kind in np.flatnonzero(here)]
    shares = casting_shares(plan, int(plan.operations.line[number])) * here
    if turn > 0 and len(types) > 1:
        for at, kind in enumerate(types):
            steps[types[at - 1], kind] = float(shares.max()) / turn
    return steps
