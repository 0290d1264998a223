"""Runs over several processes: parcels are sent, gathered as they end, and sent again if their worker is lost."""

from __future__ import annotations

import math
import signal
import threading
from collections import Counter, deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Future, wait
from contextlib import contextmanager
from enum import Enum, auto
from typing import Any, Protocol

import joblib
from joblib.externals import loky
from joblib.externals.loky.process_executor import ShutdownExecutorError

from linesim.errors import LinesimError, StudyError
from linesim.leader import Leader, follow
from linesim.starting import SAFE, safe_children
from linesim.study.crew.parcels import Done, Job, Parcel, carry_job, carry_parcel, goes_with, parcel_of
from linesim.study.crew.version import model_version
from linesim.study.one.progress import Progress

__all__ = ["Lead", "LocalTeam", "Progress", "Team", "processors", "send_out"]

_LOST = (BrokenExecutor, ShutdownExecutorError, CancelledError)
"""What a parcel comes back with when its worker was ended from outside."""

_PARCEL_S = 0.2
"""What a parcel should take: long against the sending, short against the patience of who waits or stops it."""

_WARM_S = 300.0
"""Workers that have had nothing to do for so long end by themselves."""

_GRACE_S = 0.3
"""Time given to parcels under way when a study is stopped; who has not ended by then is ended."""

_MOST_TRIES = 4
"""Times that a run may lose its worker before it is the run that is suspected."""


class Lead(Enum):
    """What the process that sends jobs to a team does itself."""

    SENDS = auto()
    HELPS_AT_FIRST = auto()
    """It does jobs until the first parcel comes back."""
    WORKS_ALONG = auto()
    """It does jobs as long as there are any, as one more worker."""


class Team(Protocol):
    """Workers that parcels can be sent to."""

    workers: int

    def submit(self, parcel: Parcel) -> Future[Done]:
        """Send a parcel."""

    def end(self, sent: Sequence[Future[Done]]) -> None:
        """Give up what has been sent, within a second."""

    def failed(self, error: BaseException) -> LinesimError | None:
        """What it means that a parcel came back with an error that is none of linesim's; None for a lost worker."""


def processors() -> int:
    """Processors that this process may use."""
    return int(joblib.cpu_count())


def send_out(jobs: Iterable[Job], team: Team, run_s: float | None, lead: Lead) -> Iterator[tuple[Job, Done]]:
    """Have jobs done by a team.

    Parameters
    ----------
    jobs : iterable of Job
        What to do.
    team : Team
        Who does it.
    run_s : float or None, s
        What one run takes, as far as that is known.
    lead : Lead
        What this process does of it.

    Yields
    ------
    (Job, Done)
        As parcels end; the job is the first of the parcel. An error of a run is handed over in it.

    Raises
    ------
    StudyError
        Workers are ended from outside again and again.
    """
    waiting, tries = deque(jobs), Counter[int]()
    sent: dict[Future[Done], list[Job]] = {}
    helps, hands = lead is not Lead.SENDS, team.workers + (lead is Lead.WORKS_ALONG)
    try:
        while waiting or sent:
            while waiting and len(sent) < 2 * team.workers:
                taken = _taken(waiting, run_s, hands)
                sent[team.submit(parcel_of(taken))] = taken
            if helps and waiting:
                job = waiting.popleft()
                yield job, carry_job(job)
            ended = wait(sent, timeout=0.0 if helps and waiting else 1.0, return_when=FIRST_COMPLETED).done
            for future in ended:
                of_parcel = sent.pop(future)
                done = _result(future, team)
                if done is None:
                    _again(of_parcel, waiting, tries)
                    continue
                helps = lead is Lead.WORKS_ALONG
                if done.summaries:
                    each_s = done.took_s / len(done.summaries)
                    run_s = each_s if run_s is None else min(run_s, each_s)
                yield of_parcel[0], done
    finally:
        if sent:
            team.end(list(sent))


