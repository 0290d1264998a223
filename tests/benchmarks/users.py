"""Many users at once on one dashboard, each with a question of his own, over Streamlit's socket without a browser.

``python -m tests.benchmarks.users [--users 20] [--times 1]`` starts a server, lets every user open "A shift, minute by
minute" for a shift of his own, holds each answer against the library's, and prints how long the first picture of the
page and the answer took, and how much memory the server and its workers used at the most. What a user saw instead of
his answer is printed in full: another answer, or none within five minutes (in which the server was not kept waiting by
other work, see `attack.patience`) with the last things on his page.
"""

from __future__ import annotations

import argparse
import asyncio
import html
import json
import re
import statistics
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

import psutil
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.asyncio.client import ClientConnection, connect

from linesim.study.one.shift_record import record_shift
from linesim.works import load_works
from tests.benchmarks.attack.patience import Patience
from tests.dashboard_server import ROOT, STREAMLIT, serving

LONGEST_S = 300.0
LISTEN_S = 0.2
LOOK_AGAIN_S = 6.0


class User:
    """One session: what it saw, and when. Pieces of the page that look again by themselves do so, as in a browser."""

    def __init__(self, shift: int) -> None:
        self.shift = shift
        self.field = self.page = ""
        self.answer = ""
        self.shown: list[str] = []
        self.times_asked = 0
        self.is_drawing = False
        self.looks: dict[str, tuple[float, float]] = {}  # by fragment: every so many seconds, next when
        self.opened_s = self.answered_s = float("nan")

    async def work(self, address: str, patience: Patience) -> None:
        """Open the page, ask for the shift, and wait for its answer; a page that is being drawn is not disturbed."""
        began = time.monotonic()
        async with connect(f"{address}/_stcore/stream", max_size=2**26, subprotocols=[STREAMLIT]) as line:
            await self._send(line)
            has_asked, drawn_s = False, 0.0
            while time.monotonic() - began < LONGEST_S or patience.own_s < LONGEST_S:  # to look at patience is dear
                try:
                    message = await asyncio.wait_for(line.recv(), LISTEN_S)
                except TimeoutError:
                    message = b""
                await self._look(line)
                if message:
                    self._hear(message, time.monotonic() - began)
                    drawn_s = time.monotonic()
                if re.match(rf"Shift {self.shift} under", self.answer):
                    self.answered_s = time.monotonic() - began
                    await asyncio.sleep(LISTEN_S)  # a server that is just then listening would call it a fault
                    return
                is_late = has_asked and time.monotonic() - drawn_s > LOOK_AGAIN_S
                if not self.is_drawing and self.field and (not has_asked or is_late):
                    await self._send(line)
                    has_asked = True

    async def _send(self, line: ClientConnection) -> None:
        await line.send(self._ask())
        self.times_asked += 1
        self.is_drawing = True

    async def _look(self, line: ClientConnection) -> None:
        """Draw the pieces again that are to be drawn again by now."""
        now_s = time.monotonic()
        for fragment, (every_s, next_s) in self.looks.items():
            if next_s <= now_s:
                self.looks[fragment] = every_s, now_s + every_s
                await line.send(self._ask(fragment))

    def seen(self, expected: str) -> str:
        """What is wrong with what this user saw; empty if nothing is."""
        if html.unescape(self.answer).startswith(expected):
            return ""
        when = (
            f"after {self.answered_s:.1f} s" if self.answered_s == self.answered_s else f"not within {LONGEST_S:.0f} s"
        )
        return (
            f"shift {self.shift}, answered {when}, asked {self.times_asked} times: expected {expected!r}, "
            f"saw {self.answer!r}; the last on the page: {self.shown[-6:]!r}"
        )

    def _ask(self, fragment: str = "") -> bytes:
        ask = BackMsg()
        if self.page:
            ask.rerun_script.page_script_hash = self.page
        else:
            ask.rerun_script.page_name = "shift"
        ask.rerun_script.fragment_id, ask.rerun_script.is_auto_rerun = fragment, bool(fragment)
        if self.field:
            state = ask.rerun_script.widget_states.widgets.add()
            state.id, state.double_value = self.field, float(self.shift)
        return ask.SerializeToString()

    def _hear(self, message: bytes | str, now_s: float) -> None:
        word = ForwardMsg()
        word.ParseFromString(message if isinstance(message, bytes) else message.encode())
        self._keep_looking(word)
        self.is_drawing = self.is_drawing and word.WhichOneof("type") != "script_finished"
        element = word.delta.new_element
        kind = element.WhichOneof("type")
        if kind in ("alert", "progress", "html"):
            self.shown.append(f"{kind}: {str(getattr(element, kind))[:300]}")
        if kind == "number_input" and not self.field:
            self.field, self.opened_s = element.number_input.id, now_s
        elif kind == "html" and 'class="answer"' in element.html.body:
            self.answer = re.sub(r"<[^>]+>", "", element.html.body)

    def _keep_looking(self, word: ForwardMsg) -> None:
        """Which pieces look again by themselves; a page that is drawn anew as a whole names them anew."""
        kind = word.WhichOneof("type")
        if kind == "new_session" and not word.metadata.run.fragment_ids:
            self.looks.clear()
        elif kind == "navigation":
            self.page = word.navigation.page_script_hash
        elif kind == "auto_rerun":
            fragment, every_s = word.auto_rerun.fragment_id, word.auto_rerun.interval
            if self.looks.get(fragment, (0.0, 0.0))[0] != every_s:
                self.looks[fragment] = every_s, time.monotonic() + every_s
        elif kind == "stop_auto_rerun":
            for fragment in word.stop_auto_rerun.fragment_ids:
                self.looks.pop(fragment, None)


