"""Who carries out the runs of a study."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linesim.study.outcome import Outcome, Task, carry_out

__all__ = ["Crew"]


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
        """
        for number, task in enumerate(tasks):
            yield number, carry_out(task)