def _taken(waiting: deque[Job], run_s: float | None, hands: int) -> list[Job]:
    """Take the jobs of the next parcel: more at once where runs are short, fewer towards the end."""
    fair = math.ceil(len(waiting) / (2 * hands))
    most = 1 if run_s is None else max(1, min(fair, int(_PARCEL_S / max(run_s, 1e-6))))
    taken = [waiting.popleft()]
    while waiting and len(taken) < most and goes_with(taken[0], waiting[0]):
        taken.append(waiting.popleft())
    return taken


def _result(future: Future[Done], team: Team) -> Done | None:
    """What came back; None if the worker was lost."""
    try:
        return future.result()
    except LinesimError:
        raise
    except Exception as error:
        text = team.failed(error)
        if text is None:
            return None
        raise text from error


def _again(lost: Sequence[Job], waiting: deque[Job], tries: Counter[int]) -> None:
    """Put the jobs of a lost parcel first in the row."""
    tries.update(job.number for job in lost)
    worst = max(lost, key=lambda job: tries[job.number])
    if tries[worst.number] >= _MOST_TRIES:
        raise StudyError(
            f'policy "{worst.task.policy}", replication {worst.task.replication}: its worker process was ended from '
            f"outside {_MOST_TRIES} times, most likely for want of memory; ask for fewer workers"
        )
    waiting.extendleft(reversed(lost))


# --- workers on this machine -----------------------------------------------------------------------------------------

_pools: dict[int, Any] = {}
_first_parcels: dict[int, Future[Done]] = {}
"""By the number of workers, what was sent to see when the first of them has come."""
_pools_lock = threading.Lock()


class LocalTeam:
    """Processes on this machine, kept warm from study to study.

    Parameters
    ----------
    workers : int
        How many, 1 or more.
    """

    def __init__(self, workers: int) -> None:
        self.workers = workers

    @property
    def is_started(self) -> bool:
        """Whether its processes have been started."""
        return self.workers in _pools

    @property
    def is_ready(self) -> bool:
        """Whether one of its processes has done something, so that sending costs next to nothing."""
        first = _first_parcels.get(self.workers)
        return self.is_started and first is not None and first.done()

    def start(self, job: Job) -> None:
        """Start the processes while this one goes on; what they do of the job to begin with is thrown away."""
        self.submit(parcel_of([job]))

    def submit(self, parcel: Parcel) -> Future[Done]:
        """Send a parcel; processes are started if there are none."""
        with _interrupts_put_off(), safe_children():
            try:
                sent: Future[Done] = self._pool().submit(carry_parcel, parcel, model_version())
            except _LOST:  # another study has ended them, or they have ended by themselves
                self._forget()
                sent = self._pool().submit(carry_parcel, parcel, model_version())
        _first_parcels.setdefault(self.workers, sent)
        return sent

    def end(self, sent: Sequence[Future[Done]]) -> None:
        """Give up what has been sent; processes stay warm if what they do ends soon, else they are ended."""
        for future in sent:
            future.cancel()
        running = [future for future in sent if not future.done()]
        if running and wait(running, timeout=_GRACE_S).not_done:
            self._forget()

    def failed(self, error: BaseException) -> LinesimError | None:
        """A lost worker is none; anything else is a fault of linesim, and goes on as it is."""
        if isinstance(error, _LOST):
            return None
        raise error

    def _pool(self) -> Any:
        with _pools_lock:
            if self.workers not in _pools:
                _pools[self.workers] = loky.ProcessPoolExecutor(
                    self.workers, timeout=_WARM_S, initializer=follow, initargs=(Leader(),), env=_SURROUNDINGS
                )
            return _pools[self.workers]

    def _forget(self) -> None:
        """End the processes, whatever they do."""
        with _pools_lock:
            pool = _pools.pop(self.workers, None)
            _first_parcels.pop(self.workers, None)
        if pool is not None:
            pool.shutdown(wait=False, kill_workers=True)


_SURROUNDINGS = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"} | SAFE
"""Each worker has a processor to itself; a run uses no more than one."""


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
