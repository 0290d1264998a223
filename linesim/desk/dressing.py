"""How a wheel is dressed with a single diamond: the stroke that is set, and a remark where it is not as usual."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from linesim.cutting.dressing import dressed_ra_factor, dressed_width_mm, dressing_lead_mm
from linesim.cutting.kinematics import feed_rate_mm_min, spindle_speed_rpm
from linesim.words import keep
from linesim.works.crib import Cutter
from linesim.works.model import Works

__all__ = ["DressingStroke", "dressing_stroke", "on_dressing"]

_OVERLAPS = (2.0, 8.0)
"""Usual: rough 2 to 3, medium 3 to 5, fine 6 to 8 (from memory)."""
_DEPTHS_UM = (5.0, 30.0)
"""Usual for one stroke: 10 to 30, to finish 5 to 10 (from memory)."""


class DressingStroke(NamedTuple):
    """One stroke of the diamond across the face of a wheel."""

    depth_um: float
    """What it takes off the wheel's radius."""
    lead_mm: float
    """Its way for each turn of the wheel."""
    rate_mm_min: float
    wheel_rpm: float
    """Turns of the wheel at its full diameter."""


def dressing_stroke(cutter: Cutter) -> DressingStroke | None:
    """The stroke by which a set is dressed; None where the scenario does not say how.

    Parameters
    ----------
    cutter : Cutter
        Of the checked scenario.

    Returns
    -------
    DressingStroke or None
    """
    diamond = None if cutter.renewal.dressed is None else cutter.renewal.dressed.diamond
    if diamond is None or cutter.diameter is None:
        return None
    lead_mm = dressing_lead_mm(dressed_width_mm(diamond.radius, diamond.depth / 1000.0), diamond.overlap)
    rpm = spindle_speed_rpm(diamond.speed, cutter.diameter)
    return DressingStroke(diamond.depth, lead_mm, feed_rate_mm_min(lead_mm, rpm), rpm)


def on_dressing(works: Works) -> Iterator[str]:
    """Wheels whose diamond overlaps more or less, or takes more or less, than is usual.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    str
        With what the nearest usual way would make of the finish.
    """
    for name, cutter in works.cutters.items():
        diamond = None if cutter.renewal.dressed is None else cutter.renewal.dressed.diamond
        if diamond is None:
            continue
        overlap, depth_um = _nearest(diamond.overlap, _OVERLAPS), _nearest(diamond.depth, _DEPTHS_UM)
        if (overlap, depth_um) == (diamond.overlap, diamond.depth):
            continue
        usual, own = (
            dressing_lead_mm(dressed_width_mm(diamond.radius, depth / 1000.0), lap)
            for depth, lap in ((depth_um, overlap), (diamond.depth, diamond.overlap))
        )
        factor = dressed_ra_factor(usual / own, depth_um / diamond.depth)
        yield keep(
            "desk.dressed_unusually", cutter=name, overlap=diamond.overlap, depth=diamond.depth, usual_overlap=overlap,
            usual_depth=depth_um, factor=factor,
        )  # fmt: skip


def _nearest(value: float, bounds: tuple[float, float]) -> float:
    return min(max(value, bounds[0]), bounds[1])
