"""Studies in processes of their own: a bounded number at once, the others in a queue, each with its owner.

A page asks the `Board` a question (which study, with what) and gets a `Job`. The job is known by an id that nobody can
guess, and lives on the server: it goes on when the page is reloaded or left. Pages look at ``job.step`` now and then.

Why not a library. Pebble's ``ProcessPool``, joblib's loky and Dask's client carry work out in other processes as well,
and Pebble ends one that takes too long. What a page needs is not in them: answers on the way, which stay when a study
is stopped (their futures give one answer, at the end); stopping that asks first, so that the process with its compiled
kernels stays warm (Pebble's ``cancel`` ends the process, and the next one needs seconds to load; loky and Dask cannot
stop a running task at all); turns among owners rather than first come first served; and a limit of memory with a word
when it is reached. Laid over any of them, all this would be as long as it is here over two pipes.
"""

from __future__ import annotations

import logging
import os
import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Hashable
from typing import Any

from dashboard.bounds import STUDIES, Bounds, shared
from dashboard.job import Job, State
from dashboard.process import Process
from dashboard.words import Failed, Full, Order, Ready, Step, Stop, Stopped

__all__ = ["Board", "Job"]

LOG = logging.getLogger("linesim.dashboard")

MOST_WAITING = 100
MOST_OF_ONE_OWNER = 12
_MOST_JOBS = 400
_WATCH_EVERY_S = 0.1

_TOO_MANY = "There are too many studies waiting just now. Stop one of yours, or try again in a minute."
_FAULT = "A fault of the program ended this study. It is in the server's log as {mark}; your scenario is safe."


