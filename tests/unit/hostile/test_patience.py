"""A stopwatch of an attack leaves out what others kept a process waiting, and nothing else."""

from __future__ import annotations

import subprocess
import sys
import time

import pytest

from tests.benchmarks.attack import patience
from tests.benchmarks.attack.patience import Patience


def test_sleeping_and_working_are_a_process_s_own_time() -> None:
    watch = Patience()
    time.sleep(0.3)
    end_s = time.process_time() + 0.1
    while time.process_time() < end_s:
        pass
    assert watch.own_s > 0.35


def test_standing_ready_without_a_processor_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    waits_s = iter((5.0, 65.0))
    monkeypatch.setattr(patience, "starved_s", lambda _: next(waits_s))
    monkeypatch.setattr("time.monotonic", iter((100.0, 170.0)).__next__)
    assert Patience(1).own_s == pytest.approx(10.0)


def test_where_nothing_is_counted_the_wall_stands() -> None:
    assert patience.starved_s("no such process") == 0.0


def test_who_waits_for_a_family_waits_for_the_one_that_was_starved_most(monkeypatch: pytest.MonkeyPatch) -> None:
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as child:
        watch = Patience(is_family=True)
        before_s = watch.own_s
        monkeypatch.setattr(patience, "starved_s", lambda pid: 1e6 if pid == child.pid else 0.0)
        assert watch.own_s < before_s - 1e5
        monkeypatch.undo()
        child.communicate(b"\n")