async def _watch(server: psutil.Process, users: list[asyncio.Task[None]]) -> int:
    """The most memory that the server and its workers used, bytes."""
    most = 0
    while not all(task.done() for task in users):
        family = [server, *server.children(recursive=True)]
        most = max(most, sum(_memory(each) for each in family))
        await asyncio.sleep(2.0)
    return most


def _memory(process: psutil.Process) -> int:
    try:
        return int(process.memory_info().rss)
    except psutil.NoSuchProcess:
        return 0


async def _all(address: str, server: psutil.Process, count: int) -> tuple[list[User], int, list[float]]:
    """Let all users work at once, and ask the server now and then whether it still answers."""
    users = [User(number + 2) for number in range(count)]
    patience = Patience(server.pid, is_family=True)
    tasks = [asyncio.create_task(user.work(address.replace("http", "ws"), patience)) for user in users]
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


def expected_answers(count: int) -> dict[int, str]:
    works = load_works(ROOT / "scenarios" / "block-line.yaml")
    texts, policy = {}, works.todays_policy  # the page begins with it
    for shift in range(2, count + 2):
        parts = record_shift(works, policy, shift).parts
        shipped = int((parts["outcome"] == "shipped").sum())
        texts[shift] = f'Shift {shift} under "{policy}": {shipped} parts of block went out'
    return texts


def once(count: int, expected: dict[int, str]) -> dict[str, Any]:
    """Let so many users work at once on a server of their own; what they saw and how long it took."""
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as served:
        server = psutil.Process(served.process_id)
        asyncio.run(_all(served.address, server, 1))  # workers ready, everything loaded
        users, most, waits = asyncio.run(_all(served.address, server, count))
    opened, answered = [user.opened_s for user in users], [user.answered_s for user in users]
    return {
        "users": count,
        "not the library's answer": [words for user in users if (words := user.seen(expected[user.shift]))],
        "page opened, s (median, worst)": [statistics.median(opened), max(opened)],
        "answered, s (median, worst)": [statistics.median(answered), max(answered)],
        "memory of server and workers at the most, MB": round(most / 2**20),
        "server's pulse meanwhile, s (worst)": max(waits, default=0.0),
    }


def main() -> int:
    """Let the users work as often as asked, and say how it went."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--users", type=int, default=20)
    parser.add_argument("--times", type=int, default=1)
    asked = parser.parse_args()
    expected = expected_answers(asked.users)
    wrong = 0
    for _ in range(asked.times):
        outcome = once(asked.users, expected)
        print(json.dumps(outcome, indent=2), flush=True)
        wrong += len(outcome["not the library's answer"])
    print(f"{asked.times} times {asked.users} users: {wrong} answers that are not the library's")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
