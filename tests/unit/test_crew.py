"""The crew: the same outcomes whoever carries them out, nothing lost with a worker, and an end when it is wanted."""

from __future__ import annotations

import dataclasses
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import psutil
import pytest

from linesim.errors import ScenarioError, StudyError
from linesim.floor.rules import change_rule
from linesim.store import open_store
from linesim.study.crew import sending
from linesim.study.crew.crew import Crew, Prospect
from linesim.study.crew.outcome import Outcome, Task, carry_out
from linesim.study.crew.parcels import Done, Job, carry_parcel, jobs_of, parcel_of
from linesim.works import Works, changed, load_works
from linesim.works.policies import Policy
from tests.builders import flow_line
from tests.patience import PATIENCE_S, without_holding_up

HEAD = {"policy": "-", "replication": -1}

OWN_RULE = """
from linesim.floor.rules import change_rule

@change_rule("{name}")
def after(edge, now_min, share={share}):
    return edge.parts / 20 >= share
"""


def blades(length: float = 4800.0) -> Works:
    blade = {"life": 60, "change": 4, "sets": 4, "renewal": {"bought": {}}, "price": 20, "breaking": "never"}
    policies = {"half": {"default": {"life": 0.5}}, "full": {"default": {"life": 1}}}
    return flow_line(
        [2.0, {"exponential": {"mean": 3}}],
        [2],
        None,
        {"Op 20": {"sets": ["blade"], "access": 2, "rate": 60}},
        {"cutters": {"blade": blade}, "policies": policies},
        {"worth": 100, "casting": {"price": 40}},
        length=length,
        warm_up=480,
    )


def tasks_of(works: Works, replications: int, engine: str = "fast") -> list[Task]:
    return [Task(works, policy, 3, number, (), engine) for number in range(replications) for policy in works.policies]


def gathered(crew: Crew, tasks: list[Task]) -> list[Outcome]:
    found = dict(crew.runs(tasks))
    assert sorted(found) == list(range(len(tasks)))
    return [found[number] for number in range(len(tasks))]


@pytest.mark.parametrize("workers", [None, 1, 2, pytest.param(3, marks=pytest.mark.longer)])
def test_outcomes_are_the_same_whoever_carries_them_out(workers: int | None) -> None:
    tasks = tasks_of(blades(), 6)
    assert gathered(Crew(workers), tasks) == [carry_out(task) for task in tasks]


