"""A process in which orders are carried out, and the thread that hears what it says."""

from __future__ import annotations

import contextlib
import os
import pickle
import signal
import subprocess
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from dashboard.bounds import Bounds
from dashboard.job import Job
from dashboard.words import Order
from linesim.starting import SAFE, python

__all__ = ["ROOT", "Process"]

ROOT = Path(__file__).resolve().parents[1]


class Process:
    """A worker, the order it carries out, the jobs that wait for that, and the thread that hears it.

    Parameters
    ----------
    bounds : Bounds
        What its orders may take.
    heard : callable
        Takes each word it says, beside the process itself.
    lost : callable
        Is told once it has ended.
    """

    def __init__(self, bounds: Bounds, heard: Callable[[Process, Any], None], lost: Callable[[Process], None]) -> None:
        self.order: Order | None = None
        self.jobs: list[Job] = []
        self.is_ready = False
        self.has_begun = False
        self._heard, self._lost = heard, lost
        self._process = subprocess.Popen(  # noqa: S603 - our own words
            python("-m", "dashboard.worker", bounds.what, str(bounds.memory_bytes)),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=ROOT,
            env=os.environ | SAFE | {"PYTHONPATH": os.pathsep.join([str(ROOT), *_python_path()])},
            start_new_session=True,
        )
        self.ear = threading.Thread(target=self._hear, daemon=True)
        self.ear.start()

    @property
    def id(self) -> int:
        """Of the operating system's process."""
        return self._process.pid

    def say(self, word: Any) -> None:
        """Send it a word; one that has ended hears nothing."""
        assert self._process.stdin is not None
        with contextlib.suppress(OSError, ValueError):
            pickle.dump(word, self._process.stdin, protocol=pickle.HIGHEST_PROTOCOL)
            self._process.stdin.flush()

    def end(self) -> None:
        """End the process and all that it started."""
        with contextlib.suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()

    def _hear(self) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        while True:
            try:
                word = pickle.load(self._process.stdout)  # noqa: S301 - written by a process of this program
            except Exception:  # noqa: BLE001 - however it ends, it has ended
                break
            self._heard(self, word)
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            with contextlib.suppress(OSError):
                stream.close()
        self._lost(self)


def _python_path() -> list[str]:
    """Folders that the user has put on Python's path; an empty entry would be the current one."""
    return [folder for folder in os.environ.get("PYTHONPATH", "").split(os.pathsep) if folder]
