"""Levers of a whole line that a search may move: sizes of batches, overhauls, and which type a machine takes next."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from linesim.plan.mix_levers import sequences_of
from linesim.plan.plan import Plan
from linesim.study.search.common.lever import Lever
from linesim.works.part_types import SEQUENCE_NAMES

__all__ = ["changes_of_line", "line_levers", "value_on_line"]

_FIRST_STEP = 0.3
"""By which share of its value a lever is moved at first."""
_MOST_CYCLES = 50
_MOST_INTERVALS = 50.0
_GRID_MIN = 10.0


def line_levers(plan: Plan) -> Iterator[Lever]:
    """Batches of every line whose castings come in batches, and the overhauls that a plan makes.

    The batches of a line are moved together, in the ratio that its policy has them; the figure is how many castings
    one cycle of them holds.
    """
    for line, name in enumerate(plan.names.lines):
        sizes = _batches(plan, line)
        if len(sizes) > 1:
            total, whole = sum(sizes.values()), math.gcd(*sizes.values())
            ratio = tuple((kind, size // whole) for kind, size in sizes.items())
            grid = float(total // whole)
            yield Lever("batches", name, _FIRST_STEP * total, grid, float(_MOST_CYCLES * total), grid, line, ratio)
    for number, name in enumerate(plan.names.operations):
        every_min = _overhaul_min(plan, number)
        if math.isfinite(every_min):
            grid = min(_GRID_MIN, every_min)
            most = _MOST_INTERVALS * every_min
            yield Lever("overhaul", name, _FIRST_STEP * every_min, grid, most, grid, number)
    for number, name, _ in sequences_of(plan):
        yield Lever("sequence", name, 1.0, 0.0, float(len(SEQUENCE_NAMES) - 1), 1.0, number)


def _batches(plan: Plan, line: int) -> dict[str, int]:
    """Batches of a line by type, in their order; empty where castings come by share or are all alike."""
    first, end = int(plan.lines.first_type[line]), int(plan.lines.end_type[line])
    ends = plan.part_types.batch_to[first:end].tolist()
    if end - first < 2 or ends[-1] == 0:
        return {}
    kinds = plan.part_types.batch_of[first:end].tolist()
    befores = [0, *ends[:-1]]
    return {
        plan.names.part_types[first + kind]: int(to - before)
        for kind, to, before in zip(kinds, ends, befores, strict=True)
    }


def value_on_line(plan: Plan, lever: Lever) -> float:
    """Value of such a lever as a plan has it."""
    if lever.kind == "batches":
        return float(sum(_batches(plan, lever.at).values()))
    if lever.kind == "sequence":
        return float(next(SEQUENCE_NAMES.index(name) for at, _, name in sequences_of(plan) if at == lever.at))
    return _overhaul_min(plan, lever.at)


def _overhaul_min(plan: Plan, number: int) -> float:
    """Minutes between overhauls of an operation's machines, the least of unlike ones; infinite if there are none."""
    machines = slice(int(plan.operations.first_machine[number]), int(plan.operations.end_machine[number]))
    return float(plan.upkeeps.overhaul_every_min[machines].min())


def changes_of_line(lever: Lever, value: float) -> tuple[str, Any]:
    """Entry of a policy that a lever changes, and what it says for this line or operation."""
    if lever.kind == "batches":
        times = round(value / lever.grid)
        return "batches", {kind: times * share for kind, share in lever.ratio}
    if lever.kind == "sequence":
        return "sequences", SEQUENCE_NAMES[round(value)]
    return "overhauls", value
