"""A works: its lines, people, crib, policies, money and the length of a run."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Discriminator, Field, PrivateAttr, Tag

from linesim.errors import Problem, ScenarioError, hint_at, listed, quoted
from linesim.units import ClockMinutes, Minutes, Money, MoneyPerHour, Share, Whole, refusal
from linesim.works.base import Marks, Strict
from linesim.works.casting import Arrivals, Casting
from linesim.works.consequences import Later
from linesim.works.crib import Crib, Cutter
from linesim.works.engine_data import EngineData
from linesim.works.features import Feature
from linesim.works.handbook_changes import HandbookChanges
from linesim.works.nodes import Node, Path, Sources, hidden_sign
from linesim.works.now import MomentNow, Now
from linesim.works.operations import Operation
from linesim.works.part_types import MOST_TYPES, PartType
from linesim.works.policies import Policy
from linesim.works.shape import dotted
from linesim.works.staffing import DAYS, People
from linesim.works.warmth import Room

__all__ = ["Arrivals", "Calendar", "Casting", "Line", "People", "RunPlan", "Works"]


class Calendar(Strict):
    """Worked time: what a shift, a day, a week and a year are."""

    shift: ClockMinutes = Field(default=480.0, gt=0, le=1440)
    """Length of a shift, minutes by the clock."""
    shifts_per_day: Whole = Field(default=2, ge=1, le=6)
    """Worked shifts in a day."""
    days_per_week: Whole = Field(default=5, ge=1, le=7)
    """Worked days in a week."""
    weeks_per_year: Whole = Field(default=48, ge=1, le=53)
    """Worked weeks in a year."""
    assumed: Marks = Field(default=[])
    """Typical figures in place of the shop's own, each with its value: ``[shifts per day 2]``.
    A mark counts until the figure is another one."""

    def attending(self, people: People) -> list[int]:
        """How many of a pool attend in each shift of a week, one after another, breaks left aside."""
        return people.week(self.days_per_week, self.shifts_per_day)

    def minutes_per(self) -> dict[str, float]:
        """Return the worked minutes of a shift, a day, a week and a year.

        >>> Calendar(shift=450, shifts_per_day=1).minutes_per()
        {'shift': 450.0, 'day': 450.0, 'week': 2250.0, 'year': 108000.0}
        """
        day = self.shift * self.shifts_per_day
        week = day * self.days_per_week
        return {"shift": self.shift, "day": day, "week": week, "year": week * self.weeks_per_year}

    def minute_of(self, at: MomentNow) -> float:
        """Worked minutes from the start of the week to a moment of it.

        >>> Calendar(shift=450, shifts_per_day=2).minute_of(MomentNow(day="tuesday", shift=2, after=30))
        1380.0
        """
        return (DAYS.index(at.day) * self.shifts_per_day + at.shift - 1) * self.shift + at.after


def _word_or_money(value: object) -> str:
    """Which of the two is meant, so that only that one's error is told."""
    return "text" if value in ("full", "nothing") else "other"


WorthOut = Annotated[
    Annotated[Money, Field(ge=0), Tag("other")] | Annotated[Literal["full", "nothing"], Tag("text")],
    Discriminator(_word_or_money),
]
"""What a part out of the drawing brings: "full", "nothing" or money."""


