"""Carrying a study on to its end before the eyes of whoever watches."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, TypeVar

from linesim.cli.progress import Bar

if TYPE_CHECKING:
    from linesim.study import Interim

__all__ = ["followed"]

Answer = TypeVar("Answer")


def followed(steps: Iterable[Interim[Answer]], what: str, is_wanted: bool = True) -> Answer:
    """Carry a study on to its end, show how far it is, and return its answer.

    Parameters
    ----------
    steps : iterable of Interim
        The study.
    what : str
        Stands before the bar.
    is_wanted : bool
        Whether to show it; it is never shown where stderr is not a terminal.
    """
    from linesim.study import last_of  # noqa: PLC0415 - help stays quick

    with Bar(what, is_wanted) as bar:

        def told() -> Iterator[Interim[Answer]]:
            for step in steps:
                bar(step.done, step.total)
                yield step

        return last_of(told())
