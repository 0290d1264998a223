"""What holds for every floor, on works drawn at random with whole-number times on purpose."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from functools import cache
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from linesim.fast.run import run_fast
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.run import Floor, run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.works import Works, works_from_dict
from tests.strategies import random_content, random_works, steady, timed

fewer, a_few = settings(steady, max_examples=30), settings(steady, max_examples=10)
"""Where each example takes two runs of its own."""


def plan_of(works: Works, policy: int = 0) -> Plan:
    return make_plan(works, f"policy {policy}")


class Witness:
    """Sees every part that is loaded, and how far every edge has gone whenever its machine turns to something else."""

    floor: Floor

    def __init__(self) -> None:
        self.events: list[tuple[Any, ...]] = []
        self.parts: dict[tuple[int, int], Part] = {}
        self.gone: dict[tuple[int, int], float] = {}
        self.castings: dict[tuple[int, int], list[float]] = {}
        self.edges: dict[tuple[int, int], tuple[float, float]] = {}
        self.failures: dict[tuple[int, int], float] = {}
        self._share: dict[int, tuple[int, float]] = {}
        self.cut_min: dict[int, float] = {}
        self._since: dict[int, tuple[State, float]] = {}

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        self.events.append((now_min, "enters", machine, int(state)))
        before, since = self._since.get(machine, (State.WAITING_FOR_PART, 0.0))
        if before is State.CUTTING:
            self.cut_min[machine] = self.cut_min.get(machine, 0.0) + now_min - since
        self._since[machine] = (state, now_min)
        if state is State.UNDER_REPAIR:
            failure = self.floor.machines[machine].spindle.failures
            self.failures[machine, failure] = self.cut_min.get(machine, 0.0)
        for mount in self.floor.machines[machine].mounts:
            self.look_at(mount)

    def look_at(self, mount: Mount) -> None:
        """An edge never gets sharper while it stays mounted; one that breaks may lose the last bit to rounding."""
        ordinal, share = self._share.get(mount.index, (-1, 0.0))
        assert mount.ordinal > ordinal or (mount.ordinal == ordinal and mount.life_share >= share - 1e-12)
        self._share[mount.index] = (mount.ordinal, mount.life_share)
        self.edges[mount.index, mount.ordinal] = (mount.life_factor, mount.break_share)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        self.events.append((now_min, what, machine, part.line, part.serial, tuple(part.error_um)))
        key = (part.line, part.serial)
        self.castings.setdefault(key, list(part.error_um))
        self.parts[key] = part
        is_last = operation == int(self.floor.plan.lines.end_operation[part.line]) - 1
        if what == "scrapped" or (what == "left" and is_last):
            self.gone[key] = now_min

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        self.events.append((now_min, "changed", machine, mount, why, life_share, parts))


class Seen(NamedTuple):
    """A run with its witness: parts inside as the counting began, and what it left behind."""

    plan: Plan
    witness: Witness
    inside: NDArray[np.int64]
    tally: Tally


def witnessed(plan: Plan, seed: int = 3) -> Seen:
    witness = Witness()
    floor = witness.floor = Floor(plan, seed, 0, [witness])
    floor.run_until(plan.warm_up_min)
    inside = np.array([yard.inside for yard in floor.yards])
    floor.start_counting()
    floor.run_until(plan.warm_up_min + plan.length_min)
    return Seen(plan, witness, inside, floor.finish())


def gathered(strategy: st.SearchStrategy[Any], plan_from: Callable[[Any], Plan]) -> list[Seen]:
    """The runs of all examples, made once for whoever looks at them; the witness asserts as they go on."""
    seen: list[Seen] = []

    @steady
    @given(strategy)
    def run(drawn: Any) -> None:
        seen.append(witnessed(plan_from(drawn)))

    run()
    assert len(seen) >= 50, "fewer works were drawn than should be"
    return seen


@cache
def runs() -> list[Seen]:
    return gathered(random_works(), plan_of)


@cache
def drained_runs() -> list[Seen]:
    return gathered(random_content(), drained)


def assert_same(tally: Tally, other: Tally) -> None:
    """Byte for byte."""
    for field in fields(Tally):
        one, two = (np.asarray(getattr(each, field.name)) for each in (tally, other))
        assert one.tobytes() == two.tobytes(), field.name


def test_every_minute_of_a_machine_falls_in_one_state() -> None:
    for _, _, _, tally in runs():
        assert np.all(tally.state_min >= 0.0)
        np.testing.assert_allclose(tally.state_min.sum(axis=1), tally.counted_min, rtol=1e-12)


def test_castings_are_shipped_spoilt_or_still_there() -> None:
    for plan, _, inside, tally in runs():
        gone = tally.shipped + tally.scrapped_parts + tally.in_line_at_end
        np.testing.assert_array_equal(inside + tally.castings, gone)
        assert tally.scrapped_castings.sum() == tally.scrapped_parts.sum() == tally.scrapped.sum()
        # What the last machines pass on is shipped at once.
        last = plan.lines.end_operation - 1
        passed = [tally.passed[plan.machines.operation == operation].sum() for operation in last]
        assert tally.shipped.tolist() == passed


def test_buffers_and_pallets_are_never_overfilled() -> None:
    for plan, witness, _, tally in runs():
        inner = np.ones(len(plan.operations.buffer), dtype=bool)
        inner[plan.lines.first_operation] = False
        assert np.all(tally.most_stock[inner] <= plan.operations.buffer[inner])
        standing = [len(yard.standing) for yard in witness.floor.yards]
        with_pallet = [yard.inside - held for yard, held in zip(witness.floor.yards, standing, strict=True)]
        assert np.all(np.array(with_pallet) <= plan.lines.pallets)


def test_an_edge_gets_no_sharper_but_by_a_change() -> None:
    """Asserted by the witness at every turn of every machine; and every change is counted once."""
    for plan, witness, _, tally in runs():
        counted = [event for event in witness.events if event[1] == "changed" and event[0] >= plan.warm_up_min]
        assert len(counted) == tally.planned.sum() + tally.joined.sum() + tally.unplanned.sum()


def drained(content: dict[str, Any]) -> Plan:
    """The plan of a works that starts empty, gets seven castings a line, and has all the time it needs."""
    content["run"] = {"length": 5_000.0, "warm_up": 0.0}
    for line in content["lines"].values():
        line["casting"]["limit"] = 7
    return plan_of(works_from_dict(timed(content), "drained"))


def test_littles_law_holds_on_a_path_that_ends_empty() -> None:
    """Parts in the line over time, and time in the line over parts, are the same sum (Stidham 1974)."""
    for _, witness, _, tally in drained_runs():
        assert not tally.in_line_at_end.any()
        total_min = np.zeros(len(tally.in_line_min))
        for key, part in witness.parts.items():
            total_min[key[0]] += witness.gone[key] - part.came_min
        np.testing.assert_allclose(tally.in_line_min, total_min, rtol=1e-12, atol=1e-9)


def test_in_the_end_every_set_is_mounted_or_sharp_on_the_shelf() -> None:
    """As many as there were at the start: none is lost without a new one, none is ground that was given up."""
    for plan, witness, _, _ in drained_runs():
        mounts = [mount for machine in witness.floor.machines.values() for mount in machine.mounts]
        for kind, shelf in enumerate(witness.floor.site.crib.shelves):
            mounted = [mount.cutter_set for mount in mounts if plan.mounts.kind[mount.index] == kind]
            numbers = [each.number for each in mounted if each is not None] + [each[2].number for each in shelf.sharp]
            assert len(numbers) == len(set(numbers)) == plan.kinds.sets[kind]


def test_the_same_seed_gives_the_same_tally_byte_for_byte_and_listening_does_not_change_the_run() -> None:
    for plan, _, _, listened in runs():
        assert_same(listened, run_floor(plan, 3, 0))


@a_few
@given(random_works(), st.integers(0, 2**62), st.integers(0, 2**62))
def test_any_seed_gives_the_same_tally_again(works: Works, seed: int, replication: int) -> None:
    plan = plan_of(works)
    assert_same(run_floor(plan, seed, replication), run_floor(plan, seed, replication))


def test_the_compiled_engine_leaves_the_same_tally() -> None:
    for plan, _, _, tally in runs():
        assert_same(tally, run_fast(plan, 3, 0))


def stretched(events: list[tuple[Any, ...]], factor: float) -> list[tuple[Any, ...]]:
    return [(factor * event[0], *event[1:]) for event in events]


@fewer
@given(random_content(), st.sampled_from([2.0, 0.5]))
def test_all_times_doubled_give_the_trace_doubled_exactly(content: dict[str, Any], factor: float) -> None:
    """To the last bit: powers of two do not round. Only moments change, nothing else that happens."""
    once = witnessed(plan_of(works_from_dict(timed(content), "once"))).witness
    twice = witnessed(plan_of(works_from_dict(timed(content, factor), "stretched"))).witness
    assert twice.events == stretched(once.events, factor)


@fewer
@given(random_works(policies=2))
def test_policies_share_castings_edges_and_breakdowns(works: Works) -> None:
    """What meets the same part, the same edge or the same failure under both is the same luck."""
    one, other = (witnessed(plan_of(works, policy)).witness for policy in (0, 1))
    for first, second in ((one.castings, other.castings), (one.edges, other.edges)):
        both = first.keys() & second.keys()
        if first is one.edges:
            # A reground edge may have a shorter life than a new one, and which is reground is the policy's doing.
            assert all(first[key][1] == second[key][1] for key in both)
        else:
            assert all(first[key] == second[key] for key in both)
    for key in one.failures.keys() & other.failures.keys():
        assert one.failures[key] == pytest.approx(other.failures[key], abs=1e-6)
