"""Tests of parts, and the benches where those are put right that a test has turned down."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, Protocol

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import recut_index
from linesim.cutting.component import Component
from linesim.floor.buffer import Buffer
from linesim.floor.job import Job
from linesim.floor.part import Part
from linesim.floor.people import People
from linesim.floor.site import Site
from linesim.floor.station import Station, Target
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause
from linesim.quality.consequences import MOST_REPAIRS, chance_of_reject, over_limit

__all__ = ["Bench", "count_field_failures", "goes_to_bench", "is_turned_down", "passes_test"]


def _weigh(site: Site, row: Any, part: Part) -> tuple[list[float], float]:
    """Weighted deviation of each term of a test, and their sum."""
    amounts, total = [], 0.0
    for term in site.rows.test_terms[row.first_term : row.end_term - 1]:
        feature = site.rows.features[term.feature]
        worst = 0.0
        values = part.values_um(Component(term.component))
        for value in values[feature.first_place : feature.first_place + feature.places]:
            worst = max(worst, over_limit(value, term.aim_um, term.below_um, term.above_um))
        amounts.append(term.weight * worst)
        total += term.weight * worst
    return amounts, total


def is_turned_down(site: Site, test: int, part: Part) -> bool:
    """Test a part; what is turned down is charged to the largest term, or to other causes."""
    row, tally = site.rows.tests[test], site.tally
    tally.tested[test] += 1
    if part.put_right >> row.cause & 1:
        return False
    amounts, total = _weigh(site, row, part)
    uniform = site.timing.uniforms(Purpose.STRENGTH, row.draw, part.serial)[0]
    if uniform >= chance_of_reject(total, row.strength, row.strength_sd, row.floor):
        return False
    part.blamed = row.end_term - 1
    if uniform >= row.floor and total > 0.0:
        part.blamed = row.first_term + amounts.index(max(amounts))
    tally.turned_down[part.blamed] += 1
    return True


def goes_to_bench(site: Site, test: int, part: Part) -> bool:
    """Whether a part that was turned down is repaired, or is scrap."""
    if part.failed_test != test:
        part.failed_test, part.repairs = test, 0
    if part.repairs < site.rows.tests[test].tries and part.rounds < MOST_REPAIRS:
        return True
    site.tally.given_up[part.blamed] += 1
    return False


def count_field_failures(site: Site, part: Part, first_test: int, end_test: int) -> None:
    """Add the chance that a shipped part fails in the field, shared out over the terms by their amounts."""
    for test in range(first_test, end_test):
        row, chances = site.rows.tests[test], site.tally.field_chance
        amounts, total = _weigh(site, row, part)
        chances[row.end_term - 1] += row.floor
        if part.put_right >> row.cause & 1:
            continue
        by_surfaces = chance_of_reject(total, row.strength, row.strength_sd, row.floor) - row.floor
        if total <= 0.0:
            chances[row.end_term - 1] += by_surfaces
            continue
        for number, amount in enumerate(amounts):
            chances[row.first_term + number] += by_surfaces * amount / total


class Tester(Station, Protocol):
    """A machine, as far as its test needs to know it."""

    bench: Target | None

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap."""

    def tell(self, part: Part, what: str) -> None:
        """Tell all that listen that a part has moved."""


def passes_test(machine: Tester, part: Part) -> Generator[Event, Any, bool]:
    """Test the part, where the operation tests; what is turned down goes to a bench or is scrap."""
    site, test = machine.site, machine.spec.test
    if test == NONE or not is_turned_down(site, test, part):
        return True
    if not goes_to_bench(site, test, part):
        return machine.scrap(part, Cause.TEST)
    machine.tell(part, "turned down")
    assert machine.bench is not None
    yield machine.bench.put(part, machine.rank)
    return False


class Bench:
    """One place where parts are put right, one after another, and go back into the line.

    Parameters
    ----------
    site : Site
        The floor it stands on.
    test : int
        The test whose parts it repairs.
    rank : tuple of int
        Order among those who wait equally long.
    source, target : Buffer
        Where parts wait for it, and where they go back to.
    """

    def __init__(self, site: Site, test: int, rank: tuple[int, ...], source: Buffer, target: Buffer) -> None:
        self.site = site
        self.test = test
        self.row = site.rows.tests[test]
        self.rank = rank
        self.source = source
        self.target = target
        self.people: People | None = None if self.row.people == NONE else site.pools[self.row.people]

    def run(self) -> Generator[Event, Any, None]:
        """Take a part, put it right, and give it back, for ever."""
        while True:
            part: Part = yield self.source.take(self.rank)
            job, minutes = Job(self.site.env, self.people, self.rank), self._minutes(part)
            yield from job.come()
            yield from job.work(minutes)
            job.end()
            self._repaired(part, minutes)
            yield self.target.put(part, self.rank)

    def _minutes(self, part: Part) -> float:
        index = recut_index(part.serial, part.rounds)
        return self.site.timing.minutes(self.row.repair_time, Purpose.MENDING, self.test, index)

    def _repaired(self, part: Part, minutes: float) -> None:
        tally, index = self.site.tally, recut_index(part.serial, part.rounds)
        tally.repairs[part.blamed] += 1
        tally.repair_min[self.test] += minutes
        part.rounds += 1
        part.repairs += 1
        if self.site.timing.uniforms(Purpose.MENDING, self.test, index, 1)[0] < self.row.succeeds:
            part.put_right |= 1 << self.row.cause
