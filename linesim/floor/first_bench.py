"""The bench beside a machine where its first pieces are gauged while it runs on."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.buffer import Buffer
from linesim.floor.job import Job
from linesim.floor.machine import Machine
from linesim.floor.part import Part

__all__ = ["BEHIND", "FirstBench"]

BEHIND = 2**19
"""Added to the number of the machine among its like: a bench is served after all of them, and after those of tests."""


class FirstBench:
    """Gauges parts one after another, and lets them go on or scraps them.

    Parameters
    ----------
    machine : Machine
        Whose first pieces they are.
    waiting : Buffer
        Where they stand until somebody comes.
    """

    def __init__(self, machine: Machine, waiting: Buffer) -> None:
        self.machine = machine
        self.waiting = waiting
        self.rank = (machine.rank[0], BEHIND + machine.rank[1])
        machine.first_pieces.bench = waiting

    def run(self) -> Generator[Event, Any, None]:
        """Take a part, gauge it, and pass it on, for ever."""
        machine, first = self.machine, self.machine.first_pieces
        while True:
            part: Part = yield self.waiting.take(self.rank)
            job = Job(machine.env, first.people, self.rank)
            yield from job.come()
            yield from machine.spend(part, first.row.time, Purpose.FIRST_PIECE, machine.operation, part.serial, job)
            job.end()
            goes_on, is_first_try = first.answer(part)
            if goes_on:
                machine.count_passed(part, is_first_try)
                yield machine.target.put(part, self.rank)
                machine.tell(part, "left")
