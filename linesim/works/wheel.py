"""A grinding wheel between two dressings, as a scenario describes it."""

from __future__ import annotations

from pydantic import Field

from linesim.units import Length, Minutes, Number, Share, Small, Speed
from linesim.works.base import Strict

__all__ = ["Wheel"]


class Wheel(Strict):
    """How a wheel wears and glazes between dressings; the cutter's diameter is that of the wheel."""

    g_ratio: Number = Field(default=40.0, gt=0, le=100_000)
    """Metal ground over wheel lost, by volume: 20 to 80 for conventional wheels (assumed: 40)."""
    track: Length | None = Field(default=None, gt=0)
    """Length ground at one place, mm: round a seat, along a face; round the feature's diameter unless given."""
    wear_to_size: Share | None = Field(default=None, ge=0, le=1)
    """Share of the wheel's wear that shows in size: 1 for a face, the cosine of its angle for a seat, 0 where the
    machine makes up for it. Unless given 1; for a run-out half the share that goes to form, as it is read twice."""
    glazed_roughness: Small | None = Field(default=None, gt=0)
    """Ra of the glazed wheel, µm; from the abrasive's growth unless given."""
    settles: Number = Field(default=0.33, gt=0, le=100)
    """Life share by which roughness has gone 63 % of the way from dressed to glazed (assumed: a third)."""
    spark_out_constant: Minutes = Field(default=1.0 / 60.0, gt=0, le=60)
    """Time in which a freshly dressed wheel sparks out 63 % of the deflection, minutes (assumed: one second)."""
    energy: Number = Field(default=20.0, gt=0, le=1000)
    """Specific energy of the freshly dressed wheel, J/mm³: 10 to 40 in iron, 20 to 60 in steel (assumed: 20)."""
    pass_depth: Length = Field(default=0.02, gt=0, le=5)
    """Depth of a pass over the work, mm, for the warning of burning (assumed: 0.02)."""
    work_speed: Speed = Field(default=12.0, gt=0)
    """Speed of the work, m/min, for the warning of burning (assumed: 12)."""
