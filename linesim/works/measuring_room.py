"""The measuring room: parts of an operation are read away from the machine, and the answer comes later."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import Whole
from linesim.works.base import Strict
from linesim.works.durations import Duration

__all__ = ["MeasuringRoom"]


class MeasuringRoom(Strict):
    """Where the gauges of the operation read that say ``where: measuring room``.

    Each takes one part in so many (``every``) of each machine; a part that several of them want is carried once and
    read by them in turn. Correction of an offset, rules on the gauge, the finding of a hidden fault and the rejection
    of the part act when the reading is done: what was made before the last correction corrects once more, unless the
    share is small. Nothing is cut again for it: metal left on is rejected as well.

    Of a line that makes several part types a gauge reads those that it is for; an answer speaks for all parts of its
    machine, whatever their type.
    """

    carry: Duration = Field(default=0.0, validate_default=True)
    """Time from the machine until the part lies in the room, by whoever passes; no one is waited for."""
    by: str | None = None
    """The pool of people who read there; nobody is waited for unless given. A reading takes its gauge's ``minutes``."""
    benches: Whole = Field(default=1, ge=1, le=20)
    """Parts of this operation that can be read there at the same time, each at a measuring machine or bench of its
    own; the others wait in the order in which they were sent."""
    part: Literal["taken away", "marked"] = "taken away"
    """The part itself is taken away and goes on behind the machine once it has been read; or it is marked and goes on
    at once, and what is read is the surface as it left the machine (a replica, a trace, a part of the same stroke)."""
    meanwhile: Literal["runs on", "quarantine", "sweep back", "stands"] = "runs on"
    """What happens to the other parts until the answer is there, and after one that turns its part down.

    runs on: they go on, and nobody looks back. quarantine: they stand behind the machine, in any number, until a part
    of the same machine that was made later, or they themselves, have been read. sweep back: they go on, and after a
    bad answer those still in the line are sorted, each before the next machine begins with it or as the last one is
    done with it; what has been shipped is gone. Once sorted it lies down behind those that wait for that machine, and
    sets out once more where parts keep their order on the way there (by minutes, on a conveyor); a batch that is about
    to begin runs without it. stands: the machine stands until the answer is there.

    After a bad answer all parts are sorted that the machine has begun since the last one that was read good, up to the
    moment of the answer: each is read by the gauges of the room, by its people, one after another for each machine, and
    goes on or is rejected as the gauge says.
    """

    @model_validator(mode="after")
    def _stands_for_a_part(self) -> MeasuringRoom:
        if self.meanwhile == "stands" and self.part == "marked":
            raise ValueError(
                "a machine that stands until the answer is there has its part taken away; leave marked out"
            )
        return self
