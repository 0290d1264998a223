"""How true a place lies, with every part of it tagged by its source: position, tilt and form after a cut.

Position and tilt are linear in what was there before and in what moves the part, so that they are sums of their parts,
as the size is. Form is a root of a sum of squares: its account is kept in squares, which add up to the square of the
form. Each part is what the law of the cut gives if nothing else is there.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.cutting.component import Component
from linesim.cutting.locating import Placing, form_of_cut_um, position_of_cut_um, tilt_of_cut_um
from linesim.routing.sources import Source
from linesim.routing.tagging import Tags

__all__ = ["Met", "followed_um", "shape_after", "tagged"]


class Met(NamedTuple):
    """What a cut meets and adds at one place, beside what was there before.

    Attributes
    ----------
    placing : Placing
        What the cut does to how true the place lies.
    clamped_um, spindle_um : float
        Of its own form: bent by the clamps, and hollow by a spindle out of square, µm.
    copied : float
        Copying factor at the wear of the edge.
    chip_um, burr_um : float
        Under a pad: a chip, and the burr of a scratch of the datum, µm.
    held_um, turned_um : float
        Position and tilt of the fixture, µm.
    datum_tilt_um, datum_form_um : float
        Of the datum at this place, µm.
    normal, bow_factor : float
        Draws of the scatter aside and of the stress let go.
    led_um, wheel_um : float
        Form printed by the blade that leads and by the wheel, µm.
    taken_um : float
        Metal taken off here, µm.
    fault_tilt_um : float
        How much of ``turned_um`` is that of a machine that has turned bad, µm.
    """

    placing: Placing
    clamped_um: float
    spindle_um: float
    copied: float
    chip_um: float
    burr_um: float
    held_um: float
    turned_um: float
    datum_tilt_um: float
    datum_form_um: float
    normal: float
    bow_factor: float
    led_um: float
    wheel_um: float
    taken_um: float
    fault_tilt_um: float


def tagged(of: Component, value_um: float) -> float:
    """What the parts of a component add up to: its value, or its square for form."""
    return value_um * value_um if of is Component.FORM else value_um


def followed_um(of: Component, tags: Tags) -> float:
    """The component's value that its parts add up to, µm."""
    total = float(tags.sum())
    return math.sqrt(max(total, 0.0)) if of is Component.FORM else total


def shape_after(of: Component, tags: Tags, origin: int, met: Met) -> Tags:
    """Position, tilt or form after a cut that found metal, source by source.

    Parameters
    ----------
    of : Component
        Which of the three.
    tags : Tags
        Before the cut.
    origin : int
        Where what is new arises.
    met : Met
        What the cut meets.

    Returns
    -------
    Tags
        Of the form in squares, µm².
    """
    if of is Component.FORM:
        return _form_after(tags, origin, met)
    left = tags * (_position(met, before_um=1.0) if of is Component.POSITION else _tilt(met, before_um=1.0))
    moves = _position_moves(met) if of is Component.POSITION else _tilt_moves(met)
    for source, by_um in moves.items():
        left[origin, source] += by_um
    return left


def _position(
    met: Met, before_um: float = 0.0, lift_um: float = 0.0, held_um: float = 0.0, tilt_um: float = 0.0,
    normal: float = 0.0,
) -> float:  # fmt: skip
    return position_of_cut_um(met.placing, met.copied, before_um, lift_um, held_um, tilt_um, normal)


def _tilt(met: Met, before_um: float = 0.0, lift_um: float = 0.0, tilt_um: float = 0.0) -> float:
    return tilt_of_cut_um(met.placing, met.copied, before_um, lift_um, tilt_um)


def _position_moves(met: Met) -> dict[Source, float]:
    return {
        Source.CHIPS: _position(met, lift_um=met.chip_um),
        Source.FIXTURE: _position(met, lift_um=met.turned_um - met.fault_tilt_um, held_um=met.held_um),
        Source.FAULTS: _position(met, lift_um=met.fault_tilt_um),
        Source.DATUM: _position(met, lift_um=met.burr_um, tilt_um=met.datum_tilt_um),
        Source.CHANCE: _position(met, normal=met.normal),
    }


def _tilt_moves(met: Met) -> dict[Source, float]:
    return {
        Source.CHIPS: _tilt(met, lift_um=met.chip_um),
        Source.FIXTURE: _tilt(met, lift_um=met.turned_um - met.fault_tilt_um),
        Source.FAULTS: _tilt(met, lift_um=met.fault_tilt_um),
        Source.DATUM: _tilt(met, lift_um=met.burr_um, tilt_um=met.datum_tilt_um),
    }


def _form_after(tags: Tags, origin: int, met: Met) -> Tags:
    """What is left of the old form keeps its sources; the squares of what is new go to theirs."""
    bare, own_um = met.placing._replace(own_form_um=0.0), met.placing.own_form_um
    before_um = followed_um(Component.FORM, tags)
    left_um = form_of_cut_um(bare, met.copied, before_um, 0.0, 0.0, 0.0, met.taken_um)
    sprung_um = form_of_cut_um(bare, met.copied, 0.0, met.datum_form_um, 0.0, 0.0, 0.0)
    bow_um = form_of_cut_um(bare, met.copied, 0.0, 0.0, met.bow_factor, 0.0, 0.0)
    left = tags * (left_um / before_um) ** 2 if before_um > 0.0 else tags.copy()
    here = left[origin]
    here[Source.OWN_FORM] += max(own_um**2 - met.clamped_um**2 - met.spindle_um**2, 0.0)
    here[Source.CLAMPING] += met.clamped_um**2
    here[Source.SPINDLE] += met.spindle_um**2
    here[Source.DATUM] += sprung_um**2
    here[Source.STRESS] += bow_um**2
    here[Source.LEADER] += met.led_um**2
    here[Source.WHEEL] += met.wheel_um**2
    return left