def test_workers_are_started_for_runs_to_come_while_those_asked_for_are_done_here(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A search asks for a few runs at a time: none of its questions is worth a start of workers, all together are."""
    monkeypatch.setattr("linesim.study.crew.crew.processors", lambda: 2)
    sending.LocalTeam(1)._forget()
    sent: list[int] = []
    send_out = sending.send_out

    def noted(jobs: Sequence[Job], *rest: Any, **named: Any) -> Iterator[tuple[Job, Done]]:
        sent.append(len(jobs))
        return send_out(jobs, *rest, **named)

    monkeypatch.setattr("linesim.study.crew.crew.send_out", noted)
    tasks, team = tasks_of(blades(), 4), sending.LocalTeam(1)
    expected = [figures.figures for figures in map(carry_out, tasks)]
    assert gathered(Crew(), tasks) == [carry_out(task) for task in tasks]
    assert not team.is_started
    for prospect in (Prospect(to_come=10**6), Prospect(to_come=10**6, run_s=1.0)):
        found = dict(Crew().summaries(tasks, prospect))
        assert [[{**HEAD, **row} for row in found[at].figures] for at in range(len(tasks))] == [
            [{**row, **HEAD} for row in rows] for rows in expected
        ]
        assert team.is_started
        if not sent:
            wait_until_ready(team)
    assert sent == [len(tasks)]


def wait_until_ready(team: sending.LocalTeam) -> None:
    """Wait until one of the workers has come, a minute at most."""
    end_s = time.monotonic() + 60.0
    while not team.is_ready and time.monotonic() < end_s:
        time.sleep(0.05)
    assert team.is_ready


def test_every_task_is_handed_over_once() -> None:
    tasks = tasks_of(blades(480.0), 40)
    numbers = [number for number, _ in Crew(2).runs(tasks)]
    assert sorted(numbers) == list(range(len(tasks)))


def test_several_works_in_one_study_are_kept_apart() -> None:
    tasks = [Task(blades(length), "half", 3, number, (), "fast") for number in range(3) for length in (480.0, 960.0)]
    assert gathered(Crew(2), tasks) == [carry_out(task) for task in tasks]


def test_trial_policies_travel_without_the_works() -> None:
    works = blades()
    trials = [
        works.model_copy(update={"policies": {"trial": Policy.model_validate({"default": {"parts": parts}})}})
        for parts in (5, 10, 15)
    ]
    jobs = jobs_of([Task(trial, "trial", 3, 0, (), "fast") for trial in trials])
    assert len({job.base.digest for job in jobs}) == 1
    assert len({job.key for job in jobs}) == 3
    assert all(job.base is jobs[0].base for job in jobs)


def test_no_tasks_no_runs() -> None:
    assert list(Crew().runs([])) == []
    assert list(Crew(2).runs([])) == []


def test_fewer_than_one_worker_is_refused() -> None:
    with pytest.raises(StudyError, match="0 workers were asked for; at least 1 was expected"):
        list(Crew(0).runs(tasks_of(blades(), 1)))


@pytest.mark.parametrize("workers", [1, 2])
def test_an_error_in_a_run_is_told_in_its_own_words(workers: int) -> None:
    works = blades()
    rule = Policy.model_validate({"default": {"own": {"name": "nobody knows"}}})
    wrong = works.model_copy(update={"policies": {"wrong": rule}})
    with pytest.raises(ScenarioError, match='the rule "nobody knows" is not known'):
        list(Crew(workers).runs([*tasks_of(works, 2), Task(wrong, "wrong", 3, 0, (), "fast")]))
    with pytest.raises(ScenarioError, match='there is no policy "none"'):
        list(Crew(workers).runs([Task(works, "none", 3, 0)]))


def test_a_rule_known_in_this_process_only_runs_here() -> None:
    @change_rule("only here")
    def _rule(edge, now_min):  # type: ignore[no-untyped-def]
        return edge.parts / 20 >= 0.5

    policy = Policy.model_validate({"default": {"own": {"name": "only here"}}})
    works = blades(960.0).model_copy(update={"policies": {"own": policy}})
    tasks = tasks_of(works, 3)
    assert gathered(Crew(2), tasks) == [carry_out(task) for task in tasks]


def test_of_two_files_with_the_same_rule_each_study_uses_its_own(tmp_path: Path) -> None:
    files = [tmp_path / "early.py", tmp_path / "late.py"]
    for file, share in zip(files, (0.3, 0.9), strict=True):
        file.write_text(OWN_RULE.format(name="shared name", share=share), encoding="utf-8")
    policy = Policy.model_validate({"default": {"own": {"name": "shared name"}}})
    works = blades(960.0).model_copy(update={"policies": {"own": policy}})
    tasks = [Task(works, "own", 3, number, (files[number % 2],), "fast") for number in range(6)]
    found = gathered(Crew(2), tasks)
    early, late = (carry_out(Task(works, "own", 3, 0, (file,), "fast")) for file in files)
    assert early.figures[-1]["planned_per_100"] > 2 * late.figures[-1]["planned_per_100"]
    assert found == [carry_out(task) for task in tasks]


def test_a_file_with_rules_that_has_been_changed_is_loaded_anew(tmp_path: Path) -> None:
    file = tmp_path / "mine.py"
    policy = Policy.model_validate({"default": {"own": {"name": "changing"}}})
    works = blades(960.0).model_copy(update={"policies": {"own": policy}})
    task = Task(works, "own", 3, 0, (file,), "fast")
    rates = []
    for share in (0.3, 0.9, 0.3):
        file.write_text(OWN_RULE.format(name="changing", share=share), encoding="utf-8")
        (outcome,) = gathered(Crew(2), [task])
        rates.append(outcome.figures[-1]["planned_per_100"])
    assert rates[0] > 2 * rates[1]
    assert rates[2] == rates[0]


def workers_of_this_process() -> list[psutil.Process]:
    return [child for child in psutil.Process().children(recursive=True) if is_worker(child)]


def is_worker(child: psutil.Process) -> bool:
    try:
        words = " ".join(child.cmdline())
    except psutil.Error:  # it has ended
        return False
    return "loky" in words and "resource_tracker" not in words


def is_busy(worker: psutil.Process) -> bool:
    try:
        return bool(worker.cpu_percent(0.1) > 50.0)
    except psutil.Error:  # it has ended
        return False


def until(condition: Callable[[], bool], seconds: float) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.02)
    return condition()


@pytest.mark.late
def test_a_worker_killed_in_mid_study_loses_nothing() -> None:
    tasks = tasks_of(blades(9600.0), 30)
    found: dict[int, Outcome] = {}
    killed = 0
    for number, outcome in Crew(2).runs(tasks):
        assert number not in found
        found[number] = outcome
        workers = workers_of_this_process()
        if len(found) >= 8 and not killed and workers:
            os.kill(workers[0].pid, signal.SIGKILL)
            killed += 1
    assert killed
    assert [found[number] for number in range(len(tasks))] == [carry_out(task) for task in tasks]


@pytest.mark.late
def test_closing_ends_long_runs_at_once() -> None:
    warm = Crew(2)
    list(warm.runs(tasks_of(blades(480.0), 4)))
    runs = warm.runs([*tasks_of(blades(480.0), 1), *tasks_of(blades(1_000_000.0), 4, "simpy")])
    next(runs)
    with without_holding_up():
        runs.close()
    assert until(lambda: not any(is_busy(worker) for worker in workers_of_this_process()), PATIENCE_S)


def test_plans_are_laid_out_here_only_before_workers_start(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search sends hundreds of policies round by round; each plan is made where it is run."""
    list(Crew(2).runs(tasks_of(blades(480.0), 4)))
    laid_out: list[str] = []
    monkeypatch.setattr("linesim.study.crew.crew.make_plan", lambda _works, policy: laid_out.append(policy))
    list(Crew(2).runs(tasks_of(blades(480.0), 4)))
    assert not laid_out


@pytest.mark.longer
def test_short_runs_leave_the_workers_warm_when_a_study_is_closed() -> None:
    warm = Crew(2)
    list(warm.runs(tasks_of(blades(480.0), 8)))
    before = {worker.pid for worker in workers_of_this_process()}
    runs = warm.runs(tasks_of(blades(480.0), 200))
    next(runs)
    runs.close()
    list(warm.runs(tasks_of(blades(480.0), 8)))
    assert before
    assert before & {worker.pid for worker in workers_of_this_process()} == before


LEADS = """
import sys
from linesim.store import open_store
from linesim.store import open_store
from linesim.study.crew import sending
from linesim.study.crew.crew import Crew, Prospect
from tests.unit.test_crew import blades, tasks_of

if __name__ == "__main__":
    with open_store(sys.argv[1]) as store:
        for number, _ in Crew(int(sys.argv[2]), store).runs(tasks_of(blades(4800.0), 200)):
            print(number, flush=True)
"""


@pytest.mark.late
@pytest.mark.parametrize("workers", [1, 2])
def test_a_killed_study_goes_on_where_it_stopped(tmp_path: Path, workers: int) -> None:
    script, place = tmp_path / "leads.py", tmp_path / "runs.sqlite"
    script.write_text(LEADS, encoding="utf-8")
    command = [sys.executable, str(script), str(place), str(workers)]
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment, start_new_session=True) as leads:
        assert leads.stdout is not None
        told = {int(leads.stdout.readline()) for _ in range(12)}
        os.killpg(leads.pid, signal.SIGKILL)
    tasks = tasks_of(blades(4800.0), 20)
    with open_store(place) as store:
        before = {run.key: run.kept_at for run in store.runs_of()}
        assert {jobs_of(tasks)[number].key for number in told if number < len(tasks)} <= set(before)
        found = gathered(Crew(1, store), tasks)
        after = {run.key: run.kept_at for run in store.runs_of()}
    assert before.items() <= after.items()
    assert found == [carry_out(task) for task in tasks]


