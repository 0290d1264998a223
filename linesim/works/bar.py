"""A boring bar, and where a blade sits on it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import Angle, Length, Number
from linesim.works.base import Strict

__all__ = ["Bar"]


class Bar(Strict):
    """A boring bar between the spindle and the blade; its stiffness works in series with the machine's."""

    diameter: Length = Field(gt=0)
    """Diameter of the bar, mm."""
    overhang: Length = Field(gt=0)
    """Free length of the bar, mm; between bearings for a bar held at both ends."""
    modulus: Number = Field(default=206_000.0, gt=0)
    """Young's modulus, N/mm²."""
    held: Literal["one end", "both ends"] = "one end"
    """Free at its end, or running in bearings at both ends."""
    station: Length | None = Field(default=None, gt=0)
    """Where the blade sits, mm from the held end or from one bearing; the overhang, or the middle, unless given."""
    angle: Angle = Field(default=0.0, ge=0, lt=360)
    """Angle round the bar from the blade that leads it in the same stroke, degrees; 0 is the same side.

    Cuts of one feature that follow one another in a stroke on equal bars sit on one bar: the first leads.
    """

    @property
    def station_mm(self) -> float:
        """Where the blade sits, mm."""
        if self.station is not None:
            return self.station
        return self.overhang if self.held == "one end" else self.overhang / 2.0

    def is_same(self, other: Bar) -> bool:
        """Whether both are one bar, as far as its measures say."""
        return self._measures == other._measures

    @property
    def _measures(self) -> tuple[float, float, float, str]:
        return self.diameter, self.overhang, self.modulus, self.held

    @model_validator(mode="after")
    def _on_the_bar(self) -> Bar:
        is_past = self.station_mm > self.overhang or (self.held == "both ends" and self.station_mm == self.overhang)
        if is_past:
            raise ValueError(f"the station ({self.station_mm:g} mm) must lie on the bar ({self.overhang:g} mm)")
        return self
