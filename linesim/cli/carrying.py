"""Carrying a study out under a bar, with its crew and its record in the store; some end early with the best so far."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

import typer

from linesim.cli.crews import crew_for
from linesim.cli.guard import STOPPED
from linesim.cli.options import StudyAsked
from linesim.cli.output import Outlet, announce_compiling
from linesim.cli.progress import Bar
from linesim.errors import StudyError
from linesim.study import Answer, Interim, Study
from linesim.study.interim import ended_when
from linesim.works import Works

__all__ = ["answered", "end_early", "last_step", "searched"]

Answered = TypeVar("Answered", bound=Answer)

_PATIENCE_S = 5.0
"""How long the verdict may take on what a search has come to when Ctrl-C ends it; a second one ends it at once."""


def answered(study: Study[Answered], works: Works, asked: StudyAsked, out: Outlet, doing: str) -> Answered:
    """Carry a study out to its end.

    Parameters
    ----------
    study : Study
        With its options; its crew is put in here.
    works : Works
        What is asked about.
    asked : StudyAsked
        As given on the command line.
    out : Outlet
        Where the answer will go; beside JSON there is no bar.
    doing : str
        Stands before the bar.

    Returns
    -------
    Answer
    """
    return _carried(study, works, asked, out, (doing, False))[0]


def searched(study: Study[Answered], works: Works, asked: StudyAsked, out: Outlet, doing: str) -> tuple[Answered, bool]:
    """Carry a search out to its end or to Ctrl-C, which leaves the best so far.

    Parameters
    ----------
    study, works, asked, out, doing
        As for `answered`.

    Returns
    -------
    answer, was_stopped
        The last answer; whether it was stopped by Ctrl-C.
    """
    return _carried(study, works, asked, out, (doing, True))


def _carried(
    study: Study[Answered], works: Works, asked: StudyAsked, out: Outlet, way: tuple[str, bool]
) -> tuple[Answered, bool]:
    """Carry a study out: the word before the bar, and whether Ctrl-C leaves the best so far."""
    announce_compiling(asked.engine)
    with crew_for(study.kind, works, asked) as record:
        doing, ends_early = way
        answer, was_stopped = last_step(study.but(crew=record.crew).steps(), doing, not out.as_json, ends_early)
        record.answer = answer.kept
    return answer, was_stopped


def last_step(
    steps: Iterator[Interim[Answered]], doing: str, is_shown: bool = True, ends_early: bool = False
) -> tuple[Answered, bool]:
    """The last answer of a study, and whether it was stopped by Ctrl-C.

    Parameters
    ----------
    steps : iterator of Interim
        The study.
    doing : str
        Stands before the bar.
    is_shown : bool
        Whether to show the bar.
    ends_early : bool
        Whether Ctrl-C leaves the best answer so far; the first one asks a search for its verdict on it.

    Returns
    -------
    answer, was_stopped

    Raises
    ------
    KeyboardInterrupt
        It was stopped, and there is no answer, or none is wanted then.
    StudyError
        The study ended without an answer.
    """
    answer: Answered | None = None
    with Bar(doing, is_shown) as bar, _first_interrupt(ends_early) as asked:
        try:
            for step in ended_when(steps, asked.is_set, _PATIENCE_S):
                answer = step.answer if step.answer is not None else answer
                bar(step.done, step.total, step.words)
        except KeyboardInterrupt:
            if answer is None or not ends_early:
                raise
            return answer, True
    if answer is None:
        raise StudyError("the study ended without an answer; at least one run is needed")
    return answer, asked.is_set()


@contextmanager
def _first_interrupt(is_put_off: bool) -> Iterator[threading.Event]:
    """Let the first Ctrl-C ask for the last word of a search; the next one stops it at once."""
    asked = threading.Event()
    if not is_put_off or threading.current_thread() is not threading.main_thread():
        yield asked
        return
    before = signal.getsignal(signal.SIGINT)

    def ask(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - so Python calls it
        asked.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, ask)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)


def end_early(was_stopped: bool) -> None:
    """End as an interrupted command does, if it was one, now that its answer is out."""
    if was_stopped:
        typer.echo("Stopped; the answer is the best so far.", err=True)
        raise typer.Exit(STOPPED)
