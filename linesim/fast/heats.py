"""Heats of castings: what the iron of a part does to the edges that cut it."""

from __future__ import annotations

from linesim.cutting.heats import heat_factor, heat_number
from linesim.fast import codes
from linesim.fast.common import by_calendar, four_uniforms
from linesim.fast.compiled import compiled, inlined
from linesim.fast.state import Line, Part, World

__all__ = ["cast_from_heat", "heat_force", "heat_life"]


@inlined
def heat_life(w: World, part: Part) -> float:
    """What the heat of a part multiplies the life of edges by."""
    return part.heat_life if w.has_more else 1.0


@inlined
def heat_force(w: World, part: Part) -> float:
    """What the heat of a part multiplies the cutting force by."""
    return part.heat_force if w.has_more else 1.0


@compiled
def cast_from_heat(w: World, row: Line, part: Part) -> None:
    """Give a casting the factors of its heat."""
    heat = heat_number(part.serial, by_calendar(w, part.came_min), row.heat_castings, row.heat_min)
    life, force, _, _ = four_uniforms(w, codes.PURPOSE_HEAT, part.line, heat, 0)
    part.heat_life = heat_factor(row.heat_life_cv, life)
    part.heat_force = heat_factor(row.heat_force_cv, force)
