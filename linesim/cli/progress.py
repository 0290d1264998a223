"""How far a study is, for people who watch a terminal and would otherwise wait in the dark."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from types import TracebackType
from typing import Self

from rich.console import Console, Group, RenderableType
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TaskID, TextColumn, TimeRemainingColumn
from rich.text import Text

__all__ = ["Bar"]

_PATIENCE_S = 1.0

_WORDS_SHOWN = 96
"""Signs of what a study says of itself that stand under the bar; a terminal of 100 columns holds no more."""


class _WithWords(Progress):
    """A bar with what the study says of itself under it."""

    def get_renderables(self) -> Iterator[RenderableType]:
        """The bar, and the words as far as there are any."""
        words = [Text(str(task.fields.get("words", ""))) for task in self.tasks]
        yield Group(self.make_tasks_table(self.tasks), *(line for line in words if line.plain))


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

    def __call__(self, done: int, total: int, words: str = "") -> None:
        """Take note of how far it is, and of what it says so far."""
        if not self.is_wanted:
            return
        if self._bar is None and time.monotonic() - self._began_s > _PATIENCE_S:
            self._begin(total)
        if self._bar is not None and self._task is not None:
            shown = words if len(words) <= _WORDS_SHOWN else words[: _WORDS_SHOWN - 1] + "…"
            self._bar.update(self._task, completed=done, total=total, words=shown)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()

    def _begin(self, total: int) -> None:
        """Put up the bar, with the words under it."""
        columns = (TextColumn(self.what), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        self._bar = _WithWords(*columns, console=Console(stderr=True), transient=True)
        self._bar.start()
        self._task = self._bar.add_task(self.what, total=total, words="")
