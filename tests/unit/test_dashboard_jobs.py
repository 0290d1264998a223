"""Studies in processes of their own: owners, queue, stopping, faults, and processes that die."""

from __future__ import annotations

import itertools
import os
import signal
from collections.abc import Iterator
from typing import Any

import psutil
import pytest

from dashboard.jobs import MOST_OF_ONE_OWNER, Board, Job
from dashboard.words import Order
from linesim.study.comparing.closely import look
from linesim.works import Works, load_works
from tests.unit.dashboard_app import SCENARIOS, wait_until

pytestmark = pytest.mark.late

WORKS = load_works(SCENARIOS / "smallest.yaml")
LOOK = "linesim.study.comparing.closely:look_steps"
LONG = 50_000
NUMBERS = itertools.count()


@pytest.fixture(scope="module")
def board() -> Iterator[Board]:
    found = Board(workers=1)
    yield found
    found.close()


def ask(board: Board, owner: str, slot: str, key: Any, works: Works = WORKS, **given: Any) -> Job:
    return board.ask(owner, slot, (slot, key), Order(LOOK, {"works": works, **given}))


def long_one(board: Board, owner: str = "long") -> Job:
    job = ask(board, owner, "long", next(NUMBERS), replications=LONG)
    wait_until(lambda: job.state == "running" and job.step is not None, 120.0)
    return job


def end(board: Board, *jobs: Job) -> None:
    for job in jobs:
        board.stop(job)
        assert job.wait(20.0, for_end=True)


def test_a_study_in_a_worker_gives_what_the_library_gives(board: Board) -> None:
    job = ask(board, "anna", "look", 1, replications=4)
    assert job.wait(120.0, for_end=True)
    assert job.state == "done"
    here = look(WORKS, replications=4)
    assert job.answer.lines.equals(here.lines)
    assert job.answer.money.equals(here.money)


def test_an_equal_question_has_its_answer_at_once_and_another_owner_s_job_is_not_his(board: Board) -> None:
    first = ask(board, "anna", "look", 1, replications=4)
    assert first.wait(60.0, for_end=True)
    second = ask(board, "bert", "look", 1, replications=4)
    assert second.state == "done"
    assert second.id != first.id
    assert board.find("bert", first.id) is None
    assert board.find("anna", first.id) is first


def test_like_questions_of_several_owners_are_carried_out_once(board: Board) -> None:
    busy = long_one(board)
    jobs = [ask(board, f"user {number}", "look", "like", replications=6) for number in range(3)]
    other = ask(board, "user 0", "other", "unlike", replications=6)
    end(board, busy)
    assert all(job.wait(30.0, for_end=True) for job in (*jobs, other))
    assert [job.state for job in jobs] == ["done"] * 3
    assert all(job.answer is jobs[0].answer for job in jobs)
    assert other.answer is not jobs[0].answer


def test_who_joins_a_question_under_way_sees_what_was_said_and_who_leaves_does_not_end_it(board: Board) -> None:
    key = next(NUMBERS)
    first, joined = (ask(board, owner, "long", ("joined", key), replications=LONG) for owner in ("anna", "bert"))
    wait_until(lambda: first.answer is not None, 120.0)
    late = ask(board, "carl", "long", ("joined", key), replications=LONG)
    assert late.state == "running"
    assert late.answer is first.answer
    board.stop(first)
    assert first.state == "stopped"
    seen = joined.n_answers
    wait_until(lambda: joined.n_answers > seen and late.answer is joined.answer, 60.0)
    board.stop(joined)
    board.stop(late)
    assert late.wait(10.0, for_end=True)
    assert late.state == "stopped"
    assert 2 <= late.answer.n < LONG


def test_a_long_study_is_stopped_and_keeps_what_it_found(board: Board) -> None:
    job = long_one(board)
    assert job.wait(30.0)
    board.stop(job)
    assert job.wait(10.0, for_end=True)
    assert job.state == "stopped"
    assert 2 <= job.answer.n < LONG


def test_a_new_question_in_a_slot_stops_the_older_one(board: Board) -> None:
    older = long_one(board, "carl")
    newer = ask(board, "carl", "long", "other", replications=2)
    assert older.wait(10.0, for_end=True)
    assert older.state == "stopped"
    assert newer.wait(30.0, for_end=True)
    assert newer.state == "done"


def test_the_others_wait_their_turn_and_one_who_waits_can_leave(board: Board) -> None:
    busy = long_one(board)
    waiting = [ask(board, f"user {number}", "look", ("queue", number), replications=2) for number in range(3)]
    assert [job.state for job in waiting] == ["waiting"] * 3
    assert [board.ahead_of(job) for job in waiting] == [0, 1, 2]
    board.stop(waiting[1])
    assert waiting[1].state == "stopped"
    assert board.ahead_of(waiting[2]) == 1
    end(board, busy)
    assert all(job.wait(30.0, for_end=True) for job in waiting)
    assert [job.state for job in waiting] == ["done", "stopped", "done"]


def test_long_questions_leave_a_worker_to_short_ones() -> None:
    board = Board(2)
    try:
        orders = [Order(LOOK, {"works": WORKS, "replications": LONG}, runs=LONG) for _ in range(2)]
        long = [board.ask(f"user {order.number}", "long", order.number, order) for order in orders]
        short = ask(board, "short", "look", ("short", next(NUMBERS)), replications=2)
        assert short.wait(120.0, for_end=True)
        assert [job.state for job in (*long, short)] == ["running", "waiting", "done"]
    finally:
        board.close()


def test_who_asks_for_too_much_is_told(board: Board) -> None:
    busy = long_one(board)
    many = [ask(board, "dora", f"slot {number}", number, replications=2) for number in range(MOST_OF_ONE_OWNER + 1)]
    assert many[-1].state == "failed"
    assert many[-1].error.startswith("There are too many studies waiting just now.")
    end(board, busy, *many[:-1])


def test_what_linesim_refuses_comes_back_in_its_own_words(board: Board) -> None:
    job = ask(board, "emil", "look", "bad", replications=1)
    assert job.wait(30.0, for_end=True)
    assert job.error == "1 replications were asked for; at least 2 are needed for an interval"


def test_a_fault_is_told_by_its_mark_alone(board: Board, caplog: pytest.LogCaptureFixture) -> None:
    job = board.ask("emil", "fault", "fault", Order("linesim.study.comparing.closely:no_such_study", {}))
    assert job.wait(30.0, for_end=True)
    assert job.error.startswith("A fault of the program ended this study.")
    assert "Traceback" not in job.error
    assert "no_such_study" in caplog.text


def test_nothing_but_a_study_of_linesim_is_carried_out(board: Board) -> None:
    job = board.ask("emil", "system", "system", Order("os:system", {"command": "true"}))
    assert job.wait(30.0, for_end=True)
    assert job.state == "failed"


def test_a_worker_that_dies_is_replaced_and_its_study_told_so(board: Board) -> None:
    job = long_one(board, "fritz")
    os.kill(board.process_ids[0], signal.SIGKILL)
    assert job.wait(10.0, for_end=True)
    assert job.error.startswith("The process that ran this study ended by itself")
    again = board.again(job)
    wait_until(lambda: again.state == "running" and again.step is not None, 120.0)
    end(board, again)


def test_no_process_is_left_behind() -> None:
    board = Board(workers=1)
    wait_until(lambda: not board.is_warming(), 120.0)
    ids = board.process_ids
    board.close()
    wait_until(lambda: not any(psutil.pid_exists(number) for number in ids))
