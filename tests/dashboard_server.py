"""A real server of the dashboard in a process of its own, for tests and benchmarks."""

from __future__ import annotations

import os
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.sync.client import connect
from websockets.typing import Subprotocol

from linesim.cli.dashboard import server_command

__all__ = ["ROOT", "Served", "free_port", "page_open", "serving"]

ROOT = Path(__file__).resolve().parents[1]
STREAMLIT = Subprotocol("streamlit")
STARTS_WITHIN_S = 90.0
ENDS_WITHIN_S = 20.0


@dataclass(frozen=True)
class Served:
    """A server that answers.

    Attributes
    ----------
    port : int
        On localhost.
    process_id : int
        Of the server; its workers are its children.
    log : pathlib.Path
        What it has written so far.
    """

    port: int
    process_id: int
    log: Path

    @property
    def address(self) -> str:
        """Of its first page."""
        return f"http://localhost:{self.port}"


def free_port() -> int:
    """A port on which nothing listens just now."""
    with closing(socket.socket()) as free:
        free.bind(("localhost", 0))
        return int(free.getsockname()[1])


@contextmanager
def serving(
    folder: Path, port: int | None = None, env: Mapping[str, str] | None = None, **options: object
) -> Iterator[Served]:
    """Serve the dashboard, with a store of its own, until the block is left.

    Parameters
    ----------
    folder : pathlib.Path
        For its log and its store.
    port : int, optional
        A free one unless given.
    env : mapping, optional
        Environment beside this process's own.
    **options
        For `server_command`.
    """
    port = port or free_port()
    log = folder / "log"
    own = os.environ | {"LINESIM_STORE": str(folder / "runs.sqlite")} | dict(env or {})
    with log.open("w") as out:
        command = server_command(port, "localhost", **options)  # type: ignore[arg-type]
        server = subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=out, env=own)
        try:
            _wait_for(f"http://localhost:{port}/_stcore/health")
            yield Served(port, server.pid, log)
        finally:
            server.terminate()
            server.wait(ENDS_WITHIN_S)
    assert "Traceback" not in log.read_text(), log.read_text()


@contextmanager
def page_open(served: Served, page: str) -> Iterator[str]:
    """Open a page over Streamlit's socket, without a browser, wait until it is drawn, and leave it; the visit's id."""
    visit = ""
    with connect(f"ws://localhost:{served.port}/_stcore/stream", subprotocols=[STREAMLIT], max_size=2**26) as line:
        asked = BackMsg()
        asked.rerun_script.page_name = page
        line.send(asked.SerializeToString())
        word = ForwardMsg()
        while word.WhichOneof("type") != "script_finished":
            received = line.recv(60.0)
            assert isinstance(received, bytes)
            word.ParseFromString(received)
            if word.WhichOneof("type") == "new_session":
                visit = word.new_session.initialize.session_id
        yield visit


def _wait_for(url: str) -> None:
    end = time.monotonic() + STARTS_WITHIN_S
    while True:
        try:
            with urllib.request.urlopen(url, timeout=5) as answer:
                if answer.status == 200:
                    return
        except OSError:
            assert time.monotonic() < end, "the dashboard does not answer"
            time.sleep(0.2)
