"""A grinding wheel between two dressings and the diamond that dresses it, as a scenario describes them."""

from __future__ import annotations

from pydantic import Field, model_validator

from linesim.units import Length, Minutes, Number, Share, Small, Speed
from linesim.works.base import Strict

__all__ = ["Diamond", "Wheel"]


class Diamond(Strict):
    """A single diamond that dresses a wheel, and how it is fed: told on the tool-change card; no run reads it."""

    radius: Length = Field(gt=0, le=20)
    """Radius of its tip, mm."""
    depth: Small = Field(gt=0, le=1000)
    """What one stroke takes off the wheel's radius, µm: 10 to 30, to finish 5 to 10 (from memory)."""
    overlap: Number = Field(gt=0, le=1000)
    """Width that it cuts over its way for each turn of the wheel: rough 2 to 3, medium 3 to 5, fine 6 to 8 (from
    memory)."""
    speed: Speed = Field(gt=0)
    """Speed of the wheel's face while it is dressed, m/min; never above the one marked on the wheel."""

    @model_validator(mode="after")
    def _round(self) -> Diamond:
        if self.depth >= 1000.0 * self.radius:
            raise ValueError(
                f"a depth of {self.depth:g} um is not below the radius of the tip ({1000.0 * self.radius:g} um); "
                "a depth below it was expected"
            )
        return self


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
