"""What holds for all tests: none touches the store of whoever runs them, and workers compile no kernel twice."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import settings

from tests.rounds import is_late, marks_wanted

settings.register_profile("any machine", deadline=None)  # how long an example takes says something of the machine
settings.load_profile("any machine")

MANY = 1000
"""So many tests take every tier of kernels; fewer compile what they meet."""
COMPILES_WITHIN_S = 300.0


def pytest_configure(config: pytest.Config) -> None:
    """Leave what runs after the others out of a run of all tests; workers take it over."""
    if config.args_source is pytest.Config.ArgsSource.TESTPATHS:
        config.option.markexpr = marks_wanted(config.option.markexpr)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what runs after the others, before anything is chosen by marks."""
    for item in items:
        if is_late(item):
            item.add_marker("late")


@pytest.fixture(scope="session", autouse=True)
def a_store_for_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get("LINESIM_STORE")
    os.environ["LINESIM_STORE"] = str(tmp_path_factory.mktemp("store") / "runs.sqlite")
    yield
    if before is None:
        del os.environ["LINESIM_STORE"]
    else:
        os.environ["LINESIM_STORE"] = before


@pytest.fixture(scope="session", autouse=True)
def kernels_for_all_workers(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Each worker of a long round compiles some tiers and waits for the others, so that none is compiled twice."""
    if "PYTEST_XDIST_WORKER" in os.environ and len(request.session.items) >= MANY:
        from linesim.fast.tiers import COMMON, SMALL, WHOLE  # noqa: PLC0415 - a test of few things loads no kernels

        folder = tmp_path_factory.getbasetemp().parent  # that of all workers
        tiers = (WHOLE, COMMON.name, SMALL.name)  # what takes longest to compile comes first
        _compile_those_left(tiers, folder)
        _wait_for([folder / f"{tier}.compiled" for tier in tiers])


def _compile_those_left(tiers: tuple[str, ...], folder: Path) -> None:
    """Compile each tier that no other worker has taken."""
    from linesim.fast.warming import warm_up  # noqa: PLC0415 - as above

    for tier in tiers:
        with suppress(FileExistsError):
            (folder / f"{tier}.taken").touch(exist_ok=False)
            try:
                warm_up(tier)
            finally:
                (folder / f"{tier}.compiled").touch()


def _wait_for(marks: list[Path]) -> None:
    end = time.monotonic() + COMPILES_WITHIN_S
    while time.monotonic() < end and not all(mark.exists() for mark in marks):
        time.sleep(0.2)
