"""How parts come to an operation from the one before: by hand or truck, by carriers, on a conveyor."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, Field, model_validator

from linesim.units import Length, MoneyPerHour, Speed, Whole
from linesim.works.base import AlsoTaken, Strict
from linesim.works.durations import Duration, Spread

__all__ = ["Move", "MoveEntry", "transit"]


class Move(Strict):
    """The way to this operation: minutes, with so many carriers or without; or a conveyor.

    Parts on their way are in the line, and stand neither on a machine nor in a buffer.

    Minutes alone: whoever is there takes the part as soon as there is room for it before the operation, those on their
    way counted in; with no buffer, as soon as a machine waits for it. None overtakes another.

    With carriers: a part leaves its machine when a carrier is there; the carrier waits with it until there is room
    before the operation, and comes back empty. Where times are drawn, one carrier may overtake another.

    On a conveyor parts keep their order and a pitch between them. It holds as many as its length has pitches, and needs
    no buffer: parts wait at its end, or all along it.
    """

    alternatives: ClassVar[frozenset[str]] = frozenset({"minutes", "length"})

    minutes: Duration | None = None
    """Time of the way there."""
    carriers: Whole | None = Field(default=None, ge=1, le=100)
    """Carriers (trucks, shuttles, people) that take one part each; as many as are wanted unless given."""
    back: Duration | None = None
    """Time in which a carrier comes back empty; as long as the way there unless given."""
    length: Length | None = Field(default=None, gt=0)
    """Length of the conveyor, mm."""
    speed: Speed | None = Field(default=None, gt=0)
    """Its speed, m/min."""
    pitch: Length | None = Field(default=None, gt=0)
    """What one part takes of its length, mm."""
    accumulates: bool = True
    """Whether parts close up behind one that waits at the end; if not, all of the conveyor stops."""
    rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Hire, or write-off and interest, of each carrier or of the conveyor for one worked hour, used or not. In the
    scenario's currency."""

    @model_validator(mode="after")
    def _one_way(self) -> Move:
        belt = {"length": self.length, "speed": self.speed, "pitch": self.pitch}
        lacking = [name for name, value in belt.items() if value is None]
        if self.minutes is None and lacking:
            raise ValueError(
                f"give the minutes, or a conveyor's length, speed and pitch; missing: {', '.join(lacking)}"
            )
        if self.minutes is not None and len(lacking) < len(belt):
            raise ValueError("give either minutes or a conveyor's length, speed and pitch; found both")
        if self.carriers is not None and self.minutes is None:
            raise ValueError("a conveyor has no carriers; give minutes, or leave them out")
        if self.rate > 0.0 and self.minutes is not None and self.carriers is None:
            raise ValueError("a rate is that of carriers or of a conveyor; say how many carriers, or leave rate out")
        if self.back is not None and self.carriers is None:
            raise ValueError("only carriers come back; say how many, or leave back out")
        if self.minutes is None and self.places < 1:
            raise ValueError(f"a conveyor of {self.length:g} mm has no room for a part that takes {self.pitch:g} mm")
        return self

    @property
    def pieces(self) -> int:
        """Carriers, or the one conveyor, that are paid for."""
        return 1 if self.is_conveyor else self.carriers or 0

    @property
    def is_conveyor(self) -> bool:
        """Whether it is a conveyor."""
        return self.minutes is None

    @property
    def places(self) -> int:
        """Parts that a conveyor holds."""
        assert self.length is not None and self.pitch is not None  # noqa: PT018 - checked together
        # A hair more, as 2.4 m of 0.8 m are three places although the quotient may fall short of it.
        return int(self.length / self.pitch * (1.0 + 1e-9))

    @property
    def transit_min(self) -> float:
        """Minutes from one end of a conveyor to the other, if nothing stands in the way."""
        assert self.length is not None and self.speed is not None  # noqa: PT018 - checked together
        return self.length / 1000.0 / self.speed

    @property
    def gap_min(self) -> float:
        """Least minutes from one part to the next on a conveyor."""
        assert self.pitch is not None and self.speed is not None  # noqa: PT018 - checked together
        return self.pitch / 1000.0 / self.speed


def _from_plain(value: Any) -> Any:
    """A plain number or text such as "0.5 min" is the time of the way."""
    return value if value is None or isinstance(value, (dict, Move)) else {"minutes": value}


MoveEntry = Annotated[
    Move,
    BeforeValidator(_from_plain),
    AlsoTaken(
        {"type": "number", "minimum": 0, "description": "minutes of the way"},
        {"type": "string", "description": 'time of the way with its unit, such as "0.5 min"'},
    ),
]
"""Minutes of the way, or a group of entries."""


def transit(move: Move) -> Spread:
    """The time of the way of a part, fixed on a conveyor."""
    return move.minutes if move.minutes is not None else Spread(fixed=move.transit_min)
