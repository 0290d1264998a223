"""Many users at once on one dashboard, each with a question of his own, over Streamlit's socket without a browser.

``python -m tests.benchmarks.users [--users 20]`` starts a server, lets every user open "A shift, minute by minute" for
a shift of his own, holds each answer against the library's, and prints how long the first picture of the page and the
answer took, and how much memory the server and its workers used at the most.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import re
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from contextlib import closing
from pathlib import Path
from typing import Any

import psutil
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.asyncio.client import connect

from linesim.cli.dashboard import server_command
from linesim.study.one.shift_record import record_shift
from linesim.works import load_works

ROOT = Path(__file__).resolve().parents[2]
POLICY = "run until it breaks"
LONGEST_S = 300.0
LISTEN_S = 1.0
LOOK_AGAIN_S = 6.0


class User:
    """One session: what it was told, and when."""

    def __init__(self, shift: int) -> None:
        self.shift = shift
        self.field = ""
        self.answer = ""
        self.opened_s = self.answered_s = float("nan")

    async def work(self, address: str) -> None:
        """Open the page, ask for the shift, and wait for its answer."""
        began = time.monotonic()
        async with connect(f"{address}/_stcore/stream", max_size=2**26, subprotocols=["streamlit"]) as line:
            await line.send(self._ask())
            asked, has_asked = time.monotonic(), False
            while time.monotonic() - began < LONGEST_S:
                try:
                    message = await asyncio.wait_for(line.recv(), LISTEN_S)
                except TimeoutError:
                    message = b""
                if message:
                    self._hear(message, time.monotonic() - began)
                if re.match(rf"Shift {self.shift} under", self.answer):
                    self.answered_s = time.monotonic() - began
                    return
                if self.field and not has_asked:
                    await line.send(self._ask())
                    has_asked, asked = True, time.monotonic()
                elif has_asked and time.monotonic() - asked > LOOK_AGAIN_S:
                    await line.send(self._ask())
                    asked = time.monotonic()

    def _ask(self) -> bytes:
        ask = BackMsg()
        ask.rerun_script.page_name = "shift"
        if self.field:
            state = ask.rerun_script.widget_states.widgets.add()
            state.id, state.double_value = self.field, float(self.shift)
        return ask.SerializeToString()

    def _hear(self, message: bytes | str, now_s: float) -> None:
        told = ForwardMsg()
        told.ParseFromString(message if isinstance(message, bytes) else message.encode())
        element = told.delta.new_element
        kind = element.WhichOneof("type")
        if kind == "number_input" and not self.field:
            self.field, self.opened_s = element.number_input.id, now_s
        elif kind == "html" and 'class="answer"' in element.html.body:
            self.answer = re.sub(r"<[^>]+>", "", element.html.body)


async def _watch(server: psutil.Process, users: list[asyncio.Task[None]]) -> int:
    """The most memory that the server and its workers used, bytes."""
    most = 0
    while not all(task.done() for task in users):
        family = [server, *server.children(recursive=True)]
        most = max(most, sum(_memory(each) for each in family))
        await asyncio.sleep(0.5)
    return most


def _memory(process: psutil.Process) -> int:
    try:
        return int(process.memory_info().rss)
    except psutil.NoSuchProcess:
        return 0


async def _all(address: str, server: psutil.Process, count: int) -> tuple[list[User], int, list[float]]:
    """Let all users work at once, and ask the server now and then whether it still answers."""
    users = [User(number + 2) for number in range(count)]
    tasks = [asyncio.create_task(user.work(address.replace("http", "ws"))) for user in users]
    pulse = asyncio.create_task(_pulse(address, tasks))
    most = await _watch(server, tasks)
    await asyncio.gather(*tasks)
    return users, most, await pulse


async def _pulse(address: str, tasks: list[asyncio.Task[None]]) -> list[float]:
    waits = []
    while not all(task.done() for task in tasks):
        began = time.monotonic()
        await asyncio.to_thread(_health, address)
        waits.append(time.monotonic() - began)
        await asyncio.sleep(1.0)
    return waits


def _health(address: str) -> None:
    with urllib.request.urlopen(f"{address}/_stcore/health", timeout=30) as answer:
        assert answer.status == 200


def _right(user: User, expected: dict[int, str]) -> bool:
    return user.answer.replace("&quot;", '"').startswith(expected[user.shift])


def _expected(count: int) -> dict[int, str]:
    works = load_works(ROOT / "scenarios" / "block-line.yaml")
    texts = {}
    for shift in range(2, count + 2):
        parts = record_shift(works, POLICY, shift).parts
        shipped = int((parts["outcome"] == "shipped").sum())
        texts[shift] = f'Shift {shift} under "{POLICY}": {shipped} parts of block went out'
    return texts


def main() -> int:
    """Start a server, let the users work, and say how it went."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--users", type=int, default=20)
    count = parser.parse_args().users
    with closing(socket.socket()) as free:
        free.bind(("localhost", 0))
        port = int(free.getsockname()[1])
    address = f"http://localhost:{port}"
    server = subprocess.Popen(server_command(port, "localhost"), cwd=ROOT, stdout=subprocess.DEVNULL)
    try:
        _wait(address)
        asyncio.run(_all(address, psutil.Process(server.pid), 1))  # workers ready, everything loaded
        users, most, waits = asyncio.run(_all(address, psutil.Process(server.pid), count))
    finally:
        server.terminate()
        server.wait(20)
    expected = _expected(count)
    wrong = [user.shift for user in users if not _right(user, expected)]
    told: dict[str, Any] = {
        "users": count,
        "answers that are not the library's": wrong,
        "page opened, s (median, worst)": [
            statistics.median(u.opened_s for u in users),
            max(u.opened_s for u in users),
        ],
        "answered, s (median, worst)": [
            statistics.median(u.answered_s for u in users),
            max(u.answered_s for u in users),
        ],
        "memory of server and workers at the most, MB": round(most / 2**20),
        "server's pulse meanwhile, s (worst)": max(waits, default=0.0),
    }
    print(json.dumps(told, indent=2))
    return 1 if wrong else 0


def _wait(address: str) -> None:
    for _ in range(300):
        try:
            _health(address)
        except OSError:
            time.sleep(0.2)
        else:
            return


if __name__ == "__main__":
    sys.exit(main())
