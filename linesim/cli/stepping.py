"""Carrying a study on under a bar, and ending it early with what it has found so far."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

import typer

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import RenderableType

    from linesim.study.interim import Interim

from linesim.cli.guard import STOPPED
from linesim.cli.output import STDOUT, command_line, put_csv, put_json, show
from linesim.cli.progress import Bar

__all__ = ["Told", "carried_on", "tell"]


class Told(Protocol):
    """What a study has found, ready to be told."""

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""


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


def tell(
    found: Told, page: Callable[[], RenderableType], as_json: bool, csv: Path | None, is_forced: bool, was_stopped: bool
) -> None:
    """Tell what was found as it was asked for, and end as an interrupted command does if it was one.

    Parameters
    ----------
    found : Told
        What was found.
    page : callable
        Lays it out for the terminal.
    as_json, csv, is_forced
        As the options of these names.
    was_stopped : bool
        Whether the study was stopped by Ctrl-C.
    """
    if csv is not None:
        put_csv(csv, found.tables, {"command": command_line(), **found.provenance}, is_forced)
    if as_json:
        put_json({"command": command_line(), **found.as_dict()})
    elif csv != STDOUT:
        show(page())
    if was_stopped:
        typer.echo("Stopped; the answer is the best so far.", err=True)
        raise typer.Exit(STOPPED)
