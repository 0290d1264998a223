"""What surfaces cost later: tests that turn parts down, repair of these, and what is shipped and fails in the field."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import Money, Number, Share, Whole
from linesim.works.base import Strict, text_or_other
from linesim.works.durations import Duration

__all__ = ["Consequence", "FieldFailure", "Later", "Repair", "Test", "ToRepair", "Weighed"]

Weighed = Literal["size", "roughness", "scratch", "position", "tilt", "form"]
"""Component of a place from which a later failure may come; tilt stands for squareness and parallelism."""


class Consequence(Strict):
    """A failure that follows from surfaces: where the weighted sum of deviations exceeds a strength of the part.

    A deviation is the distance from the aim over that of the limit; of like places the worst counts. No published
    anchors are known: they are the shop's own, or assumptions (typical, assumed).
    """

    weights: dict[str, dict[Weighed, Number]] = Field(default={}, max_length=64)
    """By feature and component: what a deviation as large as the limit's counts, 0 or more; 1 in all as a rule."""
    at_limit: Share = Field(default=0.05, gt=0, lt=1)
    """Chance of a failure where the weighted sum is 1: all at their limits."""
    at_twice: Share = Field(default=0.5, gt=0, lt=1)
    """Chance of a failure where it is 2."""
    floor: Share = Field(default=0.0, ge=0, lt=1)
    """Chance for causes that are not surfaces (porosity, dirt)."""
    cause: str = Field(default="leak", min_length=1, max_length=80)
    """What fails. One draw for each part and cause serves all tests in turn: what passed a hard one is not failed by an
    easier one."""

    @model_validator(mode="after")
    def _rising(self) -> Consequence:
        if not self.at_limit < self.at_twice:
            raise ValueError(f"at_limit ({self.at_limit:g}) must be below at_twice ({self.at_twice:g})")
        low = [weight for row in self.weights.values() for weight in row.values() if weight < 0.0]
        if low:
            raise ValueError(f"a weight of {low[0]:g} was given; 0 or more was expected")
        return self


class Repair(Strict):
    """Putting parts right that a test has turned down, on benches beside the line."""

    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time of one repair."""
    people: str | None = None
    """The pool of people who repair; nobody is needed unless given."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one repair beside people. In the scenario's currency."""
    succeeds: Share = Field(default=0.9, gt=0, le=1)
    """Chance that one repair puts the cause right; then no later test turns the part down for it (typical, assumed)."""
    tries: Whole = Field(default=1, ge=1, le=10)
    """Repairs of one part before it is scrap."""
    back_to: str | None = None
    """Operation that the part goes back to; the test itself unless given. Cuts on the way are made again and take only
    what still stands."""
    benches: Whole = Field(default=1, ge=1, le=20)
    """Parts that can be under repair at one time."""


class ToRepair(Strict):
    """Parts that a test turns down are repaired."""

    repair: Repair
    """How."""


Rejected = Annotated[
    Annotated[ToRepair, Tag("other")] | Annotated[Literal["scrap"], Tag("text")], Discriminator(text_or_other)
]
"""What becomes of a part that a test turns down."""


class Test(Consequence):
    """An operation that tries parts: a leak test, a hot test, an assembly."""

    rejected: Rejected = "scrap"
    """What becomes of a part that is turned down: scrap, or a repair."""

    @property
    def repair(self) -> Repair | None:
        """The repair, if parts are repaired."""
        return self.rejected.repair if isinstance(self.rejected, ToRepair) else None


class FieldFailure(Consequence):
    """A failure with the customer; its expected cost is counted for each part shipped, without a draw."""

    cost: Money = Field(default=0.0, ge=0)
    """Cost of one failure. In the scenario's currency."""


class Later(Strict):
    """What is still to come when parts have left the line."""

    field: dict[str, FieldFailure] = Field(default={}, max_length=16)
    """Failures with the customer, by name."""
