"""EdgeSetting a fresh edge: how well it is set, where it is aimed, and what a policy says of a gauge's correction."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import Share, Small, Whole
from linesim.works.base import Strict

__all__ = ["Aim", "Correction", "CorrectionChange", "EdgeSetting"]


class EdgeSetting(Strict):
    """How far a fresh edge stands from where it was meant to stand; all cuts of one change share one error."""

    error: Small | None = Field(default=None, ge=0)
    """Standard deviation from change to change, µm per side; by seat unless given, and 0 without a seat."""
    bias: Small = 0.0
    """Mean, µm per side: plus where the edge stands deeper in the metal than it was set for."""
    step: Small = Field(default=0.0, ge=0)
    """Least step by which the machine sets the offset of its cuts, µm per side; any amount unless given.

    What the reading of a first piece or of a gauge puts on an offset is rounded to whole steps, half a step to the next
    one further from 0. What rounds to none is no correction: the offset stays, nothing is counted, and no further first
    piece is asked for. Aims, setting errors and what is set by hand in a lesson are not rounded.
    """


def _kind_of_aim(value: Any) -> str:
    return "word" if value == "centred" else "figure"


Aim = Annotated[
    Annotated[Small, Tag("figure")] | Annotated[Literal["centred"], Tag("word")],
    Discriminator(_kind_of_aim),
]
"""By how much deeper than the surface intended a fresh edge is set, µm per side (less than 0: shallower); or "centred":
as deep as makes the mean of its drift 0 over the interval that its rule plans."""


class Correction(Strict):
    """A gauge that sets the offset of a cut."""

    cut: str
    """Name of the cut."""
    operation: str | None = None
    """Operation of the cut, if it is an earlier one."""
    share: Share = Field(default=1.0, gt=0, le=2)
    """Part of the error read that is put on the offset."""
    dead_band: Small = Field(default=0.0, ge=0)
    """Errors read up to this are left alone, µm per side."""


class CorrectionChange(Strict):
    """What a policy has a gauge do with its readings, and how often it reads, in place of the gauge's own figures."""

    expected: ClassVar[str] = "a share, a dead band, every or several, such as {share: 0.5, dead_band: 3 um, every: 2}"

    share: Share | None = Field(default=None, ge=0, le=2)
    """Part of the error read that is put on the offset; 0 leaves the offset alone; the gauge's own unless given."""
    dead_band: Small | None = Field(default=None, ge=0)
    """Errors read up to this are left alone, µm per side; the gauge's own unless given."""

    every: Whole | None = Field(default=None, ge=1, le=1_000_000)
    """One part in so many is read; the gauge's own unless given."""

    @model_validator(mode="after")
    def _any(self) -> CorrectionChange:
        if self.share is None and self.dead_band is None and self.every is None:
            raise ValueError("a share, a dead_band, every or several are needed")
        return self
