"""Studies in processes of their own: a bounded number at once, the others in a queue, each with its owner.

A page asks the `Board` a question (which study, with what) and gets a `Job`. The job is known by an id that nobody can
guess, and lives on the server: it goes on when the page is reloaded or left. Pages look at ``job.step`` now and then.
"""

from __future__ import annotations

import contextlib
import logging
import os
import pickle
import secrets
import signal
import subprocess
import threading
import time
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from dashboard.words import Failed, Order, Ready, Step, Stop, Stopped
from linesim.starting import SAFE, python

__all__ = ["Board", "Job"]

ROOT = Path(__file__).resolve().parents[1]
LOG = logging.getLogger("linesim.dashboard")

State = Literal["waiting", "running", "stopping", "done", "stopped", "failed"]

MOST_WAITING = 100
MOST_OF_ONE_OWNER = 12
MOST_KEPT = 400
MOST_ANSWERS = 48
LONGEST_S = 3600.0
PATIENCE_S = 2.0
MOST_MEMORY_BYTES = 6 * 2**30

_TOO_MANY = "There are too many studies waiting just now. Stop one of yours, or try again in a minute."
_ENDED = (
    "The process that ran this study ended by itself, most likely for want of memory. Ask for less: fewer "
    "replications, or a shorter run."
)
_TOO_LONG = (
    "The study was stopped after {minutes:.0f} minutes, the most that a page may take. What it had found by then "
    "stands here; for longer studies there is the command line."
)
_FAULT = "A fault of the program ended this study. It is in the server's log as {mark}; your scenario is kept."


@dataclass(eq=False)
class Job:
    """One question on its way to an answer; read it freely, the board alone writes.

    Attributes
    ----------
    id : str
        What it is known by; nobody can guess it.
    owner : str
        Whose it is.
    slot : str
        What it is for on the owner's desk; a new question for the same slot stops this one.
    key : hashable
        The question in full: two questions with equal keys have equal answers.
    state : str
        waiting, running, stopping, done, stopped or failed.
    step : Step or None
        The last word from the study.
    answer : object or None
        The last answer; it stays when the study is stopped.
    error : str
        What went wrong, for the user.
    """

    id: str
    owner: str
    slot: str
    key: Hashable
    order: Order
    state: State = "waiting"
    step: Step | None = None
    answer: Any = None
    error: str = ""
    n_answers: int = 0
    began_s: float = 0.0
    changed: threading.Condition = field(default_factory=threading.Condition)

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come."""
        return self.state in ("done", "stopped", "failed")

    def wait(self, seconds: float, for_end: bool = False) -> bool:
        """Wait until there is an answer (or the end), for so long at most; whether there is."""
        end_s = time.monotonic() + seconds
        with self.changed:
            while not (self.is_over or (self.answer is not None and not for_end)):
                left_s = end_s - time.monotonic()
                if left_s <= 0.0:
                    return False
                self.changed.wait(left_s)
        return True


def _python_path() -> list[str]:
    """Folders that the user has put on Python's path; an empty entry would be the current one."""
    return [folder for folder in os.environ.get("PYTHONPATH", "").split(os.pathsep) if folder]


