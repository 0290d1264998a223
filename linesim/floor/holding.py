"""How a part sits on its machine, how warm machine and room are, and how true the places are that it cuts."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from linesim.chance import Purpose, lognormal_value
from linesim.chance.addresses import try_draw
from linesim.cutting.error_terms import copied_share, metal_met_um
from linesim.cutting.heat import room_kelvin, warmth_after
from linesim.cutting.life import wear_growth
from linesim.cutting.locating import BOW_CV, form_of_cut_um, position_of_cut_um, size_moved_um, tilt_of_cut_um
from linesim.floor.mishaps import locate
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE

__all__ = ["Held", "Warmth", "datum_place", "fixture_of", "held_moved_um", "held_of", "shape_place"]


class Held(NamedTuple):
    """How a part sits, and how warm it is where it is cut.

    Attributes
    ----------
    lift_um : float
        Thickness of a chip under a pad, µm.
    position_um, tilt_um : float
        Error of the fixture: aside or too high, and over the distance of the pads, µm.
    warm_um : float
        How much deeper than set the machine cuts as it is warm, µm.
    room_k : float
        By how much the room is too warm, K.
    datum : int
        Feature on which it is located, or ``NONE``.
    """

    lift_um: float = 0.0
    position_um: float = 0.0
    tilt_um: float = 0.0
    warm_um: float = 0.0
    room_k: float = 0.0
    datum: int = NONE


def fixture_of(site: Site, operation: int, serial: int) -> tuple[float, float]:
    """Position and tilt of the fixture that a casting sits on, µm."""
    row = site.rows.holdings[operation]
    if row.fixtures == 0:
        return 0.0, 0.0
    number = serial % row.fixtures
    if row.first_fixture != NONE:
        measured = site.rows.fixtures[row.first_fixture + number]
        return measured.position_um, measured.tilt_um
    aside, turned, _, _ = site.timing.normals(Purpose.FIXTURE, row.fixture_spot, number)
    return row.position_um * aside, row.tilt_um * turned


def held_of(site: Site, machine: int, part: Part) -> Held:
    """Clamp a part on a machine: on its fixture, and on a chip if one lies there."""
    own = site.rows.machines[machine]
    lift_um = locate(site, own.operation, part)
    position_um, tilt_um = fixture_of(site, own.operation, part.serial)
    datum = site.rows.holdings[own.operation].datum
    return Held(lift_um, position_um + own.own_position_um, tilt_um + own.own_tilt_um, datum=datum)


class Warmth:
    """How warm a machine is: on its way to 1 while its spindle runs, to 0 while it stands.

    Attributes
    ----------
    grown_um : float
        How much deeper than set it cut in its last stroke as it was warm, µm.

    Parameters
    ----------
    row : Holdings
        Of its operation.
    calendar_min : float
        What the calendar says as the run begins.
    """

    def __init__(self, row: Any, calendar_min: float) -> None:
        self.row, self.calendar_min = row, calendar_min
        self.warmth = 0.0
        self.until_min = 0.0
        self.began_cold = self._times_cold(0.0)
        self.grown_um = 0.0

    def felt(self, held: Held, now_min: float) -> Held:
        """How a part sits, with what a stroke that begins now feels of the warmth of machine and room."""
        row = self.row
        if row.swing_k != 0.0:
            held = held._replace(room_k=room_kelvin(now_min + self.calendar_min, row.swing_k, row.swing_min))
        if row.rise_um != 0.0:
            self.grown_um = row.rise_um * (self._warmth_at(now_min) - row.set_warm)
            held = held._replace(warm_um=self.grown_um)
        return held

    def runs(self, now_min: float, cut_min: float) -> None:
        """The spindle runs so many minutes from now on, and the machine warms."""
        if self.row.rise_um != 0.0:
            self.warmth = warmth_after(self._warmth_at(now_min), cut_min, 1.0, self.row.warm_min)
            self.until_min, self.began_cold = now_min + cut_min, self._times_cold(now_min)

    def _times_cold(self, now_min: float) -> int:
        """How often it has begun cold up to a moment, from the start of the week."""
        cold_min: float = self.row.cold_min
        return math.floor((now_min + self.calendar_min) / cold_min)

    def _warmth_at(self, now_min: float) -> float:
        """Cold after a night or a weekend, else cooled since the spindle ran last."""
        if self._times_cold(now_min) != self.began_cold:
            return 0.0
        return warmth_after(self.warmth, max(now_min - self.until_min, 0.0), 0.0, self.row.cool_min)


def datum_place(site: Site, datum: int, feature: Any, place: int) -> int:
    """Where in the part the datum of a place stands: its like where there are as many, else the first; or ``NONE``."""
    if datum == NONE:
        return NONE
    row = site.rows.features[datum]
    return int(row.first_place) + (place if row.places == feature.places else 0)


def held_moved_um(site: Site, part: Part, cut: int, held: Held, datum: int) -> float:
    """What holding and warmth add to the size that a cut leaves at a place, µm."""
    if not site.rows.cuts[cut].is_held:
        return -float(site.rows.cuts[cut].lift_to_size) * held.lift_um
    lift_um, tilt_um = held.lift_um, 0.0
    if datum != NONE:
        lift_um, tilt_um = lift_um + part.scratch_um[datum], part.tilt_um[datum]
    placing = site.placings[cut]
    moved_um = size_moved_um(placing, lift_um, held.position_um, held.tilt_um, tilt_um, held.room_k)
    return moved_um - held.warm_um


def shape_place(
    site: Site, part: Part, cut: int, held: Held, where: int, datum: int, life_share: float, printed_um: float,
    before_um: float,
) -> None:  # fmt: skip
    """Position, tilt and form of a place after a cut that found metal, at the life share of the edge there.

    Parameters
    ----------
    printed_um : float
        What a leading blade or a worn wheel prints into the form, µm.
    before_um : float
        Error before the cut, µm.
    """
    conditions, placing = site.conditions[cut], site.placings[cut]
    place = where - int(site.rows.features[site.rows.cuts[cut].feature].first_place)
    _, stress, _, aside = site.timing.normals(Purpose.CUT, cut, part.serial, try_draw(part.tries, place))
    growth = wear_growth(life_share, conditions.wear_b, conditions.wear_tau, conditions.wear_gamma)
    copied = copied_share(conditions, growth, part.heat_force)
    lift_um, tilt_um, form_um = held.lift_um + held.tilt_um, 0.0, 0.0
    if datum != NONE:
        lift_um += part.scratch_um[datum]
        tilt_um, form_um = part.tilt_um[datum], part.form_um[datum]
    bow_factor = lognormal_value(1.0, BOW_CV, stress) if placing.bow_um > 0.0 else 0.0
    part.position_um[where] = position_of_cut_um(
        placing, copied, part.position_um[where], lift_um, held.position_um, tilt_um, aside
    )
    part.tilt_um[where] = tilt_of_cut_um(placing, copied, part.tilt_um[where], lift_um, tilt_um)
    taken_um = metal_met_um(conditions, before_um, False) - part.error_um[where]
    before_form_um = part.form_um[where]
    part.form_um[where] = form_of_cut_um(placing, copied, before_form_um, form_um, bow_factor, printed_um, taken_um)
