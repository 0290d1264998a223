"""Carrying a study on under a bar, and ending it early with what it has found so far."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import TYPE_CHECKING, TypeVar

import typer

if TYPE_CHECKING:
    from linesim.study.interim import Interim

from linesim.cli.guard import STOPPED
from linesim.cli.progress import Bar

__all__ = ["carried_on", "end_early"]


Answer = TypeVar("Answer")


def carried_on(
    steps: Iterator[Interim[Answer]], what: str, is_shown: bool, most_min: float | None
) -> tuple[Answer, bool]:
    """Carry a study on to its end, to the end of patience, or to Ctrl-C.

    Parameters
    ----------
    steps : iterator of Interim
        The study.
    what : str
        Stands before the bar.
    is_shown : bool
        Whether to show the bar.
    most_min : float or None
        Minutes after which to end with the best so far.

    Returns
    -------
    answer, was_stopped
        The last answer; whether it was stopped by Ctrl-C.

    Raises
    ------
    KeyboardInterrupt
        Stopped before there was any answer.
    """
    began_s, answer, was_stopped = time.monotonic(), None, False
    with Bar(what, is_shown) as bar:
        try:
            for step in steps:
                bar(step.done, step.total, step.words)
                answer = step.answer if step.answer is not None else answer
                if most_min is not None and answer is not None and time.monotonic() - began_s > 60.0 * most_min:
                    break
        except KeyboardInterrupt:
            if answer is None:
                raise
            was_stopped = True
    if answer is None:
        raise KeyboardInterrupt
    return answer, was_stopped


def end_early(was_stopped: bool) -> None:
    """End as an interrupted command does, if it was one, now that its answer is told."""
    if was_stopped:
        typer.echo("Stopped; the answer is the best so far.", err=True)
        raise typer.Exit(STOPPED)
