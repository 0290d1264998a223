"""What several files of unit tests share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="module")
def board_closed() -> Iterator[None]:
    """The dashboard's board of studies is ended with the file that asked it."""
    yield
    from dashboard.parts import room  # noqa: PLC0415 - only where the dashboard is tested

    room.board().close()
    room.board.clear()
