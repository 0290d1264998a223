"""The surfaces of a part that matter, what the drawing asks of them and what the casting brings."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from linesim.units import Length, Money, Number, Share, Small, Whole
from linesim.works.base import Strict
from linesim.works.losses import Loss
from linesim.works.placing import Limited

__all__ = ["AsCast", "Feature", "Roughness", "Scratch", "Size"]


class Size(Strict):
    """The size that the drawing asks for, as it gives it (a diameter for a bore), and what missing it costs."""

    limits: tuple[Length, Length]
    """Lower and upper limit, mm; for a run-out the first is 0."""
    aim: Length | None = None
    """Size the line sets out to make, mm; the middle of the limits unless given."""
    loss_at_limit: Loss = Field(default=0.0, ge=0)
    """Quality loss of one place that is just at a limit: A in k = A / Δ² (Taguchi). In the scenario's currency, or
    "as rejected": what rejecting the part at the last gauge that turns it down for this costs."""
    loss_cap: Money | None = Field(default=None, gt=0)
    """Greatest loss that one place can cause; none unless given. In the scenario's currency."""

    @model_validator(mode="after")
    def _ordered(self) -> Size:
        low, high = self.limits
        if not low < high:
            raise ValueError(f"the lower limit ({low:g} mm) must be below the upper one ({high:g} mm)")
        if self.aim is not None and not low <= self.aim <= high:
            raise ValueError(f"the aim ({self.aim:g} mm) must lie within the limits ({low:g} to {high:g} mm)")
        return self


