"""Roughness is worked out when somebody reads it: most cuts are followed by another that leaves nothing of it."""

from __future__ import annotations

from linesim.chance import normal_from_uniform
from linesim.cutting.step import roughness_after_cut
from linesim.fast.compiled import inlined
from linesim.fast.drawers import cut_at
from linesim.fast.state import Place, World
from linesim.plan.tables import NONE


@inlined
def owe_roughness(where: Place, cut: int, growth: float, uniform: float) -> None:
    """Note what the roughness of a place follows from."""
    where.rough_cut = cut
    where.rough_growth = growth
    where.roughness_um = uniform


@inlined
def settle_roughness(w: World, where: Place) -> None:
    """Work out what is still owed; the roughness of the place may be read from now on."""
    if where.rough_cut == NONE:
        return
    spec = cut_at(w.cuts, where.rough_cut)
    where.roughness_um = roughness_after_cut(spec, where.rough_growth, normal_from_uniform(where.roughness_um))
    where.rough_cut = NONE
