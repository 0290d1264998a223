"""The engine for which the parts are made: what is needed to say in an engine builder's words what a size does."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field, model_validator

from linesim.units import Length, Number, Small
from linesim.works.base import Strict

__all__ = ["Bearings", "Chambers", "Deck", "EngineData", "Gasket", "Pistons", "Surface"]


class Surface(Strict):
    """A feature of one of the lines."""

    line: str
    """The line."""
    feature: str
    """The feature of that line."""


class Deck(Surface):
    """The face on which the head stands; its height moves the piston against it."""

    piston_below: Length = 0.0
    """How far the piston's edge stays below a face at its aim, mm; negative if it stands proud."""


class Chambers(Strict):
    """The chambers in the head."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"sphere", "diameter"})

    line: str | None = None
    """The line that makes them; without it they are all as deep as ``depth`` says."""
    feature: str | None = None
    """The feature of that line, a depth."""
    depth: Length | None = Field(default=None, gt=0)
    """Depth where no line makes them, mm."""
    sphere: Length | None = Field(default=None, gt=0)
    """Radius of the sphere of which the chamber is a cap, mm."""
    diameter: Length | None = Field(default=None, gt=0)
    """Diameter of a chamber with straight walls, mm."""
    rim: str | None = None
    """Face of the same line that is cut after the chambers; metal left on it makes them deeper."""

    @model_validator(mode="after")
    def _one_shape(self) -> Chambers:
        if (self.sphere is None) == (self.diameter is None):
            raise ValueError("give either sphere (the radius of a cap) or diameter (straight walls)")
        if (self.line is None) != (self.feature is None) or (self.line is None) == (self.depth is None):
            raise ValueError("give either the line and the feature that make the chambers, or their depth")
        return self


class Gasket(Strict):
    """The head gasket, pressed."""

    thickness: Length = Field(ge=0)
    """Pressed thickness, mm."""
    diameter: Length = Field(gt=0)
    """Diameter of its opening, mm."""
    finish: tuple[Small, Small] | None = None
    """Least and greatest Ra of the faces that its maker asks for, µm."""
    faces: list[Surface] = Field(default=[], max_length=8)
    """Faces that it lies between."""


class Pistons(Strict):
    """Pistons by the classes in which they are bought."""

    sizes: list[Length] = Field(min_length=1, max_length=40)
    """Diameter of each class, mm."""
    clearance: tuple[Length, Length]
    """Least and greatest clearance on the diameter, mm."""
    dome: Number = 0.0
    """Volume by which the crown stands above its edge, cm³; negative for a dish."""

    @model_validator(mode="after")
    def _ordered(self) -> Pistons:
        if not self.clearance[0] < self.clearance[1]:
            low, high = self.clearance
            raise ValueError(f"the least clearance ({low:g} mm) must be below the greatest ({high:g} mm)")
        return self


class Bearings(Surface):
    """A row of bores in one line, evenly spaced."""

    off_line: Small = Field(default=12.5, gt=0)
    """How far one may stand off the line through the outer ones, µm."""
    step: Small = Field(default=12.5, gt=0)
    """Greatest difference between neighbours, µm."""


class EngineData(Strict):
    """The engine."""

    about: str = ""
    """Remarks, for people."""
    stroke: Length = Field(gt=0)
    """Stroke of the pistons, mm."""
    bores: Surface
    """The cylinder bores; each of their places is a cylinder."""
    deck: Deck | None = None
    """The face on which the head stands."""
    chambers: Chambers | None = None
    """The chambers in the head; without them there is no compression ratio."""
    gasket: Gasket | None = None
    """The head gasket."""
    pistons: Pistons | None = None
    """Pistons by class."""
    bearings: dict[str, Bearings] = Field(default={}, max_length=8)
    """Rows of bores that a shaft runs in, by name."""
    seats: Surface | None = None
    """The valve seats, a run-out."""
    seat_limit: Length = Field(default=0.05, gt=0)
    """Greatest total run-out of a seat to its guide, mm; 0.05 from a workshop manual (US Army TM 5-3805-255-14)."""

    @property
    def surfaces(self) -> dict[tuple[str | int, ...], tuple[str, str]]:
        """Line and feature of everything that is spoken of, by the place where it stands."""
        named: dict[tuple[str | int, ...], tuple[str, str]] = {("bores",): (self.bores.line, self.bores.feature)}
        if self.deck is not None:
            named["deck",] = (self.deck.line, self.deck.feature)
        if self.chambers is not None and self.chambers.line is not None:
            named["chambers",] = (self.chambers.line, str(self.chambers.feature))
            if self.chambers.rim is not None:
                named["chambers", "rim"] = (self.chambers.line, self.chambers.rim)
        for number, face in enumerate(self.gasket.faces if self.gasket else []):
            named["gasket", "faces", number] = (face.line, face.feature)
        for name, row in self.bearings.items():
            named["bearings", name] = (row.line, row.feature)
        if self.seats is not None:
            named["seats",] = (self.seats.line, self.seats.feature)
        return named
