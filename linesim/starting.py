"""How this program starts Python: never with the current folder on the path, where anybody may have put a module.

Python puts the folder in which it is started on its path when it is started with ``-m`` or ``-c``. A file named
``array.py`` in a folder of scenarios that somebody has sent would be run then, in place of Python's own module.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["SAFE", "collect_seldom", "leave_current_folder", "loading", "python", "safe_children"]

SAFE = {"PYTHONSAFEPATH": "1"}
"""Surroundings in which Python leaves the current folder alone."""


_NEW_OBJECTS = 50_000
"""After so many more than have gone, the newest are looked through."""


def python(*words: str) -> list[str]:
    """Command that starts this Python with the current folder left out of its path.

    >>> python("-m", "linesim")[1:]
    ['-P', '-m', 'linesim']
    """
    return [sys.executable, "-P", *words]


def leave_current_folder() -> None:
    """Take the folder that ``python -m`` has put on the path off it, unless it is the one that holds this package."""
    own = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))  # noqa: PTH120 - pathlib would be fetched from there
    if not sys.flags.safe_path and sys.path and os.path.realpath(sys.path[0]) != own:
        del sys.path[0]


def collect_seldom() -> None:
    """Let Python look for what nobody can reach any more after more new objects than it would.

    A command makes some hundred thousand that it keeps while it loads what it needs; looking through them after every
    700 takes a tenth of its start. What this leaves lying for a while are a few megabytes.
    """
    gc.set_threshold(_NEW_OBJECTS, 20, 20)


@contextmanager
def loading() -> Iterator[None]:
    """Take all that is made meanwhile for something that stays: it is not looked through, now or later."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


@contextmanager
def safe_children() -> Iterator[None]:
    """Let what is started meanwhile, by whatever library, leave the current folder alone."""
    before = os.environ.get("PYTHONSAFEPATH")
    os.environ.update(SAFE)
    try:
        yield
    finally:
        if before is None:
            os.environ.pop("PYTHONSAFEPATH", None)
        else:
            os.environ["PYTHONSAFEPATH"] = before
