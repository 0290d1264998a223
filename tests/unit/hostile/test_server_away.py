"""A database server that goes away in mid-study: waited for, and if it stays away, the study can be gone on with."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Iterator

import pytest

from linesim.errors import StoreError
from linesim.store import open_store, patience
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import Outcome, carry_out
from linesim.study.crew.recording import recorded
from tests.postgres import Server, postgres_server
from tests.unit.test_crew import blades, tasks_of


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with postgres_server(tmp_path_factory) as running:
        yield running


def test_a_server_that_is_away_for_a_while_is_waited_for(
    server: Server, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("linesim.study.crew.crew._TOGETHER_S", 0.0)  # each run is stored before the next one is made
    tasks = tasks_of(blades(), 40)
    caplog.set_level(logging.WARNING, logger="linesim.store")
    outcomes: dict[int, Outcome] = {}
    has_gone = threading.Event()

    def away_for_a_while() -> None:
        server.stop()
        has_gone.set()
        until = time.monotonic() + 30.0
        while not caplog.records and time.monotonic() < until:
            time.sleep(0.1)
        server.start()

    with open_store(server.new_database()) as store, recorded(Crew(1, store), "compare", blades(), {}) as record:
        for number, outcome in record.crew.runs(tasks):
            assert number not in outcomes
            outcomes[number] = outcome
            if len(outcomes) == 20:
                gone = threading.Thread(target=away_for_a_while)
                gone.start()
                has_gone.wait()
        gone.join()
        assert store.count_runs() == len(tasks)
        assert record.number is not None
    assert [outcomes[number] for number in range(len(tasks))] == [carry_out(task) for task in tasks]
    said = [record.getMessage() for record in caplog.records]
    assert len(said) == 2
    assert "the server does not answer; waiting up to 60 s" in said[0]
    assert "the server answers again" in said[1]
    assert "crib" not in " ".join(said)


def test_a_server_that_stays_away_ends_the_study_so_that_it_can_be_gone_on_with(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(patience, "PATIENCE_S", 1.5)
    tasks, url = tasks_of(blades(), 40), server.new_database()

    def study() -> Iterator[int]:
        with open_store(url) as store, recorded(Crew(1, store), "compare", blades(), {}) as record:
            for number, _ in record.crew.runs(tasks):
                yield number

    def study_without_server() -> None:
        nonlocal began
        for done, _ in enumerate(study()):
            if done == 20:
                server.stop()
                began = time.monotonic()

    began = 0.0
    try:
        with pytest.raises(StoreError, match=r"the server cannot be reached, .* the same study goes on from there"):
            study_without_server()
        assert time.monotonic() - began < 20.0  # it does not wait again for each thing that it would write
    finally:
        server.start()
    with open_store(url) as store:
        before = {run.key: run.kept_at for run in store.runs_of()}
        assert len(before) >= 20
    assert sorted(study()) == list(range(len(tasks)))
    with open_store(url) as store:
        after = {run.key: run.kept_at for run in store.runs_of()}
        (kept,) = store.studies()
    assert before.items() <= after.items()
    assert (len(after), kept.runs, kept.status) == (len(tasks), len(tasks), "finished")


def test_a_wrong_password_or_address_is_told_at_once(server: Server) -> None:
    began = time.monotonic()
    for url in (server.url("none"), server.url("postgres").replace("crib", "rib"), "postgresql://setter@127.0.0.1:1/a"):
        with pytest.raises(StoreError):
            open_store(url)
    assert time.monotonic() - began < 10.0
