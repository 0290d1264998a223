"""How a part sits and how true its surfaces lie: position, tilt and form; locating, clamping, fixtures."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import Force, Length, Money, Share, Small, Stiffness, Whole
from linesim.works.base import Strict, text_or_other
from linesim.works.losses import Loss

__all__ = ["Clamping", "Fixture", "Fixtures", "Leaves", "Limited", "Locating"]


class Limited(Strict):
    """How far a component of a place may be off, and what that costs; nothing off is best."""

    limit: Small = Field(gt=0)
    """Greatest amount allowed, µm, to either side."""
    loss_at_limit: Loss = Field(default=0.0, ge=0)
    """Quality loss of one place that is just at the limit. In the scenario's currency, or "as rejected"."""
    loss_cap: Money | None = Field(default=None, gt=0)
    """Greatest loss that one place can cause; none unless given. In the scenario's currency."""


class Leaves(Strict):
    """What a cut leaves of the position, tilt and form of the place that it finds, and what it adds of its own.

    A blade or a mill leaves its copying factor of all three, as with the size; a reamer and a hone follow the hole, so
    that they leave position and tilt whole.
    """

    position: Share | None = Field(default=None, ge=0, le=1)
    """Share of the position left; the process's unless given."""
    tilt: Share | None = Field(default=None, ge=0, le=1)
    """Share of the tilt left; the process's unless given."""
    form: Share | None = Field(default=None, ge=0, le=1)
    """Share of the form left; the process's unless given."""
    own_position: Small | None = Field(default=None, ge=0)
    """Standard deviation of the position it adds, µm; its repeatability, or none where it follows the hole."""
    own_form: Small | None = Field(default=None, ge=0)
    """Form that it adds whatever it finds, µm (a tilted spindle, lobes of a reamer); the process's unless given."""


class Locating(Strict):
    """The feature on which an operation locates the part.

    Its tilt, form and scratch pass on to what is cut: a tilted face tilts the part (by its tilt over its length), a
    bowed one is clamped flat and springs back, and the burr of a scratch lifts the part as a chip of that depth would.
    A feature with as many places as the one that is cut is taken place by place (a seat on its own guide), else its
    first place counts.
    """

    on: str
    """The datum: a feature of this line, not cut by this operation."""
    pads: Length = Field(gt=0)
    """Distance of the locating pads L, mm: what lies under one of them tilts the part by its thickness over L."""


class Clamping(Strict):
    """How far the clamps bend the part: it is cut true while bent and springs back, which goes to form."""

    bends: Small | None = Field(default=None, ge=0)
    """How far the part is bent where it is cut, µm; typically 5 to 30 (from memory)."""
    force: Force | None = Field(default=None, ge=0)
    """Clamping force, N, in place of how far it bends."""
    stiffness: Stiffness | None = Field(default=None, gt=0)
    """Stiffness of the part where it is clamped, N/µm; with the force."""

    @model_validator(mode="after")
    def _one_way(self) -> Clamping:
        if (self.bends is None) == (self.force is None) or (self.force is None) != (self.stiffness is None):
            raise ValueError("give either how far it bends, or force and stiffness")
        return self


class Fixture(Strict):
    """One fixture as it was measured."""

    position: Small = 0.0
    """How far it holds the part aside, µm; for a face or a depth, how much too high."""
    tilt: Small = 0.0
    """How far it holds the part out of square, µm over the distance of the pads."""


_Count = Annotated[
    Annotated[Whole, Field(ge=1, le=10_000), Tag("other")] | Annotated[Literal["pallets"], Tag("text")],
    Discriminator(text_or_other),
]


class Fixtures(Strict):
    """Fixtures of an operation, each with an error of its own that stays the same for the whole run.

    Castings take them in turn, by their serial number. Pallets go with their part through the line, so that all
    operations which say "pallets" meet the same error; they come round in turn as well.
    """

    count: _Count = 1
    """How many there are: a number, or "pallets" for the line's pallets."""
    position: Small = Field(default=0.0, ge=0)
    """Standard deviation of how far one holds the part aside, µm; for a face or a depth, too high or too low."""
    tilt: Small = Field(default=0.0, ge=0)
    """Standard deviation of how far one holds it out of square, µm over the distance of the pads."""
    measured: list[Fixture] = Field(default=[], max_length=1000)
    """Errors of the fixtures as measured, in place of drawn ones: one entry for each."""

    @model_validator(mode="after")
    def _as_many(self) -> Fixtures:
        if self.measured and (self.position or self.tilt):
            raise ValueError("measured fixtures have their own errors; leave out position and tilt, which draw them")
        if self.measured and self.count not in (1, len(self.measured)):
            raise ValueError(f"{len(self.measured)} fixtures were measured; leave out count, or give that number")
        return self
