"""The equation of a cut with every part of the error tagged by its source.

One cut makes of the error e what the model says: e' = μ e + pushed + receded - offset + shift + repeatability + stress,
with μ, the push and the recession at the wear that the edge has. An error that is a sum of tagged parts stays one: each
part is multiplied by the same μ, and the new terms go to their own sources. So the parts sum to the error after every
cut, and what the casting brought is what is left of it after all the factors μ.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from linesim.cutting.conditions import CutConditions
from linesim.cutting.error_terms import copied_share, pushed_um, receded_um, repeated_um, stressed_um
from linesim.cutting.life import wear_growth
from linesim.floor.additions import NOTHING_ADDED, Added
from linesim.routing.sources import Source

__all__ = ["Tags", "after_cut", "as_set", "cast_tags", "missed_cut", "moved"]

Tags = npt.NDArray[np.float64]
"""Error of one place, µm per side: by where it arose (see `linesim.routing.lives.origins_of`) and by `Source`.

Shape (origins, sources); its sum is the error.
"""


def cast_tags(error_um: float, later: int) -> Tags:
    """The error that a casting brings into a routing in which it can arise at so many later steps."""
    tags = np.zeros((later + 1, len(Source)))
    tags[0, Source.CASTING] = error_um
    return tags


def moved(tags: Tags, origin: int, source: Source, by_um: float) -> Tags:
    """The error with something added to it at an origin (0 the casting).

    >>> float(moved(cast_tags(3.0, 2), 1, Source.DISTURBANCE, -1.0).sum())
    2.0
    """
    changed = tags.copy()
    changed[origin, source] += by_um
    return changed


def as_set(tags: Tags, origin: int, aim_um: float, setting_um: float) -> Tags:
    """After a cut, with what its edge was set to when it was put in booked apart from what gauges moved since."""
    changed = moved(moved(tags, origin, Source.AIM, -aim_um), origin, Source.SETTING, -setting_um)
    return moved(changed, origin, Source.GAUGING, aim_um + setting_um)


def missed_cut(tags: Tags, origin: int, depth_mm: float) -> Tags:
    """A cut that finds no metal: the old surface stays, now counted from the next surface intended."""
    return moved(tags, origin, Source.NOT_CLEANED_UP, 1000.0 * depth_mm)


def after_cut(
    tags: Tags,
    origin: int,
    cut: CutConditions,
    life_share: float,
    offset_um: float,
    shifts_um: Mapping[Source, float],
    normals: tuple[float, float],
    is_recut: bool = False,
    force_share: float = 1.0,
    added: Added = NOTHING_ADDED,
    fault_um: float = 0.0,
) -> Tags:
    """The error after a cut that finds metal, source by source.

    Parameters
    ----------
    tags : array of float
        Before the cut.
    origin : int
        Where what is new arises.
    cut : CutConditions
        What the cut is.
    life_share : float
        w of the edge at this place.
    offset_um : float, µm
        How much deeper the edge stands in all.
    shifts_um : mapping of Source to float, µm
        What a chip, the fixture, the datum and warmth add.
    normals : tuple of two float
        Standard normals of repeatability and of stress let go.
    is_recut : bool
        The cut is made again at the same setting: it lets no stress go, and all that it adds belongs to recutting.
    force_share : float
        Cutting force of the casting's heat over the average.
    added : Added
        What a leading blade, a wheel's wear, a reamer's own size and the heat of cuts add.
    fault_um : float, µm
        Displacement by a hidden fault of the machine, beside ``moved_um``.

    Returns
    -------
    array of float
        The model's equation, see `linesim.cutting.error_terms`.
    """
    growth = wear_growth(life_share, cut.wear_b, cut.wear_tau, cut.wear_gamma)
    left = tags * copied_share(cut, growth, force_share)
    here = left[origin]
    average_um = pushed_um(cut, growth, 1.0)
    here[Source.RECUT if is_recut else Source.DEFLECTION] += average_um
    here[Source.HEATS] += pushed_um(cut, growth, force_share) - average_um
    here[Source.RECUT if is_recut else Source.WEAR] += receded_um(cut, growth)
    here[Source.RECUT if is_recut else Source.CHANCE] += repeated_um(cut, normals[0])
    here[Source.STRESS] += stressed_um(cut, normals[1], is_recut)
    here[Source.GAUGING] -= offset_um
    for source, by_um in shifts_um.items():
        here[source] += by_um
    here[Source.LEADER] += added.leader_um
    here[Source.WHEEL] += added.wheel_um
    here[Source.OWN_SIZE] += added.own_um - added.heat_um
    here[Source.CUT_HEAT] += added.heat_um
    here[Source.FAULTS] += fault_um
    return left
