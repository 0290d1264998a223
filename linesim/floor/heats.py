"""Heats of castings: what the iron of a part does to the edges that cut it."""

from __future__ import annotations

from linesim.chance import Purpose
from linesim.cutting.heats import heat_factor, heat_number
from linesim.floor.part import Part
from linesim.floor.site import Site

__all__ = ["cast_from_heat"]


def cast_from_heat(site: Site, part: Part) -> None:
    """Give a casting the factors of its heat; where the line has no heats, they stay 1."""
    lines, line = site.plan.lines, part.line
    castings, heat_min = int(lines.heat_castings[line]), float(lines.heat_min[line])
    if castings == 0 and heat_min == 0.0:
        return
    heat = heat_number(part.serial, site.by_calendar(part.came_min), castings, heat_min)
    life, force, _, _ = site.timing.uniforms(Purpose.HEAT, line, heat)
    part.heat_life = heat_factor(float(lines.heat_life_cv[line]), life)
    part.heat_force = heat_factor(float(lines.heat_force_cv[line]), force)
