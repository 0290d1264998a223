"""Who carries out the runs of a study."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from linesim.errors import ScenarioError, StudyError
from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.study.crew.cluster import ClusterTeam
from linesim.study.crew.outcome import Outcome, Task, outcome_of
from linesim.study.crew.parcels import Done, Job, carry_job, jobs_of
from linesim.study.crew.sending import Lead, LocalTeam, processors, send_out
from linesim.study.crew.summary import RunSummary

if TYPE_CHECKING:  # a worker needs no database
    from linesim.store import Store
    from linesim.study.crew.shelf import Shelf

__all__ = ["Crew", "Prospect"]

_WORTH_STARTING_S = 4.0
"""Work left that makes it worth while to start workers, which takes them some two seconds."""

_WORTH_SENDING_S = 0.1
"""The same where they have been started."""

_LOOKED_AT = 8
"""Plans that are laid out before workers start, to see which kernels they take; a worker compiles what others take."""

_TOGETHER_S = 0.2
"""Short runs are kept in the store together, as each change of it waits for the disk."""


@dataclass
class Prospect:
    """What a study that asks for runs a few at a time knows of all of them.

    Attributes
    ----------
    to_come : int
        Runs that it will ask for after these, about: workers that a few runs are not worth may be worth starting.
    run_s : float or None, s
        What a run has taken so far; the crew keeps it up to date.
    """

    to_come: int = 0
    run_s: float | None = None


@dataclass(frozen=True)
class Crew:
    """Carries out runs; the outcome of a run does not depend on who does it, and when.

    Attributes
    ----------
    workers : int or None
        Processes to use, 1 or more; None: as many as the work is worth.
    store : Store or None
        Where runs are kept as they end, and looked up before they are carried out.
    cluster : str, Path or None
        Address of a Dask scheduler (``tcp://host:port``) or its scheduler file; the workers there take the place of
        processes here.
    study : int or None
        Number of the study in the store that the runs belong to; see `linesim.study.crew.recording`.
    """

    workers: int | None = None
    store: Store | None = None
    cluster: str | Path | None = None
    study: int | None = None

    def __getstate__(self) -> dict[str, object]:
        """A crew that goes to another process with an answer leaves its store behind, which cannot travel."""
        return vars(self) | {"store": None}

    def runs(self, tasks: Sequence[Task]) -> Iterator[tuple[int, Outcome]]:
        """Carry out runs, and hand each over as soon as it has ended.

        Parameters
        ----------
        tasks : sequence of Task
            What to run.

        Yields
        ------
        (int, Outcome)
            The number of the task among those given, and what the study holds of its run: first those that are in the
            store, then the others in the order in which they end, each in the store by then. Closing the iterator ends
            what is still under way; what has been handed over stays in the store.

        Raises
        ------
        ScenarioError
            A policy or a rule is not known, or a cut cannot be made as described.
        StudyError
            Fewer than one worker is asked for, workers are ended from outside again and again, or the cluster cannot
            be reached or has another version.
        RunError
            A run cannot be carried on.
        StoreError
            The store cannot be read or written.

        Notes
        -----
        A rule of one's own that no file of the task defines is known in this process only; such runs stay here, and
        are not kept in the store.
        """
        with closing(self.summaries(tasks)) as summaries:
            for number, summary in summaries:
                yield number, outcome_of(summary, tasks[number])

    def summaries(
        self, tasks: Sequence[Task], prospect: Prospect | None = None
    ) -> Generator[tuple[int, RunSummary], None, None]:
        """The same as `runs`, with each run in short, for who reads figures alone.

        Parameters
        ----------
        tasks : sequence of Task
            What to run.
        prospect : Prospect, optional
            What is known of the runs that will be asked for later.
        """
        if self.workers is not None and self.workers < 1:
            raise StudyError(f"{self.workers} workers were asked for; at least 1 was expected")
        shelf = self._shelf()
        # What is kept may be asked for its findings one day.
        jobs = jobs_of(tasks if shelf is None else [replace(task, is_told=True) for task in tasks])
        missing = jobs if shelf is None else []
        for job, kept in () if shelf is None else shelf.looked_up(jobs):
            if kept is None:
                missing.append(job)
            else:
                yield job.number, kept
        carried = self._carried(missing, prospect or Prospect())
        with closing(carried if shelf is None else self._shelved(shelf, carried, jobs)) as ended:
            for job, done in ended:
                yield from done.summaries
                if done.error is not None:
                    raise _told_here(job.task, done.error)

    def _shelved(
        self, shelf: Shelf, carried: Generator[tuple[Job, Done], None, None], jobs: Sequence[Job]
    ) -> Generator[tuple[Job, Done], None, None]:
        """Put what was done into the store before it is handed over; short runs several at once."""
        held: list[tuple[Job, Done]] = []
        since = time.monotonic()
        try:
            for job, done in carried:
                held.append((job, done))
                if done.took_s < _TOGETHER_S / 4 and not done.error and time.monotonic() - since < _TOGETHER_S:
                    continue
                ready, held = held, []
                shelf.put(jobs, ready)
                yield from ready
                since = time.monotonic()
        finally:
            # What was done when somebody stopped it is kept as well.
            carried.close()
            shelf.put(jobs, held)
        yield from held

    def _shelf(self) -> Shelf | None:
        """The way to the store, if there is one."""
        if self.store is None:
            return None
        from linesim.study.crew.shelf import Shelf  # noqa: PLC0415 - a worker needs no database

        return Shelf(self.store, self.study)

    def _carried(self, jobs: Sequence[Job], prospect: Prospect) -> Generator[tuple[Job, Done], None, None]:
        """Do the jobs here or have them done, whichever is sooner."""
        here = [job for job in jobs if job.is_here_only]
        rest = deque(job for job in jobs if not job.is_here_only)
        yield from ((job, carry_job(job)) for job in here)
        if self.cluster is not None and rest:
            with ClusterTeam(self.cluster) as away:
                yield from send_out(rest, away, None, Lead.SENDS)
            return
        workers = processors() if self.workers is None else self.workers
        if workers == 1:
            yield from ((job, carry_job(job)) for job in rest)
        elif self.workers is None:
            # This process works along, which saves it the start of one worker.
            team = LocalTeam(workers - 1)
            yield from _begun_here(rest, team, prospect)
            if rest:
                yield from send_out(rest, team, prospect.run_s, Lead.WORKS_ALONG)
        elif rest:
            team = LocalTeam(min(workers, len(rest)) or 1)
            if not team.is_started:
                _prepare(rest)
            yield from send_out(rest, team, None, Lead.SENDS if team.is_ready else Lead.HELPS_AT_FIRST)


def _begun_here(rest: deque[Job], team: LocalTeam, prospect: Prospect) -> Iterator[tuple[Job, Done]]:
    """Do jobs here, until those that are left are worth sending.

    Where they would not be worth a start of workers but those to come are, workers are started meanwhile.
    """
    while rest:
        run_s = prospect.run_s or 0.0
        if run_s * len(rest) >= (_WORTH_SENDING_S if team.is_ready else _WORTH_STARTING_S):
            return
        if not team.is_started and run_s * (len(rest) + prospect.to_come) >= _WORTH_STARTING_S:
            team.start(rest[0])
        job = rest.popleft()
        done = carry_job(job)
        prospect.run_s = done.took_s if prospect.run_s is None else min(prospect.run_s, done.took_s)
        yield job, done


def _prepare(jobs: Sequence[Job]) -> None:
    """Have compiled here, if need be, what runs the first jobs, so that workers who have yet to start find it done."""
    fast = {(id(job.task.works), job.task.policy): job.task for job in jobs if job.task.engine == "fast"}
    for task in list(fast.values())[:_LOOKED_AT]:
        choose_engine(make_plan(task.works, task.policy), task.engine)


def _told_here(task: Task, error: Exception) -> Exception:
    """The error of a run; one of a scenario as it is told here, where file and line are known."""
    if isinstance(error, ScenarioError):
        try:
            make_plan(task.works, task.policy)
        except ScenarioError as retold:
            return retold
    return error
