"""Cuts of a feature by a cutter set, and strokes, in which cuts are made at the same time."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import Feed, Length, Minutes, Number, Removal, Share, Small, Speed, Stiffness, StressRate, Whole
from linesim.works.bar import Bar
from linesim.works.base import Strict
from linesim.works.placing import Leaves

__all__ = ["Cut", "Stroke"]

Process = Literal["milling", "boring", "drilling", "reaming", "honing", "grinding"]


class Cut(Strict):
    """One cut of one feature by one cutter set."""

    feature: str
    """The surface that is cut: a feature of this line."""
    cutter: str
    """The cutter set that makes the cut: one of the cutters of this works."""
    process: Process
    """Kind of cut; it settles how minutes, force and roughness are worked out."""
    depth: Length = Field(gt=0)
    """Depth of cut a, mm per side."""
    speed: Speed | None = Field(default=None, gt=0)
    """Cutting speed v, m/min; not for honing and grinding timed by their removal rate."""
    feed: Feed | None = Field(default=None, gt=0)
    """Feed f: mm per tooth in milling, mm per revolution otherwise."""
    length: Length | None = Field(default=None, gt=0)
    """Length of cut at one place, mm."""
    width: Length | None = Field(default=None, gt=0)
    """Width of cut, mm: in milling the width of the face under the cutter."""
    approach: Length = Field(default=2.0, ge=0)
    """Feed travel before the cut begins, mm (in milling beyond what the cutter's diameter asks)."""
    overrun: Length = Field(default=2.0, ge=0)
    """Feed travel after the cut ends, mm."""
    removal: Removal | None = Field(default=None, gt=0)
    """Honing and grinding: rate at which the surface is taken down, µm per minute per side."""
    spark_out: Minutes = Field(default=0.0, ge=0, le=60)
    """Honing and grinding: minutes without further infeed."""
    stops: Literal["by time", "at size"] | None = None
    """Honing by time takes the same everywhere and leaves the size error whole; honed by a gauge it stops at size, and
    takes as long as the stock it finds. Unless given the abrasive's copying factor says what is left."""
    minutes: Minutes | None = Field(default=None, gt=0, le=10_000)
    """Cutting minutes for one pass, if they are known and not to be worked out."""
    at_once: Whole = Field(default=1, ge=1, le=64)
    """Places cut at the same time (spindles of a multi-spindle head)."""
    bar: Bar | None = None
    """The boring bar, if the blade sits on one."""
    stiffness: Stiffness | None = Field(default=None, gt=0)
    """Static stiffness of machine, fixture and work at this cut, N/µm; the operation's unless given."""
    in_skin: bool | None = None
    """Runs in the casting's skin; the first cut of a feature does, unless stated otherwise."""
    copying: Share | None = Field(default=None, ge=0, lt=1)
    """Share of the error found that a sharp edge leaves, if known; from force and stiffness unless given."""
    repeatability: Small = Field(default=1.0, ge=0)
    """Standard deviation of the machine's return to the same place, µm."""
    stress_release: StressRate | None = Field(default=None, ge=0)
    """Movement let go by the metal taken off, µm per mm of depth (standard deviation); the material's unless given."""
    roughness_cv: Number = Field(default=0.08, ge=0, le=2)
    """Scatter of Ra from cut to cut (lognormal)."""
    roughness_floor: Small | None = Field(default=None, ge=0)
    """Ra that the process cannot better, µm; the grade's or process's unless given."""
    leaves: Leaves = Leaves()
    """What it leaves of the position, tilt and form that it finds, and adds of its own; the process's unless given."""
    only: list[str] = Field(default=[], max_length=32)
    """Part types for which it is made; for all that have its feature unless given."""

    @model_validator(mode="after")
    def _stops_once(self) -> Cut:
        if self.stops is not None and self.process != "honing":
            raise ValueError(f"stops belongs to honing; the cut is {self.process}")
        if self.stops is not None and self.copying is not None:
            raise ValueError("stops and copying both say what is left of the error found; give one of them")
        if self.stops == "at size" and self.minutes is not None:
            raise ValueError("honing that stops at size takes as long as it needs; leave minutes out")
        return self


class Stroke(Strict):
    """One feed motion with one or more cuts at the same time; it lasts as long as the longest."""

    cuts: dict[str, Cut] = Field(min_length=1, max_length=32)
    """Cuts that are made at the same time, by name; each by a cutter set of its own."""
    only: list[str] = Field(default=[], max_length=32)
    """Part types for which it is made; for all unless given."""