def test_runs_in_the_store_come_first_and_are_not_run_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tasks = tasks_of(blades(480.0), 6)
    with open_store(tmp_path / "runs.sqlite") as store:
        list(Crew(1, store).runs(tasks[6:12]))
        order = [number for number, _ in Crew(1, store).runs(tasks)]
        assert order == [*range(6, 12), *range(6), *range(12, 18)]
        monkeypatch.setattr("linesim.study.crew.crew.carry_job", None)
        assert gathered(Crew(1, store), tasks) == [carry_out(task) for task in tasks]


def test_findings_are_left_out_where_nobody_wants_them_but_the_store_keeps_them(tmp_path: Path) -> None:
    """A comparison may find a search's run in the store, and has to tell what it says."""
    works = load_works("scenarios/smallest.yaml")
    told = Task(works, works.todays_policy, 3, 0, (), "fast")
    untold = dataclasses.replace(told, is_told=False)
    full = gathered(Crew(1), [told])[0]
    assert full.findings
    bare = gathered(Crew(1), [untold])[0]
    assert (bare.findings, bare.figures) == ([], full.figures)
    with open_store(tmp_path / "runs.sqlite") as store:
        assert gathered(Crew(1, store), [untold]) == [full]
        assert gathered(Crew(1, store), [told]) == [full]


