"""How far a study is, for people who watch a terminal and would otherwise wait in the dark."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable
from types import TracebackType
from typing import TYPE_CHECKING, Self, TypeVar

from linesim.errors import StudyError

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

    from linesim.study.interim import Interim

__all__ = ["Bar", "watched"]

_PATIENCE_S = 1.0

_WORDS_SHOWN = 96
"""Signs of what a study says of itself that stand under the bar; a terminal of 100 columns holds no more."""

Answer = TypeVar("Answer")


def watched(steps: Iterable[Interim[Answer]], what: str, is_wanted: bool = True) -> Answer:
    """Carry a study on to its end, and show on stderr how far it is, the time left, and what it says so far.

    Parameters
    ----------
    steps : iterable of Interim
        The study.
    what : str
        Stands before the bar.
    is_wanted : bool
        Whether to show anything; nothing is ever shown where stderr is not a terminal.

    Returns
    -------
    object
        The answer of the last step.

    Raises
    ------
    StudyError
        The study ended without an answer.
    """
    answer: Answer | None = None
    with Bar(what, is_wanted) as bar:
        for step in steps:
            answer = step.answer
            bar(step.done, step.total, step.words)
    if answer is None:
        raise StudyError("the study ended without an answer; at least one run is needed")
    return answer


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
        from rich import progress as rich  # noqa: PLC0415
        from rich.console import Console, Group  # noqa: PLC0415 - only where somebody watches
        from rich.text import Text  # noqa: PLC0415

        class _WithWords(rich.Progress):
            def get_renderables(self):  # type: ignore[no-untyped-def]
                words = [Text(str(task.fields.get("words", ""))) for task in self.tasks]
                yield Group(self.make_tasks_table(self.tasks), *(line for line in words if line.plain))

        columns = (rich.TextColumn(self.what), rich.BarColumn(), rich.MofNCompleteColumn())
        console = Console(stderr=True)
        self._bar = _WithWords(*columns, rich.TimeRemainingColumn(), console=console, transient=True)
        self._bar.start()
        self._task = self._bar.add_task(self.what, total=total, words="")
