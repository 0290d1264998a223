"""What befalls castings, cutters, machines and gauges beside the cut: heats, broken cutters, hidden faults, drift."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import Length, Minutes, Money, Number, Share, Small, Whole, refusal
from linesim.works.base import Strict, text_or_other
from linesim.works.durations import Duration, Spread

__all__ = [
    "Broken", "Chips", "Drift", "Heats", "Life", "LifeEntry", "Mastered", "Sand", "Saved", "TappedOut", "TurnsBad",
]  # fmt: skip


class Heats(Strict):
    """Castings poured from one heat of iron share its machinability: all cutters meet it while they are cut."""

    of: Annotated[
        Annotated[Whole, Field(ge=1, le=1_000_000), Tag("other")] | Annotated[Literal["day"], Tag("text")],
        Discriminator(text_or_other),
    ]
    """Castings of one heat, by their serial numbers; "day": all that come into the line in one worked day."""
    life: Share = Field(default=0.0, ge=0, le=2)
    """Standard deviation over mean of the factor on edge life from heat to heat (lognormal, mean 1)."""
    force: Share = Field(default=0.0, ge=0, le=1)
    """Standard deviation over mean of the factor on cutting force from heat to heat (lognormal, mean 1)."""


class Sand(Strict):
    """Sand and hard spots in the skin of castings, which a tooth of the first cut hits now and then.

    Once for each part and cut in the skin, by one tooth at most. A hit chips its edge: the land is wider at once,
    before the part is cut, or the edge breaks on the way through. Where a part is cut again the spot is gone.
    """

    chance: Share = Field(gt=0, le=1)
    """Hits of one tooth in one part on average: 0.02 to 0.2 % (assumed)."""
    land: tuple[Length, Length] = (0.05, 0.2)
    """Least and greatest wear land that a hit adds, mm; all between them equally likely (assumed)."""
    breaks: Share = Field(default=0.2, ge=0, le=1)
    """Share of hits in which the edge breaks (assumed: one in five)."""

    @model_validator(mode="after")
    def _ordered(self) -> Sand:
        least, most = self.land
        if not 0.0 <= least <= most <= 5.0:
            raise ValueError(
                "two lands from 0 to 5 mm were expected, the smaller first, such as [0.05 mm, 0.2 mm]; got "
                f"{least:g} mm and {most:g} mm"
            )
        return self


class TappedOut(Strict):
    """The part is freed of what broke in it, where that succeeds, and the cut is made again with the next set."""

    share: Share = Field(ge=0, le=1)
    """Share of such parts that is saved; the others are scrap."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time it takes at the machine, within the stop for the broken set, whether it succeeds or not."""
    cost: Money = Field(default=0.0, ge=0)
    """Cost of one attempt beside the time. In the scenario's currency."""


class Saved(Strict):
    """A part in which a cutter broke may be saved."""

    salvage: TappedOut
    """How often, how long it takes and what it costs."""


Broken = Annotated[
    Annotated[Saved, Tag("other")] | Annotated[Literal["scrap", "spares the part"], Tag("text")],
    Discriminator(text_or_other),
]
"""What a breaking cutter does to the part: scrap, a share saved, or nothing."""


class TurnsBad(Strict):
    """A hidden fault: a chip that stays on a locating face, a loose clamp, a wrong offset.

    The machine turns bad before a part, unseen, and stays so until a gauge turns a part down for it; then it is set
    right before its next part, by a setter of the operation if it has any.
    """

    chance: Share = Field(gt=0, le=1)
    """Chance for each part that the machine, good so far, is bad from this part on."""
    shift: Small = 0.0
    """By how much a bad machine shifts its cuts, µm per side; plus leaves metal on, minus cuts away too much."""
    scatter: Small = Field(default=0.0, ge=0)
    """Standard deviation by which its cuts scatter from part to part beside that, µm per side."""
    tilt: Small = 0.0
    """By how much it holds the part out of square, µm over the distance of the pads, as its fixture may; the operation
    says on what it locates. A gauge that turns a part down for its tilt or position finds it at the machine that cut
    the feature last."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time of setting the machine right, once the fault is known."""

    @model_validator(mode="after")
    def _does_something(self) -> TurnsBad:
        if self.shift == 0.0 and self.scatter == 0.0 and self.tilt == 0.0:
            raise ValueError("a machine that turns bad shifts, scatters or tilts what it makes; give one of the three")
        return self


class Mastered(Strict):
    """A gauge set back on its master."""

    every: Whole = Field(ge=1, le=1_000_000)
    """Parts that one gauge reads from one mastering to the next."""
    minutes: Duration = Field(default=0.0, validate_default=True)
    """Time that it takes; the machine stands meanwhile."""


class Drift(Strict):
    """A gauge whose reading wanders off."""

    per_hour: Small = 0.0
    """Drift in one hour, µm as the drawing reads it; plus reads larger."""
    wanders: Small = Field(default=0.0, ge=0)
    """How far it wanders at random besides, this way or that: standard deviation after one hour from its mastering, µm
    as the drawing reads it. After four hours it is twice as much, as the square grows with the time; what it has
    wandered stays until it is mastered."""
    mastered: Mastered | None = None
    """How often it is set back, drift and wandering alike; never unless given."""


class Life(Strict):
    """The life of a kind of edge, and how well it is known beforehand.

    What is not known is not scatter: all edges of the kind share one factor in a replication, beside the scatter from
    edge to edge (``life_cv``). Rules and plans go by what is thought of it.
    """

    about: Minutes | None = Field(default=None, gt=0)
    """Cutting minutes to the wear limit as they are thought to be; from the extended Taylor equation unless given."""
    known_within: Number = Field(default=1.0, ge=1, le=10)
    """The true mean lies within this factor, up or down, with 95 % (lognormal about the figure); 1: known."""

    @model_validator(mode="before")
    @classmethod
    def _no_distribution(cls, value: Any) -> Any:
        if isinstance(value, dict) and value.keys() & {*Spread.model_fields, "mean", "cv"}:
            raise refusal(
                "a life is not a distribution; give the mean in minutes: how it scatters goes into life_cv, and when "
                "edges break into breaking"
            )
        return value


def _plain_or_group(value: Any) -> str:
    """Which of two kinds an entry for a life is meant to be."""
    return "other" if isinstance(value, (dict, Life)) else "text"


LifeEntry = Annotated[
    Annotated[Life, Tag("other")] | Annotated[Minutes, Field(gt=0), Tag("text")], Discriminator(_plain_or_group)
]
"""A life in minutes, or how it is known."""


class Chips(Strict):
    """Chips on the locating faces when a part is clamped."""

    located_on: str
    """The feature that rests on the fixture and is scratched by a chip."""
    chance: Share = Field(default=0.0, ge=0, le=1)
    """Chance that a chip lies there, uncleaned."""
    clean: bool = False
    """The faces are cleaned off before each clamping."""
    clean_minutes: Duration = Field(default=0.0, validate_default=True)
    """Time of cleaning off, minutes, if it is done."""
    chance_when_cleaned: Share = Field(default=0.0, ge=0, le=1)
    """Chance that a chip lies there all the same after cleaning."""
    thickness: Small = Field(default=50.0, gt=0)
    """Mean thickness by which the part is lifted, µm (lognormal)."""
    thickness_cv: Number = Field(default=0.5, ge=0, le=5)
    """Standard deviation over mean of that thickness."""
    scratch: Small = Field(default=20.0, ge=0)
    """Mean depth of the scratch on the located face, µm (lognormal)."""
    scratch_cv: Number = Field(default=0.5, ge=0, le=5)
    """Standard deviation over mean of that depth."""