class _Worker:
    """A process, and the thread that hears it."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.job: Job | None = None
        self.is_ready = False
        self.process = subprocess.Popen(  # noqa: S603 - our own words
            python("-m", "dashboard.worker"),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=ROOT,
            env=os.environ | SAFE | {"PYTHONPATH": os.pathsep.join([str(ROOT), *_python_path()])},
            start_new_session=True,
        )
        self.ear = threading.Thread(target=self._hear, daemon=True)
        self.ear.start()

    def say(self, word: Any) -> None:
        assert self.process.stdin is not None
        with contextlib.suppress(OSError, ValueError):  # one that has ended hears nothing
            pickle.dump(word, self.process.stdin, protocol=pickle.HIGHEST_PROTOCOL)
            self.process.stdin.flush()

    def end(self) -> None:
        """End the process and all that it started."""
        with contextlib.suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(self.process.pid, signal.SIGKILL)
            else:
                self.process.kill()

    def _hear(self) -> None:
        assert self.process.stdout is not None
        while True:
            try:
                word = pickle.load(self.process.stdout)  # noqa: S301 - written by a process of this program
            except Exception:  # noqa: BLE001 - however it ends, it has ended
                break
            self.board.heard(self, word)
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout):
            with contextlib.suppress(OSError):
                assert stream is not None
                stream.close()
        self.board.lost(self)


class Board:
    """Where studies are put up, handed to workers, looked at and stopped.

    Parameters
    ----------
    workers : int, optional
        Studies that run at once; one per processor unless given.
    """

    def __init__(self, workers: int | None = None) -> None:
        self.most_running = max(1, workers or os.cpu_count() or 1)
        self._lock = threading.RLock()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._queue: list[Job] = []
        self._answers: OrderedDict[Hashable, Any] = OrderedDict()
        self._is_open = True
        self._workers = [_Worker(self) for _ in range(self.most_running)]

    # asked by pages

    def ask(self, owner: str, slot: str, key: Hashable, order: Order) -> Job:
        """Put up a question, or find it if it has been put up already.

        Parameters
        ----------
        owner : str
            Whose it is.
        slot : str
            What it is for; an older question of the owner for it is stopped.
        key : hashable
            The question in full.
        order : Order
            The study.

        Returns
        -------
        Job
            With its answer already, if anyone has asked the same before.
        """
        with self._lock:
            mine = self._of(owner, slot)
            if mine is not None and mine.key == key:
                return mine
            if mine is not None:
                self.stop(mine)
            job = Job(secrets.token_urlsafe(16), owner, slot, key, order)
            self._keep(job)
            if key in self._answers:
                self._answers.move_to_end(key)
                job.step, job.answer = self._answers[key]
                job.n_answers = 1
                self._settle(job, "done")
            elif self._is_full(owner):
                self._settle(job, "failed", _TOO_MANY)
            else:
                self._queue.append(job)
                self._hand_out()
            return job

    def again(self, job: Job) -> Job:
        """Ask once more what was stopped or failed."""
        with self._lock:
            self._jobs.pop(job.id, None)
            return self.ask(job.owner, job.slot, job.key, job.order)

    def find(self, owner: str, job_id: str) -> Job | None:
        """A job of an owner by its id; None if there is no such thing, or it is another's."""
        job = self._jobs.get(job_id)
        return job if job is not None and job.owner == owner else None

    def stop(self, job: Job) -> None:
        """Stop a job; what it has found so far stays."""
        with self._lock:
            if job in self._queue:
                self._queue.remove(job)
                self._settle(job, "stopped")
            elif job.state == "running":
                job.state = "stopping"
                worker = next(worker for worker in self._workers if worker.job is job)
                worker.say(Stop(job.order.number))
                timer = threading.Timer(PATIENCE_S, self._lose_patience, (worker, job))
                timer.daemon = True
                timer.start()

    def ahead_of(self, job: Job) -> int:
        """How many jobs come before a waiting one, the running ones left out."""
        with self._lock:
            return self._queue.index(job) if job in self._queue else 0

    def is_warming(self) -> bool:
        """Whether no worker has finished loading yet."""
        return not any(worker.is_ready for worker in self._workers)

    @property
    def process_ids(self) -> list[int]:
        """Of the workers."""
        return [worker.process.pid for worker in self._workers]

    def close(self) -> None:
        """End all workers, and wait until they have ended."""
        with self._lock:
            self._is_open = False
            for worker in self._workers:
                worker.end()
        for worker in self._workers:
            worker.ear.join(10.0)

    # heard from workers

    def heard(self, worker: _Worker, word: Any) -> None:
        """Take down a word of a worker."""
        with self._lock:
            job = worker.job
            if isinstance(word, Ready):
                worker.is_ready = True
            elif job is None:
                return
            elif isinstance(word, Step):
                self._take_down(job, word)
                if not word.is_final:
                    if time.monotonic() - job.began_s > LONGEST_S:
                        self.stop(job)
                        job.error = _TOO_LONG.format(minutes=LONGEST_S / 60.0)
                    return
                worker.job = None
                self._settle(job, "done")
            elif isinstance(word, Stopped):
                worker.job = None
                self._settle(job, "stopped")
            elif isinstance(word, Failed):
                worker.job = None
                self._settle(job, "failed", _words_for(word))
            self._hand_out()

    def lost(self, worker: _Worker) -> None:
        """A worker has ended: put another in its place."""
        with self._lock:
            job, worker.job = worker.job, None
            if job is not None and job.state == "stopping":
                self._settle(job, "stopped")
            elif job is not None:
                self._settle(job, "failed", _ENDED)
            if self._is_open:
                if not worker.is_ready:
                    time.sleep(1.0)  # one that cannot even begin is not started over and over
                self._workers[self._workers.index(worker)] = _Worker(self)

    # within

    def _of(self, owner: str, slot: str) -> Job | None:
        """The newest job of an owner for a slot."""
        return next((job for job in reversed(self._jobs.values()) if job.owner == owner and job.slot == slot), None)

    def _is_full(self, owner: str) -> bool:
        mine = sum(1 for job in self._queue if job.owner == owner)
        return len(self._queue) >= MOST_WAITING or mine >= MOST_OF_ONE_OWNER

    def _keep(self, job: Job) -> None:
        """Keep the newest jobs; the oldest that are over are forgotten."""
        replaced = [kept.id for kept in self._jobs.values() if (kept.owner, kept.slot) == (job.owner, job.slot)]
        for name in replaced:
            if self._jobs[name].is_over:
                del self._jobs[name]
        self._jobs[job.id] = job
        for name in [name for name, kept in self._jobs.items() if kept.is_over][: max(0, len(self._jobs) - MOST_KEPT)]:
            del self._jobs[name]

    def _hand_out(self) -> None:
        """Give waiting jobs to idle workers: first to owners with fewest running, then first come first served."""
        for worker in self._workers:
            if not self._queue:
                return
            if worker.job is None and worker.is_ready:
                running = [other.job.owner for other in self._workers if other.job is not None]
                job = min(self._queue, key=lambda waiting: running.count(waiting.owner))
                self._queue.remove(job)
                job.state, job.began_s = "running", time.monotonic()
                worker.job = job
                worker.say(job.order)

    def _take_down(self, job: Job, step: Step) -> None:
        with job.changed:
            job.step = step
            if step.answer is not None:
                job.answer = step.answer
                job.n_answers += 1
            job.changed.notify_all()

    def _settle(self, job: Job, state: State, error: str = "") -> None:
        """The job is over."""
        with job.changed:
            job.state = state
            job.error = error or job.error
            job.changed.notify_all()
        if state == "done" and job.answer is not None:
            self._answers[job.key] = (job.step, job.answer)
            while len(self._answers) > MOST_ANSWERS:
                self._answers.popitem(last=False)

    def _lose_patience(self, worker: _Worker, job: Job) -> None:
        """A study that does not stop when asked is ended with its process."""
        with self._lock:
            if worker.job is job:
                worker.end()


def _words_for(word: Failed) -> str:
    """What the user is told of a failure; faults go to the log."""
    if not word.is_fault:
        return word.text
    mark = secrets.token_hex(4)
    LOG.error("fault %s in a study\n%s", mark, word.text)
    return _FAULT.format(mark=mark)
