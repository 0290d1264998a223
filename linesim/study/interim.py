"""A study, how far it is, and what it would answer if it were stopped now."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Generic, Self, TypeVar

from linesim.errors import StudyError

__all__ = ["Ending", "Interim", "Study", "ended_when", "last_of"]

Answer = TypeVar("Answer")


class Ending(Exception):  # noqa: N818 - a request, and nobody's error
    """Thrown into the steps of a study to have its last word: a search goes on to its verdict, others simply end.

    Parameters
    ----------
    patience_s : float
        How long the last word may take.
    """

    def __init__(self, patience_s: float) -> None:
        super().__init__(patience_s)
        self.patience_s = patience_s


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


class Study(ABC, Generic[Answer]):
    """A question with everything that it is asked with; nothing is run before its answer is asked for."""

    kind: ClassVar[str]
    """What the store calls a study of this kind: the command that asks the question."""
    is_stored: ClassVar[bool] = True
    """Whether its runs go to a crew, and so into the store; some listen to their runs, and do them here."""

    options: Any
    """How it is carried out; see `linesim.study.options.StudyOptions`."""

    def but(self, **changes: Any) -> Self:
        """The same study with some of its options changed."""
        return replace(self, options=replace(self.options, **changes))  # type: ignore[type-var]

    @abstractmethod
    def steps(self) -> Iterator[Interim[Answer]]:
        """Carry the study out, and tell all along how far it is and what it says so far.

        Yields
        ------
        Interim
            The last one is final and holds the answer. The iterator may be closed at any time.

        Raises
        ------
        ScenarioError
            A policy or a rule is not known, or a cut cannot be made as described.
        StudyError
            What is asked for cannot be.
        RunError
            A run cannot be carried on.
        """

    def run(self, progress: Callable[[int, int], None] | None = None) -> Answer:
        """Carry the study out to its end.

        Parameters
        ----------
        progress : callable, optional
            Is called with (runs done, runs in all) as the first of them grows.

        Returns
        -------
        object
            The answer.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for `steps`.
        """
        return last_of(self.steps() if progress is None else _watched(self.steps(), progress))


def _watched(steps: Iterable[Interim[Answer]], progress: Callable[[int, int], None]) -> Iterator[Interim[Answer]]:
    """The same steps, with a word to somebody whenever a run has ended."""
    before = -1
    for step in steps:
        if step.done != before:
            progress(step.done, step.total)
            before = step.done
        yield step


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


def ended_when(
    steps: Iterator[Interim[Answer]], is_asked: Callable[[], bool], patience_s: float
) -> Iterator[Interim[Answer]]:
    """Carry a study on, and have its last word once that is asked for.

    Parameters
    ----------
    steps : iterator
        The study.
    is_asked : callable
        Is asked after every step whether the study is to come to its end.
    patience_s : float
        How long the last word may take.

    Yields
    ------
    Interim
        Those of the study; one that knows no last word ends at once.
    """
    ending: Ending | None = None
    for step in steps:
        yield step
        if ending is None and is_asked():
            ending = Ending(patience_s)
            break
    if ending is None or not isinstance(steps, Generator):
        return
    try:
        yield steps.throw(ending)
        yield from steps
    except (Ending, StopIteration):
        return
