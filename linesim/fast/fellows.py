"""Parts that belong to a part of another line, off which they were taken, until they are joined to it again."""

from __future__ import annotations

from linesim.fast.common import call
from linesim.fast.compiled import compiled
from linesim.fast.drawers import line_at, part_at
from linesim.fast.state import World
from linesim.plan.tables import NONE

MEETS = 1
TAKEN_OFF = 2
"""How a line meets another one (``Line.fellows``): in some way; its castings are taken off parts of that one."""


@compiled
def lose_fellow(w: World, number: int) -> None:
    """A part is scrap; the one that it was taken off, or that was taken off it, is of no more use."""
    part = part_at(w.parts, number)
    if part.fellow == NONE:
        return
    fellow = part_at(w.parts, part.fellow)
    part.fellow, fellow.fellow, fellow.is_lost = NONE, NONE, 1
    line = line_at(w.lines, part.line)
    if line.fellows != TAKEN_OFF:
        line = line_at(w.lines, fellow.line)
    call(w, line.delivery)
    call(w, line.meets)
