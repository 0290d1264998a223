"""Between the crew and the store: runs are looked up by what determines them, and put away under it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from linesim.store import Store, StoredRun, StoredWorks
from linesim.study.crew.parcels import Done, Job
from linesim.study.crew.summary import RunSummary
from linesim.study.crew.version import model_version
from linesim.works import to_yaml

__all__ = ["Shelf"]

_AT_ONCE = 200


class Shelf:
    """The runs of one study in a store.

    Parameters
    ----------
    store : Store
        Where they are kept.
    study : int or None
        Number of the study.
    """

    def __init__(self, store: Store, study: int | None) -> None:
        self._store = store
        self._study = study
        self._works_kept: set[str] = set()

    def looked_up(self, jobs: Sequence[Job]) -> Iterator[tuple[Job, RunSummary | None]]:
        """Each job with what the store has of it; None if it has nothing."""
        if not self._store.has_runs_of(job.base.digest for job in jobs):
            yield from ((job, None) for job in jobs)
            return
        for first in range(0, len(jobs), _AT_ONCE):
            part = jobs[first : first + _AT_ONCE]
            keys = {job.number: job.key for job in part if not job.is_here_only}
            answer = self._store.outcomes(keys.values())
            if self._study is not None:
                named = [(keys[job.number], job.task.policy) for job in part if keys.get(job.number) in answer]
                self._store.note(self._study, named)
            for job in part:
                text = answer.get(keys.get(job.number, ""))
                yield job, None if text is None else RunSummary.from_text(text)

    def put(self, jobs: Sequence[Job], ended: Sequence[tuple[Job, Done]]) -> None:
        """Keep what has been done, as one change of the store."""
        pairs = [(jobs[number], summary) for _, done in ended for number, summary in done.summaries]
        pairs = [(job, summary) for job, summary in pairs if not job.is_here_only]
        for job, _ in pairs:
            self._keep_works(job)
        self._store.keep([self._row(job, summary) for job, summary in pairs], self._study)

    def _keep_works(self, job: Job) -> None:
        """Keep the scenario of a run, with the policy of the first run of it."""
        digest, works = job.base.digest, job.task.works
        if digest not in self._works_kept:
            alone = works.model_copy(update={"policies": {job.task.policy: job.policy}, "today": None})
            self._store.keep_works(StoredWorks(digest, works.name, to_yaml(alone)))
            self._works_kept.add(digest)

    def _row(self, job: Job, summary: RunSummary) -> StoredRun:
        task = job.task
        policy = json.dumps(job.policy.model_dump(mode="json", exclude_defaults=True), ensure_ascii=False)
        return StoredRun(
            key=job.key,
            works=job.base.digest,
            policy=task.policy,
            policy_text=policy,
            seed=task.seed,
            replication=task.replication,
            version=model_version(),
            outcome=summary.as_text(),
        )