class Board:
    """Where questions are put up, handed to workers, watched and stopped.

    Parameters
    ----------
    workers : int, optional
        Orders that are carried out at once; one per processor unless given.
    bounds : Bounds
        What each may take.
    """

    def __init__(self, workers: int | None = None, bounds: Bounds = STUDIES) -> None:
        self.most_running = max(1, workers or os.cpu_count() or 1)
        self.bounds = shared(bounds, self.most_running)
        self._lock = threading.RLock()
        self._begun_s = time.monotonic()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._queue: list[Job] = []
        self._answers: OrderedDict[Hashable, Any] = OrderedDict()
        self._closed = threading.Event()
        self._workers = [self._worker() for _ in range(self.most_running)]
        threading.Thread(target=self._watch, daemon=True).start()

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
            With its answer already, if anyone has asked the same before; whoever asks what is under way for another
            owner waits for that.
        """
        with self._lock:
            mine = self._of(owner, slot)
            if mine is not None and mine.key == key:
                return mine
            if mine is not None:
                self.stop(mine)
            job = Job(secrets.token_urlsafe(16), owner, slot, key, order)
            self._remember(job)
            if key in self._answers:
                self._answers.move_to_end(key)
                job.step, job.answer = self._answers[key]
                job.n_answers = 1
                self._settle(job, "done")
            elif (at_it := next((worker for worker in self._workers if _is_at(worker, key)), None)) is not None:
                self._begin(at_it, job)
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
        """Stop a job; its last answer stays, and what others wait for goes on."""
        with self._lock:
            if job in self._queue:
                self._queue.remove(job)
                self._settle(job, "stopped")
            elif job.state == "running":
                worker = next(worker for worker in self._workers if job in worker.jobs)
                if len(worker.jobs) > 1:
                    worker.jobs.remove(job)
                    self._settle(job, "stopped")
                    return
                job.state, job.stopped_s = "stopping", time.monotonic()
                assert worker.order is not None
                worker.say(Stop(worker.order.number))

    def ahead_of(self, job: Job) -> int:
        """How many jobs come before a waiting one, the running ones left out."""
        with self._lock:
            return self._queue.index(job) if job in self._queue else 0

    def is_warming(self) -> bool:
        """Whether no worker has finished loading yet."""
        return self.warming_s() is not None

    def warming_s(self) -> float | None:
        """How long the workers have been loading, in seconds; None once one of them is ready."""
        return None if any(worker.is_ready for worker in self._workers) else time.monotonic() - self._begun_s

    @property
    def process_ids(self) -> list[int]:
        """Of the workers."""
        return [worker.id for worker in self._workers]

    def close(self) -> None:
        """End all workers, and wait until they have ended."""
        with self._lock:
            self._closed.set()
            for worker in self._workers:
                worker.end()
        for worker in self._workers:
            worker.ear.join(10.0)

    # heard from workers

    def _worker(self) -> Process:
        return Process(self.bounds, self._heard, self._lost)

    def _heard(self, worker: Process, word: Any) -> None:
        """Take down a word of a worker."""
        with self._lock:
            if isinstance(word, Ready):
                worker.is_ready = worker.has_begun = True
            elif isinstance(word, Step):
                for job in worker.jobs:
                    job.take_down(word)
                if word.is_final:
                    self._give_back(worker, "done")
            elif isinstance(word, Stopped):
                self._give_back(worker, "stopped")
            elif isinstance(word, Failed):
                self._give_back(worker, "failed", _words_for(word))
            elif isinstance(word, Full):
                worker.is_ready = False  # it ends with this word
                self._give_back(worker, "failed", self.bounds.too_large)
            self._hand_out()

    def _give_back(self, worker: Process, state: State, error: str = "") -> None:
        """A worker has done with its order."""
        jobs, worker.jobs, worker.order = worker.jobs, [], None
        for job in jobs:
            self._settle(job, state, error)

    def _lost(self, worker: Process) -> None:
        """A worker has ended: put another in its place."""
        if not worker.has_begun:
            self._closed.wait(1.0)  # one that cannot even begin is not started over and over
        with self._lock:
            is_stopped = any(job.state == "stopping" for job in worker.jobs)
            self._give_back(worker, "stopped" if is_stopped else "failed", "" if is_stopped else self.bounds.ended)
            if not self._closed.is_set():
                self._workers[self._workers.index(worker)] = self._worker()

    # within

    def _of(self, owner: str, slot: str) -> Job | None:
        """The newest job of an owner for a slot."""
        return next((job for job in reversed(self._jobs.values()) if job.owner == owner and job.slot == slot), None)

    def _is_full(self, owner: str) -> bool:
        mine = sum(1 for job in self._queue if job.owner == owner)
        return len(self._queue) >= MOST_WAITING or mine >= MOST_OF_ONE_OWNER

    def _remember(self, job: Job) -> None:
        """Remember the newest jobs; the oldest that are over are forgotten."""
        replaced = [old.id for old in self._jobs.values() if (old.owner, old.slot) == (job.owner, job.slot)]
        for name in replaced:
            if self._jobs[name].is_over:
                del self._jobs[name]
        self._jobs[job.id] = job
        for name in [name for name, old in self._jobs.items() if old.is_over][: max(0, len(self._jobs) - _MOST_JOBS)]:
            del self._jobs[name]

    def _hand_out(self) -> None:
        """Give waiting jobs to idle workers, like ones together."""
        for worker in self._workers:
            first = self._whose_turn() if worker.order is None and worker.is_ready else None
            if first is not None:
                worker.order = first.order
                for job in [first, *(job for job in self._queue if job is not first and job.key == first.key)]:
                    self._queue.remove(job)
                    self._begin(worker, job)
                worker.say(first.order.packed())

    def _begin(self, worker: Process, job: Job) -> None:
        """Let a job wait for what a worker does, with what has been said of that so far."""
        job.state, job.began_s = "running", time.monotonic()
        if worker.jobs:
            so_far = worker.jobs[0]
            job.began_s, job.step, job.answer, job.n_answers = (
                so_far.began_s, so_far.step, so_far.answer, so_far.n_answers,
            )  # fmt: skip
        worker.jobs.append(job)

    def _whose_turn(self) -> Job | None:
        """The waiting job that is next: of owners with fewest running, short before long, then first come first served.

        Of several workers one is left to short questions, so that no search holds them back.
        """
        running = [worker.jobs[0] for worker in self._workers if worker.jobs]
        owners, n_long = [job.owner for job in running], sum(job.order.is_long for job in running)
        may = [job for job in self._queue if not job.order.is_long or n_long < max(1, self.most_running - 1)]
        return min(may, key=lambda job: (owners.count(job.owner), job.order.is_long), default=None)

    def _settle(self, job: Job, state: State, error: str = "") -> None:
        job.settle(state, error)
        if state == "done" and job.answer is not None:
            self._answers[job.key] = (job.step, job.answer)
            while len(self._answers) > self.bounds.answers:
                self._answers.popitem(last=False)

    def _watch(self) -> None:
        """Stop what takes too long, and end the process of what does not stop when asked."""
        while not self._closed.wait(_WATCH_EVERY_S):
            now_s = time.monotonic()
            with self._lock:
                for worker in self._workers:
                    for job in list(worker.jobs):
                        if job.state == "running" and now_s - job.began_s > self.bounds.longest_s:
                            job.error = self.bounds.too_long
                            self.stop(job)
                        if job.state == "stopping" and now_s - job.stopped_s >= self.bounds.patience_s:
                            worker.end()


def _is_at(worker: Process, key: Hashable) -> bool:
    """Whether a worker is carrying out just this, and goes on with it."""
    return any(job.key == key and job.state == "running" for job in worker.jobs)


def _words_for(word: Failed) -> str:
    """What the user is told of a failure; faults go to the log."""
    if not word.is_fault:
        return word.text
    mark = secrets.token_hex(4)
    LOG.error("fault %s in a study\n%s", mark, word.text)
    return _FAULT.format(mark=mark)
