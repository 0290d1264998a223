"""Who carries out the runs of a study."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linesim.errors import ScenarioError, StudyError
from linesim.fast.choice import prepare
from linesim.plan.build import make_plan
from linesim.study.outcome import Outcome, Task, outcome_of
from linesim.study.parcels import Done, Job, carry_job, jobs_of
from linesim.study.spread import LocalTeam, processors, spread

__all__ = ["Crew"]

_WORTH_STARTING_S = 4.0
"""Work left that makes it worth while to start workers, which takes them some two seconds."""

_WORTH_SENDING_S = 0.5
"""The same where they have been started."""


@dataclass(frozen=True)
class Crew:
    """Carries out runs; the outcome of a run does not depend on who does it, and when.

    Attributes
    ----------
    workers : int or None
        Processes to use, 1 or more; None: as many as the work is worth.
    """

    workers: int | None = None

    def runs(self, tasks: Sequence[Task]) -> Iterator[tuple[int, Outcome]]:
        """Carry out runs, and hand each over as soon as it has ended.

        Parameters
        ----------
        tasks : sequence of Task
            What to run.

        Yields
        ------
        (int, Outcome)
            The place of the task among those given, and what is kept of its run; in the order in which they end.
            Closing the iterator ends what is still under way.

        Raises
        ------
        ScenarioError
            A policy or a rule is not known, or a cut cannot be made as described.
        StudyError
            Fewer than one worker is asked for, or workers are ended from outside again and again.
        RunError
            A run cannot be carried on.

        Notes
        -----
        A rule of one's own that no file of the task defines is known in this process only; such runs stay here.
        """
        if self.workers is not None and self.workers < 1:
            raise StudyError(f"{self.workers} workers were asked for; at least 1 was expected")
        jobs = jobs_of(tasks)
        for job, done in self._carried(jobs):
            for number, kept in done.kept:
                yield number, outcome_of(kept, jobs[number].task)
            if done.error is not None:
                raise _told_here(job.task, done.error)

    def _carried(self, jobs: Sequence[Job]) -> Iterator[tuple[Job, Done]]:
        """Do the jobs here or have them done, whichever is sooner."""
        here = [job for job in jobs if job.is_here_only]
        rest = [job for job in jobs if not job.is_here_only]
        yield from ((job, carry_job(job)) for job in here)
        workers = processors() if self.workers is None else self.workers
        if workers == 1:
            yield from ((job, carry_job(job)) for job in rest)
            return
        run_s = None
        team = LocalTeam(min(workers, len(rest)) or 1) if self.workers is not None else LocalTeam(workers)
        if self.workers is None:
            worth_s = _WORTH_SENDING_S if team.is_warm else _WORTH_STARTING_S
            while rest and (run_s is None or run_s * len(rest) < worth_s):
                job, rest = rest[0], rest[1:]
                done = carry_job(job)
                run_s = done.took_s if run_s is None else min(run_s, done.took_s)
                yield job, done
        elif any(job.task.engine == "fast" for job in rest):
            prepare()  # compiled here, if need be, so that the workers find it done
        if rest:
            yield from spread(rest, team, run_s, helps=not team.is_warm)


def _told_here(task: Task, error: Exception) -> Exception:
    """The error of a run; one of a scenario as it is told here, where file and line are known."""
    if isinstance(error, ScenarioError):
        try:
            make_plan(task.works, task.policy)
        except ScenarioError as told:
            return told
    return error
