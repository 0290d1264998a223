"""Part types in the compiled engine: which type a casting is, and what is for which."""

from __future__ import annotations

from linesim.fast import codes
from linesim.fast.common import add, count, four_uniforms
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    cut_at,
    line_at,
    mix_at,
    operation_at,
    part_at,
    part_type_at,
    stroke_at,
    type_time_at,
)
from linesim.fast.state import Line, Machine, Part, World
from linesim.plan.tables import NONE
from linesim.plan.type_tables import ALL_TYPES


@inlined
def is_for(types: int, of_type: int) -> bool:
    """Whether something is for a part type."""
    return types == ALL_TYPES or ((types >> of_type) & 1) != 0


@compiled
def type_of(w: World, line: int, serial: int) -> int:
    """Part type of a casting: drawn by its share, or by where it comes in the cycle of batches."""
    row = line_at(w.lines, line)
    cycle, number = part_type_at(w.part_types, row.end_type - 1).batch_to, 0
    if cycle > 0:
        at = serial % cycle
        while at >= part_type_at(w.part_types, row.first_type + number).batch_to:
            number += 1
        of_type: int = part_type_at(w.part_types, row.first_type + number).batch_of
        return of_type
    share = four_uniforms(w, codes.PURPOSE_PART_TYPE, line, serial, 0)[0]
    while share >= part_type_at(w.part_types, row.first_type + number).share_to:
        number += 1
    return number


@compiled
def count_shipped_type(w: World, row: Line, part: Part, lead_min: float, is_out: bool) -> None:
    """Count a shipped part under its type."""
    at = row.first_type + part.type
    count(w.shipped_of_type, at)
    if part.is_first_pass:
        count(w.first_pass_of_type, at)
    if is_out:
        count(w.out_of_type, at)
    add(w.lead_of_type, at, lead_min)


@compiled
def work_time(w: World, m: Machine) -> int:
    """The length of time of an operation that is given by its minutes, for the part at hand."""
    first = mix_at(w.mixes, m.operation).first_time
    if first == NONE:
        time: int = operation_at(w.operations, m.operation).cycle_time
    else:
        time = type_time_at(w.type_times, first + part_at(w.parts, m.part).type).time
    return time


@compiled
def longest_cut(w: World, stroke: int, of_type: int) -> float:
    """Minutes of the longest cut of a stroke among those that are made for a type."""
    row, longest = stroke_at(w.strokes, stroke), 0.0
    for cut in range(row.first_cut, row.end_cut):
        spec = cut_at(w.cuts, cut)
        if is_for(spec.types, of_type):
            longest = max(longest, spec.cut_min)
    return longest
