"""What a part's seat and the warmth of machine and room add to the size that a cut leaves, source by source."""

from __future__ import annotations

from linesim.floor.holding import Held
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE
from linesim.routing.sources import Source

__all__ = ["shifts_of_cut"]


def shifts_of_cut(site: Site, part: Part, cut: int, held: Held, datum: int) -> dict[Source, float]:
    """What `linesim.floor.holding.shift_of_cut` adds in all, by where it comes from.

    Parameters
    ----------
    site : Site
        The floor.
    part : Part
        As it is before the cut.
    cut : int
        Number of the cut.
    held : Held
        How the part sits and how warm it is.
    datum : int
        Where the datum of the place stands in the part, or ``NONE``.

    Returns
    -------
    dict of Source to float, µm
    """
    placing = site.placings[cut]
    shifts = {Source.CHIPS: -placing.lift_to_size * held.lift_um}
    if not site.rows.cuts[cut].is_held:
        return shifts
    if datum != NONE:
        tilt_um = placing.datum_to_size * part.tilt_um[datum]
        shifts[Source.DATUM] = -placing.lift_to_size * part.scratch_um[datum] - tilt_um
    fixture_um = placing.held_to_size * held.position_um + placing.turned_to_size * held.tilt_um
    warm_um = held.warm_um + placing.room_um_k * held.room_k
    return shifts | {Source.FIXTURE: -fixture_um, Source.WARMTH: -warm_um}
