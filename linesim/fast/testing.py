"""Tests of parts, and the benches where those are put right that a test has turned down.

A bench is a record among the machines, behind the real ones, with a round of its own.
"""

from __future__ import annotations

from linesim.chance.addresses import recut_index
from linesim.fast import codes, steps
from linesim.fast.common import add, call, count, four_uniforms, minutes_of, queue_claim, queue_giver, tell_part
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import part_at, pool_at, test_at
from linesim.fast.flow import scrap
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.state import Machine, World
from linesim.fast.weighing import amount_of, deviation_of
from linesim.plan.tables import NONE
from linesim.quality.consequences import MOST_REPAIRS, chance_of_reject

# --- the test ------------------------------------------------------------------------------------------------------


@compiled
def _test_part(w: World, m: Machine) -> int:
    """Test the part at hand; what is turned down goes to a bench or is scrap."""
    if not _is_turned_down(w, m):
        return steps.PASS_ON
    part, row = part_at(w.parts, m.part), test_at(w.tests, m.test)
    if part.failed_test != m.test:
        part.failed_test, part.repairs = m.test, 0
    if part.repairs >= row.tries or part.rounds >= MOST_REPAIRS:
        count(w.given_up, part.blamed)
        return scrap(w, m, codes.CAUSE_TEST)
    if w.is_traced:
        tell_part(w, steps.PART_TURNED_DOWN, m.index, m.part, m.serial)
    queue_giver(w, pool_at(w.pools, m.bench), m.index)
    call(w, m.bench)
    m.step = steps.TAKE
    return steps.BLOCKED


@inlined
def _is_turned_down(w: World, m: Machine) -> bool:
    """Whether the test turns the part down, which is charged to the largest term, or to other causes."""
    part, row = part_at(w.parts, m.part), test_at(w.tests, m.test)
    count(w.tested, m.test)
    if (part.put_right >> row.cause) & 1:
        return False
    total = deviation_of(w, row, m.part)
    uniform = four_uniforms(w, codes.PURPOSE_STRENGTH, row.draw, part.serial, 0)[0]
    if uniform >= chance_of_reject(total, row.strength, row.strength_sd, row.floor):
        return False
    part.blamed = row.end_term - 1
    if uniform >= row.floor and total > 0.0:
        largest = -1.0
        for term in range(row.first_term, row.end_term - 1):
            amount = amount_of(w, term, m.part)
            if amount > largest:
                largest = amount
                part.blamed = term
    count(w.turned_down, part.blamed)
    return True


# --- the bench -----------------------------------------------------------------------------------------------------


@compiled
def _take_to_bench(w: World, m: Machine) -> int:
    """Ask for a part to put right."""
    queue_claim(w, pool_at(w.pools, m.source), m.index)
    call(w, m.source)
    m.step = steps.BENCH_GOT
    return steps.BLOCKED


@compiled
def _begin_repair(w: World, m: Machine) -> int:
    """A part has been given; somebody to repair it is claimed."""
    return call_people(w, m, test_at(w.tests, m.test).people, NONE, steps.BENCH_REPAIR)


@compiled
def _repair_part(w: World, m: Machine) -> int:
    """The repair takes its minutes."""
    part, row = part_at(w.parts, m.part), test_at(w.tests, m.test)
    index = recut_index(part.serial, part.rounds)
    m.left_min = minutes_of(w, row.repair_time, codes.PURPOSE_MENDING, m.test, index)
    return work(w, m, m.left_min, steps.BENCH_DONE)


@compiled
def _give_back(w: World, m: Machine) -> int:
    """The part is put right or not, and goes back into the line."""
    part, row = part_at(w.parts, m.part), test_at(w.tests, m.test)
    let_go(w, m)
    count(w.repairs, part.blamed)
    add(w.repair_min, m.test, m.left_min)
    index = recut_index(part.serial, part.rounds)
    part.rounds += 1
    part.repairs += 1
    if four_uniforms(w, codes.PURPOSE_MENDING, m.test, index, 1)[0] < row.succeeds:
        part.put_right |= 1 << row.cause
    queue_giver(w, pool_at(w.pools, m.target), m.index)
    call(w, m.target)
    m.step = steps.BENCH_TAKE
    return steps.BLOCKED


@compiled
def test_or_repair(w: World, m: Machine, step: int) -> int:
    """The test of a part, and the steps of a bench where parts are repaired. Returns the step after."""
    if step == steps.TEST:
        return _test_part(w, m)
    if step == steps.BENCH_TAKE:
        return _take_to_bench(w, m)
    if step == steps.BENCH_GOT:
        return _begin_repair(w, m)
    return _repair_part(w, m) if step == steps.BENCH_REPAIR else _give_back(w, m)
