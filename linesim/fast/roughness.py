"""Roughness is worked out when somebody reads it: most cuts are followed by another that leaves nothing of it."""

from __future__ import annotations

from typing import Final

from linesim.chance import normal_from_uniform
from linesim.cutting.step import roughness_after_cut, worn_ra_of
from linesim.cutting.teeth import torn_layer_um, torn_share_left
from linesim.fast.compiled import inlined
from linesim.fast.drawers import cut_at, real_at
from linesim.fast.state import Place, World
from linesim.plan.tables import NONE

TORN_GROWTH: Final = 2.0
"""Wear land over its limit up to which it is known beforehand how deep a cut can tear the metal."""


@inlined
def owe_roughness(where: Place, cut: int, growth: float, factor: float, uniform: float) -> None:
    """Note what the roughness of a place follows from."""
    where.rough_cut = cut
    where.rough_growth = growth
    where.rough_factor = factor
    where.roughness_um = uniform


@inlined
def settle_roughness(w: World, where: Place) -> None:
    """Work out what is still owed; the roughness of the place may be read from now on."""
    if where.rough_cut == NONE:
        return
    spec = cut_at(w.cuts, where.rough_cut)
    normal = normal_from_uniform(where.roughness_um)
    where.roughness_um = roughness_after_cut(spec, where.rough_growth, where.rough_factor, normal)
    where.rough_cut = NONE


@inlined
def torn_left_um(w: World, where: Place, met_um: float) -> float:
    """What a cut leaves of a layer torn before, µm; seldom anything, so that the roughness need not be worked out."""
    if where.rough_cut != NONE:
        deepest_um = real_at(w.torn_um, where.rough_cut).value * max(where.rough_factor, 1.0)
        if where.rough_growth <= TORN_GROWTH and met_um >= deepest_um:
            return 0.0
        roughest_um = worn_ra_of(cut_at(w.cuts, where.rough_cut), where.rough_growth) * where.rough_factor
        floor_um = cut_at(w.cuts, where.rough_cut).roughness_floor_um
        if met_um >= torn_layer_um(max(roughest_um * real_at(w.rough_reaches, where.rough_cut).value, floor_um)):
            return 0.0
        settle_roughness(w, where)
    return torn_share_left(met_um, where.roughness_um) * where.roughness_um
