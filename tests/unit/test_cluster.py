"""Studies on a cluster: a real Dask scheduler with two worker processes, one of which is killed in mid-study."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from linesim.errors import StudyError
from linesim.starting import python
from linesim.store import open_store
from linesim.study import StudyOptions, last_of
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import Outcome, carry_out
from linesim.study.search import IntervalStudy, SearchPlan
from linesim.works import to_yaml
from tests.patience import without_holding_up
from tests.unit.test_crew import blades, tasks_of

pytestmark = pytest.mark.late

ROOT = Path(__file__).resolve().parents[2]


def started(*words: str, log: Path, **environment: str) -> subprocess.Popen[bytes]:
    with log.open("wb") as out:
        return subprocess.Popen(
            [sys.executable, "-m", "distributed.cli." + words[0], *words[1:]],
            cwd=ROOT, stdout=out, stderr=out, start_new_session=True,
            env=os.environ | {"PYTHONPATH": str(ROOT)} | environment,
        )  # fmt: skip


def stop(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait(10)


class Cluster:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / "scheduler.json"
        words = ("--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(self.file))
        self.processes = [started("dask_scheduler", *words, log=folder / "scheduler.log")]
        end = time.monotonic() + 60
        while not self.file.exists() and time.monotonic() < end:
            time.sleep(0.05)
        self.address = json.loads(self.file.read_text(encoding="utf-8"))["address"]
        self.workers = [self.worker() for _ in range(2)]

    def worker(self) -> subprocess.Popen[bytes]:
        log = self.folder / f"worker-{len(self.processes)}.log"
        words = (self.address, "--host", "127.0.0.1", "--nthreads", "1", "--no-nanny", "--no-dashboard")
        process = started("dask_worker", *words, "--local-directory", str(self.folder), log=log)
        self.processes.append(process)
        return process

    def close(self) -> None:
        for process in reversed(self.processes):
            stop(process)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    running = Cluster(tmp_path_factory.mktemp("cluster"))
    try:
        yield running
    finally:
        running.close()


def test_a_cluster_gives_the_outcomes_of_this_process(cluster: Cluster) -> None:
    tasks = tasks_of(blades(), 4)
    for place in (cluster.address, cluster.file):
        found = dict(Crew(cluster=place).runs(tasks))
        assert [found[number] for number in range(len(tasks))] == [carry_out(task) for task in tasks]


def test_a_closed_study_leaves_the_cluster_to_others(cluster: Cluster) -> None:
    runs = Crew(cluster=cluster.address).runs(tasks_of(blades(96_000.0), 400))
    next(runs)
    with without_holding_up():
        runs.close()
        assert len(list(Crew(cluster=cluster.address).runs(tasks_of(blades(), 1)))) == 3


def test_a_worker_killed_in_mid_study_loses_and_doubles_nothing(cluster: Cluster, tmp_path: Path) -> None:
    tasks = tasks_of(blades(9600.0), 40)
    found: dict[int, Outcome] = {}
    with open_store(tmp_path / "runs.sqlite") as store:
        for number, outcome in Crew(store=store, cluster=cluster.address).runs(tasks):
            assert number not in found
            found[number] = outcome
            if len(found) == 10:
                stop(cluster.workers[0])
        assert store.count_runs() == len(tasks)
    assert [found[number] for number in range(len(tasks))] == [carry_out(task) for task in tasks]


def test_workers_come_and_go_in_mid_study(tmp_path: Path) -> None:
    """All of those at the beginning go, one that came in the midst ends it: every run once, with the same outcome."""
    tasks, running = tasks_of(blades(9600.0), 40), Cluster(tmp_path)
    found: dict[int, Outcome] = {}
    try:
        for number, outcome in Crew(cluster=running.address).runs(tasks):
            assert number not in found
            found[number] = outcome
            if len(found) == 6:
                running.worker()
            if len(found) in (20, 30):
                stop(running.workers[len(found) == 30])
        assert [worker.poll() is None for worker in running.workers] == [False, False]
    finally:
        running.close()
    assert [found[number] for number in range(len(tasks))] == [carry_out(task) for task in tasks]


def test_a_search_on_a_cluster_finds_what_it_finds_here(cluster: Cluster) -> None:
    plan = SearchPlan(runs=60, replications=4, fresh=6)
    there, here = (
        last_of(IntervalStudy(blades(9600.0), plan=plan, options=StudyOptions(crew=crew, seed=5)).steps())
        for crew in (Crew(cluster=cluster.address), Crew(1))
    )
    assert (there.setting, there.runs) == (here.setting, here.runs)
    assert there.verdict == here.verdict


@pytest.mark.longer
def test_what_is_no_cluster_is_told(tmp_path: Path) -> None:
    tasks = tasks_of(blades(), 1)
    with pytest.raises(StudyError, match=r"no Dask scheduler answers there"):
        list(Crew(cluster="tcp://127.0.0.1:9").runs(tasks))
    with pytest.raises(StudyError, match=r"none.json: there is no such file; an address such as tcp://host:8786"):
        list(Crew(cluster=tmp_path / "none.json").runs(tasks))
    wrong = tmp_path / "wrong.json"
    wrong.write_text("[1]", encoding="utf-8")
    with pytest.raises(StudyError, match=r"wrong.json: no Dask scheduler answers there"):
        list(Crew(cluster=wrong).runs(tasks))


def test_without_distributed_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(StudyError, match=r"install linesim with the extra cluster: pip install 'linesim\[cluster\]'"):
        list(Crew(cluster="tcp://127.0.0.1:9").runs(tasks_of(blades(), 1)))


@pytest.mark.longer
def test_a_scheduler_that_goes_away_is_told_in_one_line(tmp_path: Path) -> None:
    """Through the real command, as what libraries write on stderr is part of what is told."""
    running = Cluster(tmp_path)
    (tmp_path / "line.yaml").write_text(to_yaml(blades(4800.0)), encoding="utf-8")
    words = ["compare", str(tmp_path / "line.yaml"), "--replications", "3000", "--cluster", running.address]
    command = python("-m", "linesim", *words, "--store", str(tmp_path / "runs.sqlite"), "--engine", "simpy")
    surroundings = os.environ | {"PYTHONPATH": str(ROOT)}
    try:
        with subprocess.Popen(
            command, env=surroundings, stderr=subprocess.PIPE, text=True, stdout=subprocess.PIPE
        ) as study:
            end = time.monotonic() + 90
            while not n_runs(tmp_path) and time.monotonic() < end and study.poll() is None:
                time.sleep(0.2)
            stop(running.processes[0])
            _, told = study.communicate(timeout=60)
    finally:
        running.close()
    assert study.returncode == 2
    words = "the scheduler of the cluster has gone away. Every run that had ended is safe in the store"
    assert told.startswith(f"{running.address}: {words}")
    assert len(told.strip().splitlines()) == 1, told


def n_runs(folder: Path) -> int:
    if not (folder / "runs.sqlite").exists():
        return 0
    with open_store(folder / "runs.sqlite") as store:
        return store.count_runs()
