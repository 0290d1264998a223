"""What a part's seat and the warmth of machine and room add to the size that a cut leaves, source by source.

Also all that a cut meets which bears on how true its places lie.
"""

from __future__ import annotations

import math

from linesim.chance import Purpose, lognormal_value
from linesim.chance.addresses import try_draw
from linesim.cutting.error_terms import copied_share
from linesim.cutting.locating import BOW_CV
from linesim.floor.additions import Added
from linesim.floor.holding import Held
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE
from linesim.routing.shape_tags import Met
from linesim.routing.sources import Source

__all__ = ["met_by", "shifts_of_cut"]


def shifts_of_cut(
    site: Site, part: Part, cut: int, held: Held, datum: int, fault_tilt_um: float = 0.0
) -> dict[Source, float]:
    """What `linesim.floor.holding.held_moved_um` adds in all, by where it comes from.

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
    fault_tilt_um : float, µm
        How much of the fixture's tilt is that of a machine that has turned bad.

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
    fault_um = placing.turned_to_size * fault_tilt_um
    fixture_um = placing.held_to_size * held.position_um + placing.turned_to_size * held.tilt_um - fault_um
    warm_um = held.warm_um + placing.room_um_k * held.room_k
    return shifts | {Source.FIXTURE: -fixture_um, Source.FAULTS: -fault_um, Source.WARMTH: -warm_um}


def met_by(site: Site, part: Part, cut: int, place: int, held: Held, datum: int, growth: float, added: Added) -> Met:
    """What a cut meets that bears on position, tilt and form of a place; metal taken off and faults are yet to be said.

    Parameters
    ----------
    site : Site
        The floor.
    part : Part
        As it is before the cut.
    cut, place : int
        Which cut, at which place of its feature.
    held : Held
        How the part sits.
    datum : int
        Where the datum of the place stands in the part, or ``NONE``.
    growth : float
        g of the edge there.
    added : Added
        What a leading blade and a wheel print into the form.

    Returns
    -------
    Met
    """
    placing, table = site.placings[cut], site.plan.placings
    _, stress, _, aside = site.timing.normals(Purpose.CUT, cut, part.serial, try_draw(part.tries, place))
    on = (0.0, 0.0, 0.0) if datum == NONE else (part.scratch_um[datum], part.tilt_um[datum], part.form_um[datum])
    led_um = placing.led_form_um if added.is_led else 0.0
    return Met(
        placing,
        clamped_um=float(table.clamped_form_um[cut]),
        spindle_um=float(table.spindle_form_um[cut]),
        copied=copied_share(site.conditions[cut], growth, part.heat_force),
        chip_um=held.lift_um,
        burr_um=on[0],
        held_um=held.position_um,
        turned_um=held.tilt_um,
        datum_tilt_um=on[1],
        datum_form_um=on[2],
        normal=aside,
        bow_factor=lognormal_value(1.0, BOW_CV, stress) if placing.bow_um > 0.0 else 0.0,
        led_um=led_um,
        wheel_um=math.sqrt(max(added.form_um**2 - led_um**2, 0.0)),
        taken_um=0.0,
        fault_tilt_um=0.0,
    )
