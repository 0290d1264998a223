"""Ctrl-C in a long run: it ends within a second and leaves the tables of the minutes that it did, on both engines."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import psutil
import pytest

from linesim.plan.build import make_plan
from linesim.study import run
from linesim.study.one.runs import run_plan
from tests.builders import flow_line

_ROOT = Path(__file__).parents[2]
_LONG = """
linesim: 1
name: long
run: {length: 9e8 min, warm_up: 0 min}
lines: {line: {operations: {Op 10: {minutes: 2}, Op 20: {minutes: 3, buffer: 4}}}}
policies: {run out: {default: run out}}
"""


def _stop_soon(after_s: float) -> list[float]:
    """Interrupt this process in a while; the moment is written into the list."""
    sent: list[float] = []

    def send() -> None:
        sent.append(time.monotonic())
        os.kill(os.getpid(), signal.SIGINT)

    threading.Timer(after_s, send).start()
    return sent


def _wait_until_busy_for(processor_s: float, pid: int) -> None:
    """Until a process has used so much of the processor: it starts in a third of that, and then runs its line."""
    end = time.monotonic() + 120.0
    process = psutil.Process(pid)
    while sum(process.cpu_times()[:2]) < processor_s and time.monotonic() < end:
        time.sleep(0.05)


@pytest.mark.parametrize("engine", ["simpy", "fast"])
def test_a_stopped_run_is_the_run_of_the_minutes_that_it_did(engine: str) -> None:
    short, works = (
        flow_line([2, {"exponential": {"mean": 2}}, 3], [3, 1], length=length, warm_up=10) for length in (10, 9e8)
    )
    run(short, engine=engine)
    sent = _stop_soon(1.5)
    result = run(works, seed=4, engine=engine, keeps_on_interrupt=True)
    assert time.monotonic() - sent[0] < 1.0
    assert result.stopped_at_min is not None
    counted_min = result.stopped_at_min - 10.0
    assert result.tally.counted_min == result.plan.length_min == counted_min
    assert result.findings[0].text.startswith(f"Cut short: the run was stopped at minute {result.stopped_at_min:g};")
    whole = replace(make_plan(works, "run out"), length_min=counted_min)
    if engine == "fast":
        asked = run_plan(whole, 4, 0, engine="fast")
        assert all(np.array_equal(value, getattr(asked, name)) for name, value in vars(result.tally).items())
    shares = [name for name in result.machines.columns if name.endswith("_share")]
    assert result.machines[shares].sum(axis=1).to_numpy() == pytest.approx(1.0)


def test_an_interrupt_in_the_warm_up_leaves_nothing_and_says_so() -> None:
    _stop_soon(1.5)
    with pytest.raises(KeyboardInterrupt, match="Stopped in the warm-up, before anything was counted"):
        run(flow_line([2, 3], length=10, warm_up=9e8), keeps_on_interrupt=True, engine="simpy")
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.late
@pytest.mark.parametrize("engine", [pytest.param("simpy", marks=pytest.mark.longer), "fast"])
def test_the_command_prints_what_was_finished_and_ends_with_130(engine: str, tmp_path: Path) -> None:
    (tmp_path / "long.yaml").write_text(_LONG, encoding="utf-8")
    trace = tmp_path / "trace"
    command = [sys.executable, "-m", "linesim", "run", str(tmp_path / "long.yaml"), "--json", "--engine", engine]
    command += ["--trace", str(trace)] if engine == "simpy" else []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=_ROOT, start_new_session=True
    ) as running:
        _wait_until_busy_for(6.0, running.pid)
        began = time.monotonic()
        os.killpg(running.pid, signal.SIGINT)
        out, errors = running.communicate(timeout=60)
    assert running.returncode == 130, errors
    assert "Traceback" not in errors
    assert time.monotonic() - began < 5.0
    summary = json.loads(out)["summary"]
    assert 0.0 < summary["counted_min"] == summary["stopped_at_min"] < 9e8
    assert summary["lines"][0]["shipped"] > 1000
    if engine == "simpy":
        from pyarrow import parquet  # noqa: PLC0415

        rows = parquet.read_table(trace / "parts.parquet", columns=["left_min"]).column("left_min")
        assert summary["stopped_at_min"] - 10.0 < max(value for value in rows.to_pylist() if value)
