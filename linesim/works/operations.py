"""Operations of a line: machines, strokes, cuts, chips, gauges and breakdowns."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from linesim.units import (
    MoneyPerHour,
    Number,
    Power,
    Share,
    Small,
    Stiffness,
    StressRate,
    Whole,
)
from linesim.works.ageing import Breakdowns
from linesim.works.bar import Bar
from linesim.works.base import Marks, Strict, text_or_other
from linesim.works.batch import Batch
from linesim.works.breakage_probe import BreakageProbe
from linesim.works.consequences import Test
from linesim.works.cut import Cut, Stroke
from linesim.works.durations import Duration
from linesim.works.first_piece import FirstPiece
from linesim.works.gauge import Gauge
from linesim.works.joining import Join
from linesim.works.magazine import Magazine
from linesim.works.measuring_room import MeasuringRoom
from linesim.works.mishaps import Chips, TurnsBad
from linesim.works.part_types import Changeover, Sequence, Turn
from linesim.works.placing import Clamping, Fixtures, Locating
from linesim.works.setting import Correction
from linesim.works.staffing import Attended
from linesim.works.transport import MoveEntry
from linesim.works.unlike import Unlike
from linesim.works.warmth import WarmUp

__all__ = ["Bar", "Breakdowns", "Chips", "Correction", "Cut", "Gauge", "Operation", "Stroke"]


Places = Annotated[
    Annotated[Whole, Field(ge=0), Tag("other")] | Annotated[Literal["unlimited"], Tag("text")],
    Discriminator(text_or_other),
]
"""A number of waiting places, or "unlimited"."""


Doing = Annotated[str, Field(max_length=40, exclude_if=lambda text: not text)]
"""A few words; a works that gives none keeps its fingerprint."""


class Operation(Strict):
    """The work done at one place in the routing, on one or more like machines."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"minutes", "strokes"})

    does: Doing = ""
    """What it does, in a few words, as an order ("bore cylinders"); shown beside its name. Worked out from its cuts, or
    from its remarks, unless given."""
    about: str = ""
    """Remarks, for people."""
    after: str | None = None
    """In a file that extends another: the operation behind which this one stands; "start" for the first place."""
    machines: Whole = Field(default=1, ge=1, le=100)
    """How many like machines do this work."""
    buffer: Places = 0
    """Parts that may stand waiting before the operation, the places on the machines not counted."""
    minutes: Duration | None = None
    """Time of an operation without cuts (washing, assembly); all of it counts as cutting."""
    sets: list[str] = Field(default=[], max_length=32)
    """Cutter sets that an operation given by its minutes alone wears."""
    strokes: dict[str, Stroke] = Field(default={}, max_length=64)
    """Feed motions, by name, in the order in which they are made."""
    load: Duration = Field(default=0.0, validate_default=True)
    """Time of putting a part in and clamping it."""
    unload: Duration = Field(default=0.0, validate_default=True)
    """Time of taking a part out."""
    access: Duration = Field(default=0.0, validate_default=True)
    """Getting at the spindle, once for each stop for cutters."""
    setters: str | None = None
    """The pool of people who change cutters here; nobody is needed unless given."""
    fitters: str | None = None
    """The pool of people who repair here; nobody is needed unless given."""
    power: Power | None = Field(default=None, gt=0)
    """Rating of the spindle motor, kW; not checked unless given."""
    efficiency: Number = Field(default=0.8, gt=0, le=1)
    """Power at the cut over power at the motor, 0 to 1."""
    max_rpm: Number | None = Field(default=None, gt=0, le=1_000_000)
    """Greatest speed of the spindle, revolutions per minute; not checked unless given."""
    stiffness: Stiffness | None = Field(default=None, gt=0)
    """Static stiffness of machine, fixture and work, N/µm."""
    disturbs: dict[str, Small] = Field(default={})
    """Features moved by this operation without being cut: standard deviation, µm per side."""
    locating: Locating | None = None
    """On which feature the part sits and how far its pads are apart; what it brings does not pass on unless given."""
    clamping: Clamping | None = None
    """How far the clamps bend the part; not at all unless given."""
    fixtures: Fixtures | None = None
    """Fixtures or pallets with errors of their own; without error unless given."""
    spindle_tilt: StressRate = Field(default=0.0, ge=0)
    """By how much the spindle is out of square to the feed, µm per mm: a mill leaves a hollow, which goes to form."""
    warm_up: WarmUp | None = None
    """How the machine grows as it warms; not at all unless given."""
    chips: Chips | None = None
    """Chips on the locating faces; none unless given."""
    gauges: dict[str, Gauge] = Field(default={}, max_length=32)
    """Gauges behind this operation, by name."""
    breakdowns: Breakdowns | None = None
    """Failures of the machine; none unless given."""
    turns_bad: TurnsBad | None = None
    """A hidden fault that a gauge has to find; none unless given."""
    scrap_chance: Share = Field(default=0.0, ge=0, le=1)
    """Chance that this operation spoils a part for reasons that the cuts do not explain."""
    recut_chance: Share = Field(default=0.0, ge=0, lt=1)
    """Chance that the operation must be done again for such reasons, each time it is done."""
    test: Test | None = None
    """A test of the parts behind the gauges, and what becomes of those turned down; none unless given."""
    rate: MoneyPerHour = Field(default=0.0, ge=0)
    """One machine hour. In the scenario's currency."""
    operators: Number = Field(default=0.0, ge=0, le=100)
    """Operators at one machine (0.5: one looks after two), a cost only; those whom it waits for stand in `attended`."""
    first_piece: FirstPiece | None = None
    """Gauging the first part after a change of cutters; none unless given."""
    measuring_room: MeasuringRoom | None = None
    """How the gauges read that stand in the measuring room; none do unless given."""
    magazine: Magazine | None = None
    """Sister cutters that take over within the cycle; each machine has one cutter of each kind unless given."""
    breakage_probe: BreakageProbe | None = None
    """A probe in the machine that looks for broken cutters after the cuts; none unless given."""
    batch: Batch | None = None
    """Parts taken at once by each machine (washer, furnace, leak bench); one after another unless given."""
    move: MoveEntry | None = None
    """The way to the operation from the one before; it takes no time unless given."""
    only: list[str] = Field(default=[], max_length=32)
    """Part types that come here, all others pass it by; all unless given."""
    minutes_by_type: dict[str, Duration] = Field(default={}, max_length=32)
    """Time of an operation without cuts for some part types; as minutes says unless given."""
    changeover: Changeover | None = None
    """Setting a machine from one part type to another; takes no time unless given."""
    sequence: Sequence = "oldest first"
    """Which waiting part is taken: the oldest; one of the type at hand, else the oldest; one with the least changeover;
    or each type in its turn, to which the machine changes over even if none waits."""
    turn: Turn = "all"
    """Parts of one turn: as long as any waits; those that waited as it began; or at most so many."""
    attended: Attended | None = None
    """People who load, unload, gauge or look at edges here; nobody is waited for unless given."""
    branch: str | None = None
    """The branch of the line in which it stands, so that only parts which take that branch come here; all unless given.
    A part that is repaired and comes back takes the same branch again."""
    takes_off: str | None = None
    """A line of this works whose castings are taken off the parts here, one off each, with its number (caps off their
    crankcase); they go their own way until they are joined again."""
    joins: dict[str, Join] = Field(default={}, max_length=8)
    """Lines of this works whose finished parts are joined to the parts here, one of each to each part."""
    unlike: dict[str, Unlike] = Field(default={}, max_length=100)
    """Machines that are not alike, by name, as many as ``machines``: what each has of its own; all are alike unless
    given."""
    next_machine: Literal["longest free", "first named"] = "longest free"
    """Which of several free machines takes the next part: the one that has been free longest, or the first of them."""
    assumed: Marks = Field(default=[])
    """Typical figures in place of the shop's own, each with its value: ``[buffer 2, rate 45]``.
    A mark counts until the figure is another one."""

    @property
    def at_once(self) -> int:
        """Parts that one machine does in its minutes, if it is full."""
        return 1 if self.batch is None else self.batch.most

    @property
    def handled_at_once(self) -> int:
        """Parts that are loaded or unloaded in one go, if the machine is full."""
        return self.at_once if self.batch is not None and self.batch.loaded == "together" else 1

    @model_validator(mode="after")
    def _strokes_or_minutes(self) -> Operation:
        if (self.minutes is None) == (not self.strokes):
            answer = "both" if self.strokes else "neither"
            raise ValueError(f"give either strokes (with cuts) or minutes; found {answer}")
        if self.turns_bad is not None and not self.strokes:
            raise ValueError("a machine that turns_bad needs strokes, whose cuts it shifts")
        if self.recut_chance > 0.0 and self.strokes:
            raise ValueError("a recut_chance belongs to an operation given by minutes; cuts are made again by a gauge")
        if self.unlike and len(self.unlike) != self.machines:
            raise ValueError(f"{len(self.unlike)} machines are named under unlike; machines says {self.machines}")
        if self.sets and self.strokes:
            raise ValueError("sets belong to an operation given by minutes; with strokes each cut names its cutter")
        return self
