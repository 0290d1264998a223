"""Lessons: what an instructor writes in a file, and what a shift needs of it."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from pydantic import Field, model_validator

from linesim.errors import nearest, quoted
from linesim.training.binding import Looks
from linesim.training.carrying import Case
from linesim.training.orders import TrainingError
from linesim.training.signs import SIGNS
from linesim.units import Length, Minutes, Number, Share, Whole
from linesim.works import Works, digest
from linesim.works.base import Strict
from linesim.works.doing import called_anywhere, set_called
from linesim.works.nodes import Node

__all__ = ["AS_PLANNED", "FIGURES", "Decision", "Lesson", "LessonFile", "Mark", "Question", "Stated", "Way"]

AS_PLANNED = "as planned"
"""The line as the lesson's scenario has it."""

FIGURES: dict[str, str] = {
    "earned": "what the shift earned: worth of the good parts less every cost, quality loss and wear handed over",
    "good parts": "parts shipped",
    "parts in limits": "parts shipped with nothing out of limits, by their true values",
    "share in limits": "parts in limits over parts shipped",
    "scrapped": "parts scrapped",
    "salvaged": "parts that went to the salvage bench",
    "quality loss": "quality loss of all parts shipped",
    "quality loss per part": "quality loss of a part shipped",
    "cost per part": "all costs of a part shipped",
    "changes": "cutter sets changed, indexed or dressed by rule or order",
    "broken edges": "edges that broke in the cut",
    "looks": "looks at edges",
    "minutes changing": "machine minutes of changing cutters",
    "minutes waiting for a setter": "machine minutes of waiting for a setter",
    "minutes waiting for a sharp cutter": "machine minutes of waiting for a sharp cutter",
}
"""Figures by which a shift is judged, and what they are."""

CautionKey = Literal["changing", "gloves", "chips", "lives", "wheels", "guards", "lifting"]


class LookAt(Strict):
    """What a look at an edge takes."""

    minutes: Minutes = Field(default=1.5, gt=0)
    """Time of one look."""
    error: Length = Field(default=0.02, ge=0)
    """Standard deviation of the reading, mm."""


class Way(Strict):
    """Another way in which the line can be set up before the shift."""

    about: str
    """What is done differently, in a sentence."""
    changes: dict[str, Any]
    """Changes to the scenario, as a file would say them that extends it."""


class Stated(Strict):
    """A policy for the whole shift: how the line is set up, and orders that hold from the beginning."""

    about: str
    """The policy in a sentence."""
    way: str = AS_PLANNED
    """How the line is set up: one of the lesson's ways, or "as planned"."""
    orders: list[dict[str, Any]] = Field(default=[], max_length=100)
    """Orders that hold from the beginning, as a trainee gives them."""


class Mark(Strict):
    """One figure of the shift and what it must reach: a number, or a share of what the best found policy reaches."""

    figure: str
    """Name of the figure, such as earned or quality loss per part; or a sign of a decision, such as most worn edge."""
    of: str = ""
    """For a sign: where it is read, such as Op 20 / finish blade."""
    at_least: Number | None = None
    """The least that passes."""
    at_most: Number | None = None
    """The most that passes."""
    share_of_best: Share | None = Field(default=None, gt=0)
    """The least share of what the best found policy reaches on the same shift."""

    @model_validator(mode="after")
    def _one(self) -> Mark:
        given = [name for name in ("at_least", "at_most", "share_of_best") if getattr(self, name) is not None]
        if len(given) != 1:
            named = " and ".join(given) or "none"
            raise ValueError(f"name exactly one of at_least, at_most, share_of_best; found {named}")
        known = (*FIGURES, *SIGNS)
        if self.figure not in known:
            near = nearest(self.figure, known)
            hint = f"; did you mean {quoted(near)}?" if near else ""
            raise ValueError(f"there is no figure {quoted(self.figure)}{hint}; known are {', '.join(known)}")
        if self.is_sign == (not self.of):
            kind = SIGNS[self.figure].rpartition("; of ")[2] if self.is_sign else ""
            wanted = f"of: {kind} was expected" if kind else "of: belongs to signs of a decision"
            raise ValueError(f"{quoted(self.figure)} with of: {quoted(self.of)}; {wanted}")
        return self

    @property
    def is_sign(self) -> bool:
        """Whether it is read off how the shift was run."""
        return self.figure in SIGNS

    @property
    def words(self) -> str:
        """The figure with where it is read."""
        return f"{self.figure} ({self.of})" if self.of else self.figure

    def called(self, works: Works) -> str:
        """The same for people: "most worn edge (finish blade at Op 20 (bore the cylinders))"."""
        return f"{self.figure} ({set_called(works, called_anywhere(works, self.of))})" if self.of else self.figure


class Decision(Strict):
    """The lesson's own decision: whoever has not taken it does not pass, whatever was earned."""

    about: str = Field(min_length=1)
    """The decision in a sentence."""
    shown_by: list[Mark] = Field(min_length=1, max_length=4)
    """What the shift shows of it: all of these."""


