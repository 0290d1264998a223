"""A study whose process is ended, in whatever way: nothing lost, nobody left behind, and told if there is a way."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import psutil
import pytest

from linesim.starting import python
from linesim.store import open_store
from linesim.works import changed, load_works, to_yaml
from tests.unit.test_crew import until

pytestmark = pytest.mark.late

ROOT = Path(__file__).resolve().parents[3]
SMALLEST = ROOT / "scenarios" / "smallest.yaml"
SECONDS = 10.0
"""Within which nothing may be left."""


def a_long_study(folder: Path) -> tuple[subprocess.Popen[str], list[psutil.Process]]:
    """The command, once its workers are at work and runs are in the store, and all processes that it has started."""
    works = changed(load_works(SMALLEST), {"run": {"length": "2 shifts", "warm_up": "0 min"}})
    (folder / "line.yaml").write_text(to_yaml(works), encoding="utf-8")
    words = ["compare", "line.yaml", "--workers", "2", "--replications", "5000", "--store", "runs.sqlite"]
    study = subprocess.Popen(
        python("-m", "linesim", *words, "--engine", "simpy"), cwd=folder, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    leader = psutil.Process(study.pid)

    def is_under_way() -> bool:
        return len(leader.children(recursive=True)) >= 3 and n_runs(folder) >= 10

    assert until(is_under_way, 120.0), study.communicate(timeout=5)
    return study, leader.children(recursive=True)


def n_runs(folder: Path) -> int:
    if not (folder / "runs.sqlite").exists():
        return 0
    with open_store(folder / "runs.sqlite") as store:
        return store.count_runs()


def semaphores_of(pid: int) -> list[Path]:
    return list(Path("/dev/shm").glob(f"sem.*{pid}*"))


def assert_nobody_is_left(study: subprocess.Popen[str], started: list[psutil.Process]) -> None:
    end = time.monotonic() + SECONDS
    assert until(lambda: not any(process.is_running() for process in started), SECONDS), started
    assert until(lambda: not semaphores_of(study.pid), max(0.0, end - time.monotonic()))


@pytest.mark.longer
def test_after_kill_9_nobody_is_left_and_nothing_is_lost(tmp_path: Path) -> None:
    study, started = a_long_study(tmp_path)
    assert semaphores_of(study.pid)
    study.kill()
    study.communicate(timeout=30)  # its workers hold its pipes
    assert_nobody_is_left(study, started)
    with open_store(tmp_path / "runs.sqlite") as store:
        keys = [run.key for run in store.runs_of()]
        assert len(keys) == len(set(keys)) >= 10


@pytest.mark.parametrize(
    "number",
    [signal.SIGTERM, *(pytest.param(number, marks=pytest.mark.longer) for number in (signal.SIGHUP, signal.SIGINT))],
    ids=lambda number: number.name,
)
def test_a_request_to_end_is_heeded_as_ctrl_c_is(tmp_path: Path, number: signal.Signals) -> None:
    study, started = a_long_study(tmp_path)
    study.send_signal(number)
    _, told = study.communicate(timeout=30)
    assert study.returncode == 130
    assert told.endswith(
        "Stopped; the runs that had ended are kept in runs.sqlite. The same command goes on from there.\n"
    )
    assert "Traceback" not in told
    assert_nobody_is_left(study, started)
    with open_store(tmp_path / "runs.sqlite") as store:
        (kept,) = store.studies()
        assert kept.status == "stopped"
        assert kept.runs == store.count_runs() >= 10


def test_what_a_shell_has_told_to_ignore_is_ignored(tmp_path: Path) -> None:
    code = (
        "import signal; signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from linesim.cli.guard import end_as_with_ctrl_c; end_as_with_ctrl_c()\n"
        "print(signal.getsignal(signal.SIGHUP) is signal.SIG_IGN, signal.getsignal(signal.SIGTERM).__name__)\n"
    )
    surroundings = os.environ | {"PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        python("-c", code), env=surroundings, capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert done.stdout.split() == ["True", "_end"]