class Roughness(Strict):
    """The finish that the drawing asks for, Ra (ISO 21920-2): smaller is better, or there is a least one too."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"limit", "limits"})

    limit: Small | None = Field(default=None, gt=0)
    """Greatest Ra allowed, µm, where smaller is better."""
    limits: tuple[Small, Small] | None = None
    """Least and greatest Ra allowed, µm, where a surface can be too smooth (a soft gasket's face, a honed bore)."""
    aim: Small | None = None
    """With two limits, the Ra that is best, µm; their middle unless given."""
    loss_at_limit: Loss = Field(default=0.0, ge=0)
    """Quality loss of one place whose Ra is just at the limit (the upper of two). In the scenario's currency, or "as
    rejected"."""
    loss_at_low_limit: Money | None = Field(default=None, ge=0)
    """With two limits, the loss of one place just at the lower one; as at the upper unless given. In the scenario's
    currency."""
    loss_cap: Money | None = Field(default=None, gt=0)
    """Greatest loss that one place can cause; none unless given. In the scenario's currency."""

    @model_validator(mode="after")
    def _one_or_two(self) -> Roughness:
        if (self.limit is None) == (self.limits is None):
            answer = "neither" if self.limit is None else "both"
            raise ValueError(f"give either limit (smaller is better) or limits (lower and upper); found {answer}")
        if self.limits is None and (self.aim is not None or self.loss_at_low_limit is not None):
            raise ValueError("aim and loss_at_low_limit belong to two limits; give limits: [lower, upper]")
        if not 0.0 <= self.low < self.high:
            raise ValueError(
                f"the lower limit ({self.low:g} um) must be 0 or more and below the upper ({self.high:g} um)"
            )
        if self.limits is not None and not self.low < self.best < self.high:
            raise ValueError(f"the aim ({self.best:g} um) must lie between the limits ({self.low:g}, {self.high:g} um)")
        return self

    @property
    def low(self) -> float:
        """Least Ra allowed, µm; 0 where smaller is better."""
        return 0.0 if self.limits is None else self.limits[0]

    @property
    def high(self) -> float:
        """Greatest Ra allowed, µm."""
        if self.limits is not None:
            return self.limits[1]
        assert self.limit is not None
        return self.limit

    @property
    def best(self) -> float:
        """Ra at which there is no loss, µm; 0 where smaller is better."""
        if self.limits is None:
            return 0.0
        return (self.low + self.high) / 2.0 if self.aim is None else self.aim


class Scratch(Strict):
    """How deep a scratch may be on the finished surface, and how often a move between operations makes one."""

    limit: Small = Field(gt=0)
    """Greatest depth allowed, µm."""
    loss_at_limit: Money = Field(default=0.0, ge=0)
    """Quality loss of one place whose scratch is just at the limit. In the scenario's currency."""
    loss_cap: Money | None = Field(default=None, gt=0)
    """Greatest loss that one place can cause; none unless given. In the scenario's currency."""
    chance_per_move: Share = Field(default=0.0, ge=0, le=1)
    """Chance that one move to the next operation scratches one place that is already machined."""
    depth: Small = Field(default=10.0, gt=0)
    """Mean depth of such a scratch, µm (lognormal)."""
    depth_cv: Number = Field(default=0.5, ge=0, le=5)
    """Standard deviation over mean of that depth."""


class AsCast(Strict):
    """The feature as the foundry delivers it."""

    stock: Length | None = Field(default=None, ge=0)
    """Metal per side to be taken off in all, mm; the sum of the depths of its cuts unless given."""
    spread: Small = Field(default=0.0, ge=0)
    """Standard deviation of the casting's surface about its nominal place, µm per side."""
    roughness: Small = Field(default=25.0, ge=0)
    """Ra of the casting's skin, µm."""
    position: Small = Field(default=0.0, ge=0)
    """Standard deviation of a cored axis about its place (core shift), µm; typically 500 (from memory)."""
    tilt: Small = Field(default=0.0, ge=0)
    """Standard deviation of its tilt over the feature's length, µm; typically 200 (from memory)."""
    form: Small = Field(default=0.0, ge=0)
    """Out of round, taper or out of flat as cast, µm; typically 200 to 400 (from memory)."""


class Feature(Strict):
    """A surface of the part that matters."""

    kind: Literal["face", "bore", "depth", "position", "run-out"] = "face"
    """How the drawing reads it: height of a face, diameter of a bore, depth, position to either side, total run-out."""
    places: Whole = Field(default=1, ge=1, le=64)
    """How many like places the part has (three cylinder bores: 3)."""
    diameter: Length | None = Field(default=None, gt=0)
    """Nominal diameter of a bore, mm; the middle of its limits unless given."""
    size: Size | None = None
    """Size that the drawing asks for; not followed unless given."""
    roughness: Roughness | None = None
    """Finish that the drawing asks for; not followed unless given."""
    scratch: Scratch | None = None
    """Scratches that the drawing allows; not followed unless given."""
    position: Limited | None = None
    """How far a bore's axis may be off its place, in one direction; not followed unless given."""
    squareness: Limited | None = None
    """How far it may be out of square with its datum, over its length; not followed unless given."""
    parallelism: Limited | None = None
    """How far it may be out of parallel with its datum, over its length; not followed unless given."""
    form: Limited | None = None
    """How far a bore may be out of round and tapered, or a face out of flat; not followed unless given."""
    length: Length | None = Field(default=None, gt=0)
    """Length over which tilt counts, mm; that of its longest cut unless given."""
    height: Length = Field(default=0.0, ge=0)
    """Height above the locating pads, mm: a tilted part stands aside there."""
    thickness: Length | None = Field(default=None, gt=0)
    """Thickness of the part below a face, mm: stress let go by a layer bows it, in place of moving the size."""
    as_cast: AsCast = AsCast()
    """Metal and unevenness that the casting brings."""
    only: list[str] = Field(default=[], max_length=32)
    """Part types that have it, so that only they are cut and gauged there; all unless given."""

    @model_validator(mode="after")
    def _run_out_from_zero(self) -> Feature:
        if self.kind == "run-out" and self.size is not None and self.size.limits[0] != 0:
            raise ValueError(f"a run-out starts at 0, but its lower limit is {self.size.limits[0]:g} mm")
        return self

    @model_validator(mode="after")
    def _as_its_kind_has_it(self) -> Feature:
        if self.squareness is not None and self.parallelism is not None:
            raise ValueError("squareness and parallelism are both the tilt over its length; give one of them")
        if self.as_cast.position > 0.0 and self.kind != "bore":
            raise ValueError(f"a core shift moves a bore; the spread of a {self.kind} as cast is its position")
        if self.position is not None and self.kind != "bore":
            raise ValueError(f"the position of a {self.kind} is its size; a position is limited for a bore only")
        if self.thickness is not None and self.kind not in ("face", "depth"):
            raise ValueError(f"a {self.kind} does not bow the part; a thickness belongs to a face or a depth")
        return self

    @property
    def tilt(self) -> Limited | None:
        """Limit of the tilt, as squareness or as parallelism."""
        return self.squareness if self.parallelism is None else self.parallelism
