"""The first piece: the part that is gauged after a change of cutters, before the machine is trusted again."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from linesim.units import Money, Small, Whole
from linesim.works.base import Strict, text_or_other
from linesim.works.durations import Duration

__all__ = ["FirstPiece"]

_SomeOrAll = Annotated[
    Annotated[list[str], Tag("other")] | Annotated[Literal["all"], Tag("text")], Discriminator(text_or_other)
]


class FirstPiece(Strict):
    """After a change the first part is gauged, and what is read sets the offset of the cuts of the fresh edge.

    Only a cut that is the last one of its feature at this operation can be read. What is read is held against where the
    edge was aimed; if it is further off than is accepted, the whole of it is put on the offset, and the next part is
    gauged as well, up to the number of tries.
    """

    after: _SomeOrAll = "all"
    """Cutter sets after whose change a first piece is gauged; after each of them by default."""
    after_changeover: bool = False
    """Whether the first part after a changeover to another part type is gauged likewise, for each of these sets that
    cuts that type. Needs a changeover at the operation, and a machine that stands meanwhile."""
    by: str | None = None
    """The pool of people who gauge it; nobody is waited for unless given."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time until the reading is there, once somebody has come."""
    error: Small = Field(default=0.0, ge=0)
    """Standard deviation of the reading of each place, µm per side."""
    accept: Small = Field(default=0.0, ge=0)
    """Readings that are no further than this from the aim leave the offset alone, µm per side."""
    tries: Whole = Field(default=3, ge=1, le=20)
    """Pieces that are gauged at most after one change."""
    meanwhile: Literal["stands", "runs on"] = "stands"
    """What the machine does until the reading is there: it stands, or it runs on with the offset as it is.

    Where it runs on, the piece goes to a bench beside the machine once the gauges of the operation have passed it, and
    on from there when it has been gauged. What was read is put on the offset before the first part that is clamped
    after the answer, if the set is still the same; what gauges have corrected meanwhile stays. No other piece is taken
    for the same set until then.
    """
    bad: Literal["scrap", "salvage", "pass"] = "scrap"
    """What becomes of a piece of which too much was cut away or that did not clean up; pass: it is left to the gauges
    behind. Metal left on is cut again at the new offset where the machine stands; where it runs on, such a piece is bad
    as well."""
    salvage_cost: Money = Field(default=0.0, ge=0)
    """Cost of one piece that goes to the salvage bench. In the scenario's currency."""
