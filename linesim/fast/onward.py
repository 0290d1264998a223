"""Where parts go on to, where some pass operations by or something is taken off them."""

from __future__ import annotations

from linesim.fast import codes
from linesim.fast.common import four_uniforms
from linesim.fast.compiled import compiled
from linesim.fast.drawers import line_at, machine_at, mix_at, operation_at, part_at
from linesim.fast.joining import take_off
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, Part, World
from linesim.plan.tables import NONE

__all__ = ["target_of"]


@compiled
def _comes_to(w: World, operation: int, part: Part) -> bool:
    """Whether parts of this type come to an operation, and this one takes its branch."""
    row = mix_at(w.mixes, operation)
    if not is_for(row.types, part.type):
        return False
    if row.fork == NONE:
        return True
    number: float = four_uniforms(w, codes.PURPOSE_BRANCH, row.fork, part.serial, 0)[0]
    return bool(row.share_from <= number < row.share_to)


@compiled
def target_of(w: World, m: Machine) -> int:
    """Pool to which a machine passes the part at hand on; what is taken off it here goes its own way."""
    if mix_at(w.mixes, m.operation).takes_off != NONE:
        take_off(w, m.part, mix_at(w.mixes, m.operation).takes_off)
    part, operation = part_at(w.parts, m.part), m.operation + 1
    end = line_at(w.lines, m.line).end_operation
    while operation < end and not _comes_to(w, operation, part):
        operation += 1
    # Where the machines before that operation, or before the door, put their parts.
    pool: int = machine_at(w.machines, operation_at(w.operations, operation - 1).first_machine).target
    return pool