class Line(Strict):
    """One component's routing, rough casting to finished part."""

    about: str = ""
    """Remarks, for people."""
    material: str | None = None
    """Material of the part, as the handbook names it; needed where cuts are described."""
    casting: Casting = Casting()
    """The casting: its price and how it comes."""
    worth: Money = Field(default=0.0, ge=0)
    """What a good finished part is worth to the works. In the scenario's currency."""
    worth_out_of_drawing: WorthOut = "full"
    """What a part shipped out of the drawing is worth: full, nothing, or a concession's price in the scenario's
    currency."""
    holding_rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Cost of one part standing in process for one worked hour. In the scenario's currency."""
    pallets: Whole | None = Field(default=None, ge=1, le=1_000_000)
    """Work-holding pallets: a casting goes in only with a free pallet, which comes back when the part leaves."""
    pallet_rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Hire, or write-off and interest, of one pallet for one worked hour, used or not. In the scenario's currency."""
    features: dict[str, Feature] = Field(default={}, max_length=64)
    """Surfaces of the part that matter, by name."""
    operations: dict[str, Operation] = Field(min_length=1, max_length=400)
    """The routing: operations by name, in the order in which a part meets them."""
    later: Later = Later()
    """What surfaces cost when parts have left the line; nothing unless given."""
    parts: dict[str, PartType] = Field(default={}, max_length=MOST_TYPES)
    """Types of part that the line makes, by name; all parts are alike unless given."""
    branches: dict[str, dict[str, Share]] = Field(default={}, max_length=32)
    """Where parts go different ways by chance: by name of the choice, its branches with the share of the parts that
    takes each, as in ``{finish: {honed: 60 %, lapped: 40 %}}``. An operation says in which branch it stands. If the
    shares add up to less than 100 %, the other parts pass all of these branches by."""
    assumed: Marks = Field(default=[])
    """Typical figures in place of the shop's own, each with its value: ``[worth 85, casting price 40]``.
    A mark counts until the figure is another one."""

    @property
    def worth_shipped_out(self) -> float:
        """What a part shipped out of the drawing is worth, money."""
        if isinstance(self.worth_out_of_drawing, str):
            return self.worth if self.worth_out_of_drawing == "full" else 0.0
        return self.worth_out_of_drawing


class Prices(Strict):
    """Prices that hold for the whole works."""

    labour_rate: MoneyPerHour = Field(default=0.0, ge=0)
    """One hour of an operator. In the scenario's currency."""


class RunPlan(Strict):
    """How long a run is and how it is repeated."""

    length: Minutes = Field(default=9600.0, gt=0, le=1e9)
    """Worked minutes that are counted, from the end of the warm-up. What happens at their very end is no longer counted
    (a part that leaves at 15.0 does not count in a run of 15 minutes from the start), so that spans which follow each
    other count everything once."""
    warm_up: Minutes = Field(default=960.0, ge=0, le=1e9)
    """Worked minutes before, that are not counted."""
    replications: Whole = Field(default=10, ge=1, le=100_000)
    """How often the run is repeated with other chances."""
    seed: Whole = Field(default=1, ge=0, lt=2**63)
    """Start of the random numbers; the same seed gives the same run."""


def _readable(name: str) -> str:
    """Refuse a name with signs that cannot be seen, as it is printed everywhere."""
    hidden = hidden_sign(name)
    if hidden:
        raise refusal(f"{quoted(name)} holds {hidden}; a name that can be read was expected")
    return name


