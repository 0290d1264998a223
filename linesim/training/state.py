"""The state of a shift: which lesson and castings, what was done so far, and the floor as it stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from linesim.ledger import Item
from linesim.training.binding import Bound
from linesim.training.carrying import HANDED_OVER, Carried, Case, Stand, carried_by, carry_out, stand_up
from linesim.training.lesson import AS_PLANNED, Lesson
from linesim.training.orders import TrainingError
from linesim.training.senses import Senses

__all__ = ["ShiftState"]

_LEDGER_EVERY_MIN = 60.0

_UNSEEN = (Item.QUALITY_LOSS.value, HANDED_OVER)
"""Items that nobody knows before the end."""


@dataclass
class ShiftState:
    """One shift of a lesson as it stands.

    Attributes
    ----------
    lesson : Lesson
        What is learnt.
    number : int
        Which shift, from 1: the same number gives the same castings, edges and breakdowns.
    history : list of dict
        Everything that the trainee did, as plain values; fit for JSON.
    steps_back : int
        How often a step was taken back.
    """

    lesson: Lesson
    number: int = 1
    history: list[dict[str, Any]] = field(default_factory=list)
    steps_back: int = 0

    def __post_init__(self) -> None:
        self._begin(AS_PLANNED)

    def _begin(self, way: str) -> None:
        """Let the line run up to the beginning of the shift."""
        self.way = way
        self.case: Case = self.lesson.case(self.number, way)
        self.senses = Senses(self.case.directory)
        self.stand: Stand = stand_up(self.case, is_live=True)
        self.stand.floor.site.watchers.append(self.senses)
        self.senses.floor = self.stand.floor
        self._decisions = 0
        self._carried: Carried | None = None
        self._ledger: tuple[float, dict[str, float]] = (0.0, {})

    @property
    def minute(self) -> float:
        """Minutes of the shift that have passed."""
        return self.stand.floor.site.env.now - self.case.starts_min

    @property
    def is_over(self) -> bool:
        """Whether the shift has ended."""
        return self.stand.floor.site.env.now >= self.case.ends_min

    @property
    def is_fresh(self) -> bool:
        """Whether the line has not been run yet."""
        return all(entry["do"] != "run" for entry in self.history)

    @property
    def bound(self) -> list[Bound]:
        """Orders so far, each with where it takes hold; those not yet in force left out."""
        return list(self.stand.hand.bound)

    def ledger(self) -> tuple[float, dict[str, float]]:
        """The ledger as the office has it: up to which minute, and money by item; quality loss is not in it yet."""
        upto = _LEDGER_EVERY_MIN * (self.minute // _LEDGER_EVERY_MIN)
        if upto != self._ledger[0]:
            so_far = carry_out(self.case, self.bound, self.case.starts_min + upto)
            items = {item: money for item, money in so_far.items.items() if item not in _UNSEEN}
            self._ledger = (upto, items)
        return self._ledger

    def carried(self) -> Carried:
        """What the shift has come to.

        Raises
        ------
        TrainingError
            It is not over.
        """
        if not self.is_over:
            raise TrainingError(f"the shift is not over: {self.case.plan.length_min - self.minute:.0f} min are left")
        if self._carried is None:
            self._carried = carried_by(self.stand)
        return self._carried

    def decisions(self) -> dict[int, dict[str, Any]]:
        """The trainee's decisions by their numbers, without the running of the line."""
        entries = [entry for entry in self.history if entry["do"] not in ("run", "set up")]
        return dict(enumerate(entries))
