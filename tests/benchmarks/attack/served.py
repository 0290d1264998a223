"""The dashboard attacked: pages loaded over and over, hostile files sent to be read, and twenty users at once.

``python -m tests.benchmarks.attack.served`` loads a page 200 times, has every hostile file read ten times, and lets
twenty users work twenty times (an hour or more); ``--smoke`` does a little of each. What must not be: file handles that
grow with loads, a file that takes longer than its bounds, a fault of the program, an answer that is not the library's,
and a process that is left behind.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import psutil

from dashboard.bounds import READING
from dashboard.jobs import Board
from dashboard.words import Order
from tests.benchmarks.attack.nasty import NASTY
from tests.benchmarks.attack.patience import Patience
from tests.benchmarks.users import expected_answers, once
from tests.dashboard_server import page_open, serving

FAULTS = ("handles that grow", "files over their time", "faults", "wrong answers", "processes left")
VISIT_ENDS_S = 22.0
STARTS_S = 60.0


def loaded(loads: int, counts: Counter[str]) -> None:
    """Load a page so many times, and see which file handles are left once the visits have ended."""
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as served:
        server = psutil.Process(served.process_id)
        with page_open(served, "past"):
            before = server.num_fds()
        for _ in range(loads):
            with page_open(served, "past"):
                counts["loads"] += 1
        time.sleep(VISIT_ENDS_S)
        with page_open(served, "past"):
            counts["handles that grow"] += max(0, server.num_fds() - before - 6)
        family = server.children(recursive=True)
    counts["processes left"] += len(psutil.wait_procs(family, timeout=10.0)[1])


def sent(rounds: int, counts: Counter[str]) -> None:
    """Have every hostile file read so many times, as an upload is."""
    board = Board(1, READING)
    for _ in range(rounds):
        for name, text in NASTY.items():
            order = Order("linesim.works.load:works_from_text", {"text": text(), "name": name})
            patience = Patience(is_family=True)
            job = board.ask("attacker", "reading", order.number, order)
            while not job.is_over and patience.own_s < STARTS_S:
                job.wait(1.0, for_end=True)
            counts["files sent"] += 1
            counts["files over their time"] += patience.own_s > READING.longest_s + STARTS_S / 2
            counts["files ended with words"] += job.error in (READING.too_long, READING.too_large, READING.ended)
            counts["faults"] += not job.is_over or job.error.startswith("A fault of the program")
    family = [psutil.Process(number) for number in board.process_ids]
    board.close()
    counts["processes left"] += len(psutil.wait_procs(family, timeout=10.0)[1])


def used(users: int, times: int, counts: Counter[str]) -> None:
    """Let so many users work at once, so many times."""
    expected = expected_answers(users)
    for _ in range(times):
        wrong = once(users, expected)["not the library's answer"]
        counts["users"] += users
        counts["wrong answers"] += len(wrong)
        print(*wrong, sep="\n", file=sys.stderr)


def main(arguments: Sequence[str]) -> int:
    """Attack the dashboard and say what came of it; 1 if anything happened that must not."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--smoke", action="store_true", help="a little of each")
    is_short = parser.parse_args(arguments).smoke
    counts: Counter[str] = Counter(dict.fromkeys(FAULTS, 0))
    loaded(20 if is_short else 200, counts)
    sent(1 if is_short else 10, counts)
    used(2 if is_short else 20, 1 if is_short else 20, counts)
    for what, number in sorted(counts.items()):
        print(f"{number:8,} {what}")
    return 1 if any(counts[fault] for fault in FAULTS) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