def test_a_closed_study_keeps_what_it_has_handed_over(tmp_path: Path) -> None:
    tasks = tasks_of(blades(480.0), 60)
    with open_store(tmp_path / "runs.sqlite") as store:
        runs = Crew(1, store).runs(tasks)
        handed = [next(runs)[0] for _ in range(5)]
        runs.close()
        kept = store.outcomes(job.key for job in jobs_of(tasks))
        assert {jobs_of(tasks)[number].key for number in handed} <= set(kept)


def test_what_decides_a_run_changes_its_key_and_nothing_else_does(tmp_path: Path) -> None:
    works = blades()
    task = Task(works, "half", 3, 0, (), "fast")
    rules = tmp_path / "mine.py"
    rules.write_text(OWN_RULE.format(name="key", share=1), encoding="utf-8")

    def key(**changes: Any) -> str:
        return jobs_of([dataclasses.replace(task, **changes)])[0].key

    same = [
        {"engine": "simpy"},
        {"works": works.model_copy(update={"name": "Another name"})},
        {"works": works.model_copy(update={"policies": {"half": works.policies["half"]}})},
        {"works": changed(works, {"run": {"seed": 77, "replications": 3}})},
        {"works": changed(works, {"policies": {"half": {"about": "A remark."}}})},
    ]
    other = [
        {"seed": 4},
        {"replication": 1},
        {"policy": "full"},
        {"rule_files": (rules,)},
        {"works": changed(works, {"run": {"length": "4801 min"}})},
        {"works": changed(works, {"lines": {"line": {"worth": 101}}})},
        {"works": changed(works, {"policies": {"half": {"default": {"life": 0.51}}}})},
    ]
    assert {key(**changes) for changes in same} == {key()}
    assert len({key(), *(key(**changes) for changes in other)}) == len(other) + 1


def test_a_worker_of_another_version_says_so() -> None:
    done = carry_parcel(parcel_of(jobs_of(tasks_of(blades(), 1))), "0.0.1-of-yesterday")
    assert done.summaries == []
    assert "this study is led by linesim 0.0.1-of-yesterday; install the same version" in str(done.error)
