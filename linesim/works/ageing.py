"""Breakdowns of machines: from one to the next, ageing, repairs and planned overhauls."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import Minutes, Money, Number, Share
from linesim.works.base import Strict
from linesim.works.durations import Duration

__all__ = ["Ages", "Breakdowns", "Overhaul", "OverhaulEvery"]


def _kind_of_interval(value: Any) -> str:
    return "word" if value == "never" else "figure"


OverhaulEvery = Annotated[
    Annotated[Minutes, Field(gt=0), Tag("figure")] | Annotated[Literal["never"], Tag("word")],
    Discriminator(_kind_of_interval),
]
"""Cutting minutes from one overhaul of a machine to the next; or "never"."""


class Ages(Strict):
    """A machine that fails the more often the older it is (a power law)."""

    shape: Number = Field(ge=0.2, le=20)
    """How fast: 1 not at all, 2 twice as often at twice the age."""
    scale: Minutes = Field(gt=0)
    """Cutting minutes by which one failure of a new machine is to be expected."""
    repair_gives_back: Share = Field(default=0.0, ge=0, le=1)
    """Share of its age that a repair takes from it: 0 % leaves it as old as it was, 100 % makes it new."""


class Overhaul(Strict):
    """A planned overhaul, after which the machine is as new."""

    every: Minutes = Field(gt=0)
    """Cutting minutes from one to the next; it begins before the next part is loaded."""
    minutes: Duration
    """Time of one overhaul, once somebody is there."""
    people: str | None = None
    """The pool of people who overhaul; the operation's fitters unless given."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one overhaul beside time and people. In the scenario's currency."""


class Breakdowns(Strict):
    """Failures of the machine; the time to failure runs on cutting time only."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"between", "ages"})

    between: Duration | None = None
    """Cutting minutes from one failure to the next, if a repair makes the machine as good as new."""
    ages: Ages | None = None
    """How it ages, instead of the minutes between failures."""
    repair: Duration
    """Time of one repair, once a fitter is there."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one breakdown beside time and people. In the scenario's currency."""
    overhaul: Overhaul | None = None
    """A planned overhaul; none unless given."""

    @model_validator(mode="after")
    def _between_or_ages(self) -> Breakdowns:
        if (self.between is None) == (self.ages is None):
            answer = "both" if self.ages is not None else "neither"
            raise ValueError(f"give either between (minutes) or ages (shape and scale); found {answer}")
        return self
