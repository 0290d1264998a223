"""Many runs over several processes, with the same outcome whatever their number."""

from __future__ import annotations

import signal
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor
from contextlib import contextmanager
from typing import Any, TypeVar

import joblib

from linesim.errors import StudyError

__all__ = ["Progress", "spread"]

Task = TypeVar("Task")
Found = TypeVar("Found")
Progress = Callable[[int, int], None]
"""Told how many runs are done, out of how many."""

_WORTH_SPREADING_S = 12.0
"""Starting the workers takes seconds; less work than this is done sooner without them."""


def spread(
    function: Callable[[Task], Found], tasks: Sequence[Task], workers: int | None, progress: Progress | None
) -> list[Found]:
    """Apply a function to each task; the outcome does not depend on where and in which order that happens.

    Parameters
    ----------
    function : callable
        Of one task; defined at the top of a module.
    tasks : sequence
        What to do; plain data.
    workers : int or None
        Processes to use, 1 or more. None: as many as the machine has processors, if the work is worth it.
    progress : callable or None
        Told (done, total) after each task.

    Returns
    -------
    list
        In the order of the tasks.

    Raises
    ------
    StudyError
        Fewer than one worker is asked for, or one was ended from outside.
    KeyboardInterrupt
        The user has stopped it; workers are ended, and nothing is kept.
    """
    if workers is not None and workers < 1:
        raise StudyError(f"{workers} workers were asked for; at least 1 was expected")
    tell = progress or _tell_nobody
    tell(0, len(tasks))
    if workers is None:
        return _as_worth_it(function, tasks, tell)
    return _here(function, tasks, tell) if workers == 1 else _spread(function, tasks, workers, tell, 0)


def _as_worth_it(function: Callable[[Task], Found], tasks: Sequence[Task], tell: Progress) -> list[Found]:
    """Do tasks here until it is clear how long they take, then spread the rest if that is sooner."""
    found: list[Found] = []
    processors = joblib.cpu_count()
    for number, task in enumerate(tasks):
        began = time.perf_counter()
        found.append(function(task))
        tell(number + 1, len(tasks))
        left_s = (time.perf_counter() - began) * (len(tasks) - number - 1)
        # The first task may have had to compile the laws, and says nothing about the next.
        if number > 0 and processors > 1 and left_s > _WORTH_SPREADING_S:
            return found + _spread(function, tasks[number + 1 :], processors, tell, number + 1)
    return found


def _here(function: Callable[[Task], Found], tasks: Sequence[Task], tell: Progress) -> list[Found]:
    """One after another, in this process."""
    found = []
    for number, task in enumerate(tasks):
        found.append(function(task))
        tell(number + 1, len(tasks))
    return found


def _spread(
    function: Callable[[Task], Found], tasks: Sequence[Task], workers: int, tell: Progress, done: int
) -> list[Found]:
    """Over fresh processes, which inherit nothing from this one."""
    found: dict[int, Found] = {}
    pool = joblib.Parallel(n_jobs=min(workers, len(tasks)), return_as="generator_unordered", batch_size=1)
    jobs = (joblib.delayed(_numbered)(function, number, task) for number, task in enumerate(tasks))
    try:
        with _interrupts_put_off():
            outcomes = pool(jobs)
        for number, value in outcomes:
            found[number] = value
            tell(done + len(found), done + len(tasks))
    except BrokenExecutor as error:
        lost = "a worker process was ended from outside, most likely for want of memory; ask for fewer workers"
        raise StudyError(lost) from error
    return [found[number] for number in range(len(tasks))]


@contextmanager
def _interrupts_put_off() -> Iterator[None]:
    """Start processes that leave Ctrl-C to this one; a child inherits that an interrupt is ignored."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _numbered(function: Callable[[Any], Any], number: int, task: Any) -> tuple[int, Any]:
    """The outcome of one task with its number."""
    return number, function(task)


def _tell_nobody(done: int, total: int) -> None:
    """Nobody asked."""
    del done, total
