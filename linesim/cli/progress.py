"""A bar with the time left, for people who watch a terminal and would otherwise wait in the dark."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from types import TracebackType
from typing import TYPE_CHECKING, Self, TypeVar

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

    from linesim.study.interim import Interim

Answer = TypeVar("Answer")

__all__ = ["Bar"]

_PATIENCE_S = 1.0


class Bar:
    """Shows how far a study is, once it has taken longer than a second.

    Parameters
    ----------
    what : str
        Stands before the bar.
    is_wanted : bool
        Whether to show it at all; it is never shown where stderr is not a terminal.
    """

    def __init__(self, what: str, is_wanted: bool = True) -> None:
        self.what = what
        self.is_wanted = is_wanted and sys.stderr.isatty()
        self._began_s = time.monotonic()
        self._bar: Progress | None = None
        self._task: TaskID | None = None

    def __call__(self, done: int, total: int) -> None:
        """Take note of how far it is."""
        if not self.is_wanted:
            return
        if self._bar is None and time.monotonic() - self._began_s > _PATIENCE_S:
            self._begin(total)
        if self._bar is not None and self._task is not None:
            self._bar.update(self._task, completed=done, total=total)

    def follow(self, steps: Iterable[Interim[Answer]]) -> Answer:
        """Carry a study on to its end, showing how far it is, and return its answer."""
        from linesim.study.interim import last_of  # noqa: PLC0415 - help stays quick

        return last_of(self._shown(steps))

    def _shown(self, steps: Iterable[Interim[Answer]]) -> Iterator[Interim[Answer]]:
        for step in steps:
            self(step.done, step.total)
            yield step

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()

    def _begin(self, total: int) -> None:
        """Put up the bar."""
        from rich import progress as rich  # noqa: PLC0415
        from rich.console import Console  # noqa: PLC0415 - only where somebody watches

        columns = (rich.TextColumn(self.what), rich.BarColumn(), rich.MofNCompleteColumn())
        self._bar = rich.Progress(*columns, rich.TimeRemainingColumn(), console=Console(stderr=True), transient=True)
        self._bar.start()
        self._task = self._bar.add_task(self.what, total=total)
