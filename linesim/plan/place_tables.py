"""Tables of the plan on how true a part lies: what its features carry, what cuts do to it, how operations hold it.

Indices, ranges and units are those of `linesim.plan.tables`.
"""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.column_types import Floats

__all__ = ["Shapes"]


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
