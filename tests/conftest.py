"""What holds for all tests: none of them touches the store of whoever runs them."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # how long an example takes says something of the machine
settings.load_profile("any machine")


@pytest.fixture(scope="session", autouse=True)
def a_store_for_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get("LINESIM_STORE")
    os.environ["LINESIM_STORE"] = str(tmp_path_factory.mktemp("store") / "runs.sqlite")
    yield
    if before is None:
        del os.environ["LINESIM_STORE"]
    else:
        os.environ["LINESIM_STORE"] = before
