"""Tables of the plan on how true a part lies: what its features carry, what cuts do to it, how operations hold it.

Indices, ranges and units are those of `linesim.plan.tables`.
"""

from __future__ import annotations

from typing import NamedTuple

from linesim.cutting.locating import Placing
from linesim.plan.column_types import Floats, Ints

__all__ = ["Fixtures", "Holdings", "Placings", "Shapes", "placing_of"]


class Shapes(NamedTuple):
    """Position, tilt and form of features, one row for each; whether they are carried says `Features.carries`."""

    cast_position_um: Floats
    """Standard deviation as cast; of the tilt likewise. The form as cast is the same for all."""
    cast_tilt_um: Floats
    cast_form_um: Floats
    position_limit_um: Floats
    """Greatest amount allowed to either side; infinite where the drawing gives none."""
    tilt_limit_um: Floats
    form_limit_um: Floats
    position_cap_um2: Floats
    """Square at which the loss reaches its cap; infinite without one."""
    tilt_cap_um2: Floats
    form_cap_um2: Floats


class Placings(NamedTuple):
    """What cuts do to how true places lie, one row for each cut; columns as in `linesim.cutting.locating.Placing`.

    They are read where the cut says so, see `Cuts.carries` and `Cuts.is_held`; the last two only by accounts.
    """

    left_position: Floats
    left_tilt: Floats
    left_form: Floats
    lift_to_size: Floats
    lift_to_position: Floats
    lift_to_tilt: Floats
    held_to_size: Floats
    held_to_position: Floats
    turned_to_size: Floats
    datum_to_size: Floats
    datum_to_position: Floats
    datum_to_tilt: Floats
    datum_to_form: Floats
    own_position_um: Floats
    own_form_um: Floats
    bow_um: Floats
    room_um_k: Floats
    led_form_um: Floats
    wheel_form_um_min: Floats
    honed_share: Floats
    clamped_form_um: Floats
    """Of its own form, what the clamps bend."""
    spindle_form_um: Floats
    """Of its own form, the hollow of a spindle out of square."""


def placing_of(placings: Placings, cut: int) -> Placing:
    """What one cut does to how true a place lies."""
    return Placing(*(float(getattr(placings, name)[cut]) for name in Placing._fields))


class Holdings(NamedTuple):
    """How operations hold their parts, one row for each operation."""

    datum: Ints
    """Feature on which the part is located, or ``NONE``."""
    fixtures: Ints
    """How many fixtures; 0 where they have no error."""
    fixture_spot: Ints
    """Operation whose fixtures these are: the first that says "pallets", for pallets."""
    first_fixture: Ints
    """First row of `Fixtures` where they were measured, else ``NONE``."""
    position_um: Floats
    tilt_um: Floats
    """Standard deviations where they are drawn."""
    rise_um: Floats
    """How much deeper a warm machine cuts than a cold one."""
    warm_min: Floats
    cool_min: Floats
    set_warm: Floats
    cold_min: Floats
    """Worked minutes after which it begins cold again."""
    swing_k: Floats
    swing_min: Floats


class Fixtures(NamedTuple):
    """Fixtures that were measured, operation after operation."""

    position_um: Floats
    tilt_um: Floats
