"""What the compiled engine promises besides agreement: bounded memory, an end, and a word where it cannot be used."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import linesim.fast.choice as choice
from linesim.errors import StudyError
from linesim.fast.run import FastFloor, run_fast
from linesim.floor.rules import change_rule
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.study import run
from linesim.study.one.runs import run_plan
from tests.agree.twins import Recorder, assert_twins_agree, both_refuse, different_fields, first_difference
from tests.builders import flow_line
from tests.patience import without_holding_up
from tests.rounds import some_each_time


def _plan(**more: Any) -> Plan:
    return make_plan(flow_line([2, {"exponential": {"mean": 2}}, 3], [3, 1], **more), "run out")


def _bytes(floor: FastFloor) -> int:
    return sum(array.nbytes for array in floor.working.arrays.values())


# --- long lines ---------------------------------------------------------------------------------------------------


def test_a_long_line_whose_machines_wait_for_one_setter_agrees() -> None:
    # Over 64 machines cut at a time, fewer and fewer, until most of them wait: the agenda grows and empties.
    stations = 90
    plan = make_plan(
        flow_line(
            [1.0 + 0.01 * (at % 7) for at in range(stations)],
            [2] * (stations - 1),
            operations={f"Op {10 * at}": {"sets": ["cutter"], "setters": "setters"} for at in range(1, stations + 1)},
            works={
                "people": {"setters": {"count": 1}},
                "cutters": {"cutter": {"sets": 100, "change": 3, "renewal": {"bought": {}}, "life": 30}},
                "policies": {"run out": {"default": {"parts": 120}}},
            },
            length=400,
            warm_up=0,
        ),
        "run out",
    )
    tally = assert_twins_agree(plan)
    assert tally.stops.sum() > 20
    floor = FastFloor(plan, 1, 0)
    floor.run_until(400.0)
    assert floor.working.world.next_slot - floor.working.world.first_slot > 64


# --- memory and time ----------------------------------------------------------------------------------------------


def test_the_memory_of_a_run_does_not_grow_with_its_length() -> None:
    sizes = []
    for length in (1_000.0, 1_000_000.0):
        floor = FastFloor(_plan(length=length, warm_up=0), 1, 0)
        floor.run_until(length)
        sizes.append(_bytes(floor))
        assert floor.finish().shipped[0] > length / 4
    assert sizes[0] == sizes[1]


def test_a_buffer_without_a_limit_may_fill() -> None:
    plan = make_plan(flow_line([1, 3], ["unlimited"], length=6_000, warm_up=0), "run out")
    tally = assert_twins_agree(plan)
    assert tally.most_stock[1] > 3_000


def test_a_trace_longer_than_its_array_is_told_in_pieces() -> None:
    plan = _plan(length=20_000, warm_up=0)
    floor, fast = Recorder(), Recorder()
    run_floor(plan, 1, 0, [floor])
    run_fast(plan, 1, 0, [fast])
    assert len(fast.events) > 60_000
    assert not first_difference(floor.in_order(), fast.in_order())


def test_a_run_in_many_steps_is_the_run_in_one() -> None:
    plan = _plan(length=5_000, warm_up=0)
    floor = FastFloor(plan, 1, 0)
    for step in range(1, 1001):
        floor.run_until(5.0 * step)
    assert not different_fields(run_fast(plan, 1, 0), floor.finish())


def test_a_long_run_can_be_stopped_and_keeps_what_it_has_done() -> None:
    floor = FastFloor(_plan(length=1e9, warm_up=0), 1, 0)
    floor.start_counting()
    floor.run_until(1.0)  # the kernel is at hand before the alarm is set

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, interrupt)
    signal.setitimer(signal.ITIMER_REAL, 0.5)
    try:
        with without_holding_up(), pytest.raises(KeyboardInterrupt):
            floor.run_until(1e9)
    finally:
        signal.signal(signal.SIGALRM, before)
    tally = floor.finish()
    assert 0.0 < tally.counted_min < 1e9
    assert tally.state_min.sum(axis=1) == pytest.approx(tally.counted_min)
    assert tally.shipped[0] > 1000


# --- lines that cannot move ---------------------------------------------------------------------------------------


def test_both_engines_say_when_a_line_can_never_move_again() -> None:
    """The one set in circulation is worn out, and the next one takes longer to come than the run lasts."""
    cutters = {"reamer": {"sets": 1, "renewal": {"bought": {}}, "life": 9, "breaking": "never", "lead_time": 1e9}}
    rule = {"run out": {"default": {"parts": 3}}}
    works = flow_line(
        [2],
        operations={"Op 10": {"sets": ["reamer"]}},
        works={"cutters": cutters, "policies": rule},
        length=1_000,
        warm_up=0,
    )
    tally = assert_twins_agree(make_plan(works, "run out"))
    assert tally.shipped.tolist() == [3]
    stuck = make_plan(flow_line([2, 3], line={"casting": {"limit": 4}}, length=1_000, warm_up=0), "run out")
    assert not assert_twins_agree(stuck).is_stuck
    nobody = replace(stuck, lines=stuck.lines._replace(pallets=stuck.lines.pallets * 0))
    tally = assert_twins_agree(nobody)
    assert (tally.is_stuck, tally.stuck_at_min) == (True, 0.0)


@pytest.mark.late
@pytest.mark.parametrize(
    ("minutes", "buffers"),
    [
        ([0, 0], [0]),
        *(
            pytest.param(*case, marks=pytest.mark.longer)
            for case in (([0, 1], ["unlimited"]), ([0, 0, 1], [3, "unlimited"]), ([0, 0], [3]))
        ),
    ],
)
def test_both_engines_refuse_a_circle_without_time_in_the_same_words(minutes: list[int], buffers: list[Any]) -> None:
    plan = make_plan(flow_line(minutes, buffers, length=10, warm_up=0), "run out")
    assert both_refuse(plan).startswith("at minute 0 parts go round without any time passing")


@pytest.mark.parametrize("castings", some_each_time([9_000, 49_000], 9_000))
def test_work_that_takes_no_time_is_no_circle_while_there_is_an_end_to_it(castings: int) -> None:
    def of(castings: int) -> Plan:
        line = {"casting": {"limit": castings}}
        return make_plan(flow_line([0, 0, 1], [2, "unlimited"], line=line, length=5, warm_up=0), "run out")

    tally = assert_twins_agree(of(2_000))
    assert (tally.worked[0], tally.most_stock[2]) == (2_000, 1_999)
    assert not different_fields(run_floor(of(castings), 1, 0), run_fast(of(castings), 1, 0))


@pytest.mark.parametrize(
    ("minutes", "buffers", "machines"),
    [
        ([0, 0], ["unlimited"], [1, 2]),
        ([0, 0, {"exponential": {"mean": 1}}, 1, 2], [1, 1, 1, 3], [1, 2, 2, 1, 1]),
        ([0, 0, 0.5, 0, 0], [0, 3, 3, 3], [2, 1, 1, 1, 2]),
    ],
)
def test_where_work_takes_no_time_both_engines_serve_in_the_same_order(
    minutes: list[Any], buffers: list[Any], machines: list[int]
) -> None:
    line = {"casting": {"limit": 5}}
    assert_twins_agree(make_plan(flow_line(minutes, buffers, machines, line=line, length=40, warm_up=0), "run out"))


# --- where the compiled engine cannot be used ---------------------------------------------------------------------


def test_a_rule_of_ones_own_runs_on_simpy_and_says_so() -> None:
    @change_rule("never, for the engines")
    def never(edge: object, now_min: float) -> bool:
        return False

    policies = {"own": {"default": {"own": {"name": "never, for the engines"}}}}
    works = flow_line([2], works={"policies": policies}, length=100, warm_up=0)
    cutters = {"reamer": {"sets": 1, "renewal": {"bought": {}}, "life": 9, "breaking": "never"}}
    works = flow_line(
        [2],
        operations={"Op 10": {"sets": ["reamer"]}},
        works={"policies": policies, "cutters": cutters},
        length=100,
        warm_up=0,
    )
    result = run(works, "own", engine="fast")
    assert result.engine == "simpy"
    assert "never, for the engines" in result.engine_note
    assert any("never, for the engines" in found.text for found in result.findings)


def test_an_engine_that_is_not_there_is_refused() -> None:
    with pytest.raises(StudyError, match='there is no engine "steam"; there are "fast" and "simpy"'):
        run(flow_line([2]), engine="steam")
    with pytest.raises(StudyError, match='there is no engine "floor"'):
        run_plan(make_plan(flow_line([2]), "run out"), 1, 0, engine="floor")


def _first_use(monkeypatch: pytest.MonkeyPatch, error: Exception) -> choice.Choice:
    """The engine chosen when the kernels are first used and fail with an error."""

    def fail(tier: str) -> None:
        raise error

    monkeypatch.setattr("linesim.fast.warming.warm_up", fail)
    choice._compile.cache_clear()
    try:
        return choice.choose_engine(_plan(), "fast", lambda text: None)
    finally:
        choice._compile.cache_clear()


@pytest.mark.parametrize("error", [OSError("no LLVM"), RuntimeError("no LLVM")])
def test_a_broken_compiler_leaves_the_run_to_simpy(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    monkeypatch.setattr(choice, "_fault_of_compiler", lambda: error)
    found = _first_use(monkeypatch, error)
    assert found.engine == "simpy"
    assert f"could not be compiled ({type(error).__name__}: no LLVM)" in found.why


def test_a_fault_in_a_kernel_is_raised_and_not_taken_for_a_missing_compiler(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(ZeroDivisionError, match="a fault of ours"):
        _first_use(monkeypatch, ZeroDivisionError("a fault of ours"))


def test_a_compiler_that_fails_at_the_smallest_function_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    assert choice._fault_of_compiler() is None

    def broken(**options: object) -> object:
        raise AttributeError("no such pass")

    monkeypatch.setattr(choice, "law_with", broken)
    assert str(choice._fault_of_compiler()) == "no such pass"


def test_the_first_use_says_what_it_does_and_that_it_cannot_be_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(choice, "kernel_folder", lambda: None)
    monkeypatch.setattr("linesim.fast.first_use.kernel_folder", lambda: None)
    monkeypatch.setattr(choice, "AT_HAND", set())
    choice._compile.cache_clear()
    told: list[str] = []
    assert choice.choose_engine(_plan(), "fast", told.append).engine == "fast"
    assert told[0].startswith("Compiling the fast engine")
    assert "it cannot be kept, as no folder can be written to" in told[1]


_IN_PLAIN_PYTHON = """
from random import Random
from linesim.law import IS_COMPILED
from linesim.plan.build import make_plan
from linesim.study import run
from linesim.study.one.runs import run_plan
from tests.agree.twins import assert_twins_agree
from tests.agree.works_at_random import random_works
from tests.builders import flow_line
assert not IS_COMPILED
for seed in (1, 3, 7):
    assert_twins_agree(make_plan(random_works(Random(seed)), "one"), seed)
print(run(flow_line([2]), engine="fast").engine_note)
"""


def test_without_a_compiler_simpy_runs_and_the_kernels_are_right_in_plain_python_too() -> None:
    environment = {**os.environ, "LINESIM_PLAIN": "1"}
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", _IN_PLAIN_PYTHON], env=environment, cwd=root, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "numba is missing, broken or switched off" in done.stdout
