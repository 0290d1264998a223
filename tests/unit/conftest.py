"""What several files of unit tests share."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def board_closed() -> Iterator[None]:
    """The dashboard's board of studies, one for all files, as its processes take long to start; it is ended last."""
    yield
    from dashboard.parts import room  # noqa: PLC0415 - only where the dashboard is tested

    room.board().close()
    room.board.clear()


@pytest.fixture
def own_store(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Where the dashboard keeps what it keeps, for one test alone; it begins with the smallest scenario."""
    from dashboard.parts import room  # noqa: PLC0415 - only where the dashboard is tested

    monkeypatch.setenv(room.FILE, str(Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"))
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))
    return tmp_path / "runs.sqlite"
