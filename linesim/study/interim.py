"""How far a study is, and what it would answer if it were stopped now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from linesim.errors import StudyError

__all__ = ["Interim", "last_of"]

Answer = TypeVar("Answer")


@dataclass(frozen=True)
class Interim(Generic[Answer]):
    """One word from a study on its way.

    Attributes
    ----------
    done, total : int
        Runs finished, and runs in all as far as that is known now; the second may change on the way.
    elapsed_s : float
        Seconds since the study began.
    answer : object or None
        What the runs so far say; None as long as they say nothing.
    words : str
        What the study is doing, for people.
    is_final : bool
        Whether this is the end; then there is an answer.
    """

    done: int
    total: int
    elapsed_s: float
    answer: Answer | None = None
    words: str = ""
    is_final: bool = False

    @property
    def left_s(self) -> float | None:
        """Seconds that the rest will take if it goes on as so far; None before anything is done.

        >>> Interim(10, 40, 5.0).left_s
        15.0
        """
        return self.elapsed_s / self.done * max(self.total - self.done, 0) if self.done else None


def last_of(steps: Iterable[Interim[Answer]]) -> Answer:
    """Carry a study on to its end and return its answer.

    Raises
    ------
    StudyError
        It ended without one.
    """
    answer: Answer | None = None
    for step in steps:
        answer = step.answer
    if answer is None:
        raise StudyError("the study ended without an answer; at least one run is needed")
    return answer
