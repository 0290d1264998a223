"""Visits that have been left: they wait a while for whoever comes back, and then give back all that they hold.

Streamlit's own memory of them forgets a visit once its time is over, but only when the next one is left, and what the
visit holds (three file handles of a loop of its own) is given back whenever the interpreter happens to clear up. Here
each visit is shut down in time.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncGenerator, Callable
from contextlib import asynccontextmanager, suppress

from streamlit import config, runtime
from streamlit.runtime.memory_session_storage import MemorySessionStorage
from streamlit.runtime.session_manager import SessionInfo, SessionStorage
from streamlit.runtime.websocket_session_manager import WebsocketSessionManager
from streamlit.starlette import App

__all__ = ["Visits", "visits_watched"]

_LOOK_EVERY_S = 1.0
_MOST = 128
"""Visits that wait; the longest gone is shut down when there are more."""


class Visits(SessionStorage):
    """Where visits wait that have been left.

    Parameters
    ----------
    wait_s : float, s
        How long each of them waits.
    clock : callable
        The time in seconds.
    """

    def __init__(self, wait_s: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._wait_s, self._clock = wait_s, clock
        self._left: dict[str, tuple[SessionInfo, float]] = {}

    def get(self, session_id: str) -> SessionInfo | None:
        """A visit that still waits."""
        self.clear()
        left = self._left.get(session_id)
        return None if left is None else left[0]

    def save(self, session_info: SessionInfo) -> None:
        """Let a visit wait from now on."""
        self._left[session_info.session.id] = (session_info, self._clock())
        self.clear()

    def delete(self, session_id: str) -> None:
        """Let go of a visit that somebody has come back to, or that is shut down elsewhere."""
        del self._left[session_id]

    def list(self) -> list[SessionInfo]:
        """All that wait."""
        return [info for info, _ in self._left.values()]

    def clear(self) -> None:
        """Shut down those whose time is over."""
        now_s = self._clock()
        over = [name for name, (_, left_s) in self._left.items() if now_s - left_s >= self._wait_s]
        over += [name for name in self._left if name not in over][: max(0, len(self._left) - len(over) - _MOST)]
        for name in over:
            self._left.pop(name)[0].session.shutdown()


@asynccontextmanager
async def visits_watched(app: App) -> AsyncGenerator[None, None]:
    """Put `Visits` in place of Streamlit's own memory of visits while a server runs, and clear it now and then."""
    del app  # a server has one runtime
    visits = Visits(float(config.get_option("server.disconnectedSessionTTL")))
    manager = runtime.get_instance()._session_mgr  # noqa: SLF001 - nothing public says where visits wait
    assert isinstance(manager, WebsocketSessionManager)
    assert isinstance(manager._session_storage, MemorySessionStorage)  # noqa: SLF001
    manager._session_storage = visits  # noqa: SLF001

    async def watch() -> None:
        while True:
            await asyncio.sleep(_LOOK_EVERY_S)
            visits.clear()

    watching = asyncio.create_task(watch())
    yield
    watching.cancel()
    with suppress(asyncio.CancelledError):
        await watching
