"""A gauge behind an operation, and what follows from what it reads."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import (
    Length,
    Money,
    Small,
    Whole,
)
from linesim.works.base import Strict
from linesim.works.durations import Duration
from linesim.works.mishaps import Drift
from linesim.works.setting import Correction

__all__ = ["Gauge"]


class Gauge(Strict):
    """Measuring a feature after the operation, and what follows from it."""

    feature: str
    """The surface that is read: a feature of this line."""
    reads: list[Literal["size", "roughness", "position", "tilt", "form"]] = Field(default=["size"], min_length=1)
    """What is read: size, roughness, position, tilt (squareness or parallelism), form."""
    error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the gauge's error in size, µm as the drawing reads it."""
    roughness_error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the gauge's error in Ra, µm."""
    position_error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the gauge's error in position, µm."""
    tilt_error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the gauge's error in squareness or parallelism, µm."""
    form_error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the gauge's error in form, µm."""
    every: Whole = Field(default=1, ge=1, le=1_000_000)
    """One part in so many is gauged."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time of one reading."""
    limits: tuple[Length, Length] | None = None
    """Limits at this gauge, mm as the drawing reads it; the feature's unless given."""
    roughness_limit: Small | None = Field(default=None, gt=0)
    """Greatest Ra at this gauge, µm; the feature's unless given."""
    roughness_limits: tuple[Small, Small] | None = None
    """Least and greatest Ra at this gauge, µm, instead of one limit; the feature's unless given."""
    guard_band: Small = Field(default=0.0, ge=0)
    """Taken off the limits at each end, µm as the drawing reads it."""
    tries: Whole = Field(default=1, ge=0, le=100)
    """Recuts of a part that has metal left on before it is given up."""
    reject: Literal["scrap", "salvage", "pass"] = "scrap"
    """What becomes of a part that cannot be recut; pass: it is only noted."""
    salvage_cost: Money = Field(default=0.0, ge=0)
    """Cost of one part that goes to the salvage bench. In the scenario's currency."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one reading beside the time. In the scenario's currency."""
    corrects: Correction | None = None
    """The cut whose offset follows the readings; none unless given."""
    bias: Small = 0.0
    """Constant error of the gauge and its master in size, µm as the drawing reads it; plus reads larger."""
    drift: Drift | None = None
    """How the gauge wanders off between masterings; not at all unless given."""
    only: list[str] = Field(default=[], max_length=32)
    """Part types that it reads; all that have its feature unless given."""
    where: Literal["machine", "spindle", "measuring room"] = "machine"
    """Where it reads: beside the machine, which waits for it; from the spindle of the machine, as a touch probe; or in
    the measuring_room of the operation.

    spindle: once all is cut and before the part is unclamped, in minutes of the machine and without anybody. Offsets
    and rules know of it before the next part, so that a sister cutter can take over. How far the machine has grown as
    it is warm such a probe does not see, for it stands in that spindle: it reads by so much more metal than there is.
    """

    @model_validator(mode="after")
    def _ordered(self) -> Gauge:
        if self.limits is not None and not self.limits[0] < self.limits[1]:
            raise ValueError(f"the lower limit ({self.limits[0]:g} mm) must be below the upper ({self.limits[1]:g} mm)")
        if self.roughness_limits is None:
            return self
        low, high = self.roughness_limits
        if self.roughness_limit is not None:
            raise ValueError("give either roughness_limit or roughness_limits; found both")
        if not 0.0 <= low < high:
            raise ValueError(f"the lower limit ({low:g} um) must be 0 or more and below the upper ({high:g} um)")
        return self