class Works(Strict):
    """Everything a scenario file says."""

    linesim: Literal[1] = 1
    """Version of the file format."""
    name: Annotated[str, AfterValidator(_readable)] = Field(min_length=1, max_length=200)
    """Name of the scenario."""
    about: str = ""
    """Remarks, for people."""
    currency: str = Field(default="EUR", pattern=r"^[A-Za-z]{1,12}$")
    """One currency for the whole file."""
    calendar: Calendar = Calendar()
    """Worked time: shift, day, week and year."""
    run: RunPlan = RunPlan()
    """Length, warm-up, replications and seed."""
    prices: Prices = Prices()
    """Prices for the whole works, such as an hour of an operator."""
    people: dict[str, People] = Field(default={}, max_length=32)
    """Pools of setters, fitters and operators, by name."""
    crib: Crib = Crib()
    """The tool crib."""
    room: Room | None = None
    """How the temperature of the room swings; always 20 °C unless given."""
    cutters: dict[str, Cutter] = Field(default={}, max_length=400)
    """Kinds of cutter set, by name."""
    lines: dict[str, Line] = Field(min_length=1, max_length=16)
    """Lines, by name; they share people, crib and cutters."""
    policies: dict[str, Policy] = Field(min_length=1, max_length=200)
    """Policies, by name: when cutter sets are changed."""
    today: str | None = Field(default=None, min_length=1, max_length=200)
    """The policy by which the shop works today; the first one unless given."""
    handbook: HandbookChanges = HandbookChanges()
    """The shop's own figures in place of the handbook's, or beside them."""
    now: Now | None = None
    """How the works stands as the run begins; new edges, no parts and all sets sharp unless given."""
    engine: EngineData | None = None
    """The engine for which the parts are made; only its builder's figures need it."""

    _sources: Sources | None = PrivateAttr(default=None)

    @property
    def sources(self) -> Sources:
        """Where everything stands: files and lines, if the works was read from a text."""
        return self._sources or Sources(Node({}, self.name, None))

    def __repr__(self) -> str:
        """Name, lines and operations, and today's practice, on one line."""
        lines, operations = len(self.lines), sum(len(line.operations) for line in self.lines.values())
        counts = f"{lines} line{'s' * (lines != 1)}, {operations} operation{'s' * (operations != 1)}"
        return f"<Works {quoted(self.name)}: {counts}; today's practice {quoted(self.todays_policy)}>"

    __str__ = __repr__

    def _repr_html_(self) -> str:
        """The same with a table of the operations, for a notebook."""
        rows = (
            (line, name, str(operation.machines), ", ".join(operation.strokes) or "by its minutes")
            for line, of in self.lines.items()
            for name, operation in of.operations.items()
        )
        cells = ("".join(f"<td>{escape(cell)}</td>" for cell in row) for row in rows)
        head = "".join(f"<th>{name}</th>" for name in ("line", "operation", "machines", "strokes"))
        body = "".join(f"<tr>{row}</tr>" for row in cells)
        return f"<div><p>{escape(repr(self)[1:-1])}</p><table><tr>{head}</tr>{body}</table></div>"

    @property
    def begins_min(self) -> float:
        """Worked minutes of the week that have passed as a run begins."""
        return 0.0 if self.now is None else self.calendar.minute_of(self.now.at)

    @property
    def todays_policy(self) -> str:
        """Name of the policy that is today's practice: the one that ``today`` names, or the first.

        A study's copy may hold other policies than the scenario; its first one stands for today's then.
        """
        return self.today if self.today in self.policies else next(iter(self.policies))

    def chosen_policy(self, name: str | None) -> str:
        """Return the policy that was asked for, or today's if none was; the one rule for every question.

        Parameters
        ----------
        name : str or None
            Name of a policy; None for today's practice.

        Returns
        -------
        str

        Raises
        ------
        ScenarioError
            There is no such policy.
        """
        if name is None:
            return self.todays_policy
        if name not in self.policies:
            text = f"there is no policy {quoted(name)} in {quoted(self.name)}; there are: {listed(self.policies)}"
            raise ScenarioError([Problem("", None, "", text, hint_at(name, self.policies))])
        return name

    def problem(self, path: Path, text: str, hint: str = "") -> Problem:
        """Return a problem at a place of this works, with the file and the line where it stands.

        Parameters
        ----------
        path : tuple of str and int
            Names that lead to the place, such as ("lines", "block", "operations", "Op 40", "buffer").
        text : str
            What was found and what was expected.
        hint : str
            What to do about it.

        Returns
        -------
        Problem
            To be raised within a `ScenarioError`.
        """
        return self.sources.problem(path, dotted(type(self), path), text, hint)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """Copy as pydantic does; a copy with changes no longer knows where things stood."""
        copy = super().model_copy(update=update, deep=deep)
        if update:
            copy._sources = None  # noqa: SLF001 - a copy of its own kind
        return copy