class PassMark(Strict):
    """What passes, and why it lies there."""

    why: str
    """Why the mark lies where it does."""
    decision: Decision | None = None
    """The lesson's own decision, without which nobody passes."""
    reach: list[Mark] = Field(min_length=1, max_length=8)
    """All of these have to be reached."""

    @property
    def marks(self) -> list[Mark]:
        """All marks, those of the decision first."""
        return [*(self.decision.shown_by if self.decision is not None else ()), *self.reach]


class Question(Strict):
    """A question whose answer is worked out from the model."""

    ask: str
    """The question."""
    given: dict[str, str | Number] = Field(default={}, max_length=40)
    """Figures by short names: a number, or where in the model the figure stands."""
    answer: str
    """The answer as a formula of the names."""
    unit: str = ""
    """Unit of the answer."""
    decimals: Whole = Field(default=1, ge=0, le=6)
    """Decimals of the answer."""
    worked: str
    """How the answer is worked out, in words, with the names in braces."""


class LessonFile(Strict):
    """Everything that a lesson file says, but for its scenario."""

    lesson: Literal[1] = 1
    """Version of the file format."""
    name: str = Field(min_length=1, max_length=200)
    """Name of the lesson."""
    learn: list[str] = Field(min_length=1, max_length=8)
    """What a trainee will have learnt."""
    situation: str = Field(min_length=1)
    """What the trainee finds."""
    task: str = Field(min_length=1)
    """What the trainee has to do."""
    plan: str
    """The policy of the scenario by which the shop works: what happens where the trainee decides nothing."""
    in_hand: list[str] = Field(min_length=1, max_length=40)
    """Operations whose machines the trainee looks after."""
    looks: LookAt = LookAt()
    """What a look at an edge takes."""
    ways: dict[str, Way] = Field(default={}, max_length=12)
    """Other ways to set the line up, by name."""
    pass_mark: PassMark
    """What passes."""
    hints: list[str] = Field(min_length=1, max_length=8)
    """Hints, the first the least."""
    debrief: str = Field(min_length=1)
    """What is to be taken from it."""
    try_next: str = Field(min_length=1)
    """What to try next where the shift itself does not say so."""
    questions: list[Question] = Field(min_length=1, max_length=12)
    """Questions with worked answers."""
    cautions: list[CautionKey] = Field(min_length=1)
    """Cautions that belong to this lesson; those of every lesson are added."""
    good: Stated
    """A policy that passes."""
    bad: Stated
    """A policy that fails."""
    best: Stated
    """The best policy that was found."""


@dataclass(frozen=True, eq=False)
class Lesson:
    """A checked lesson.

    Attributes
    ----------
    key : str
        The file's name without its ending, by which the lesson is called.
    file : LessonFile
        What the file says.
    works : Works
        Its scenario.
    tree : Node
        The file with its lines.
    """

    key: str
    file: LessonFile
    works: Works
    tree: Node
    _ways: dict[str, Works] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Name of the lesson."""
        return self.file.name

    @property
    def in_hand(self) -> tuple[str, ...]:
        """Operations whose machines the trainee looks after."""
        return tuple(self.file.in_hand)

    @cached_property
    def digest(self) -> str:
        """Fingerprint of all that decides what happens in a shift of this lesson."""
        content = self.file.model_dump(mode="json", include={"plan", "in_hand", "looks", "ways"})
        text = json.dumps([content, digest(self.works)], sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()

    def ways_to_set_up(self) -> list[str]:
        """Names of the ways to set the line up, the planned one first; one only where there is no choice."""
        return [AS_PLANNED, *self.file.ways]

    def known_way(self, way: str) -> str:
        """The name of a way, if there is such a one.

        Raises
        ------
        TrainingError
            There is not.
        """
        if way not in self.ways_to_set_up():
            known = ", ".join(quoted(name) for name in self.ways_to_set_up())
            raise TrainingError(f"there is no way {quoted(way)} to set the line up; there are {known}")
        return way

    def works_as(self, way: str) -> Works:
        """The works as it is set up in one of the ways."""
        return self.works if way == AS_PLANNED else self._ways[self.known_way(way)]

    def case(self, number: int, way: str = AS_PLANNED) -> Case:
        """One shift of the lesson.

        Parameters
        ----------
        number : int
            Which, from 1: the same number is the same castings, edges and breakdowns.
        way : str
            How the line is set up.

        Raises
        ------
        TrainingError
            There is no such shift.
        """
        if not 1 <= number < 2**31:
            raise TrainingError(f"there is no shift {number}; a whole number from 1 was expected")
        looks = Looks(self.file.looks.minutes, self.file.looks.error)
        works = self.works_as(way)
        return Case(works, self.file.plan, self.in_hand, looks, self.works.run.seed, number - 1, way)
