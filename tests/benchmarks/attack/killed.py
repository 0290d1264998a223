"""A study that is ended with kill -9 again and again, at random moments: nothing lost, nothing doubled, nobody left.

``python -m tests.benchmarks.attack.killed`` starts the real command two hundred times over, and ends it at a moment
drawn between its start and a little after its end; ``--kills N`` does so as often, ``--smoke`` three times. It takes
about five seconds for each. After each: within ten seconds (of what a process takes of itself, see `patience`) no
process and no semaphore of it is left, its store is whole, and what was in it before is in it still. Once a study has
come to its end, its answer must be that of one that nobody disturbed.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import secrets
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import psutil

from linesim.starting import python
from linesim.store import open_copy
from linesim.works import changed, load_works, to_yaml
from tests.benchmarks.attack.patience import Patience

ROOT = Path(__file__).resolve().parents[3]
SEED = 20260212
"""Fixed before any result was seen."""
GONE_S = 10.0
"""Of a process's own time, so that one which is given no processor for a while is not taken for one that stays."""
AT_MOST_S = 300.0
MARK = "LINESIM_ATTACK"
FAULTS = ("processes left", "semaphores left", "runs lost", "runs doubled", "store not whole", "tracebacks",
          "answers that differ")  # fmt: skip


@dataclass
class Attack:
    """A study under attack, and what has come of it.

    Attributes
    ----------
    folder : pathlib.Path
        Where scenario and store lie.
    answer : str
        Of a study that nobody disturbed.
    took_s : float
        What that took.
    counts : Counter
        Kills, ends reached, and faults by name.
    """

    folder: Path
    answer: str = ""
    took_s: float = 0.0
    keys: set[str] = field(default_factory=set)
    counts: Counter[str] = field(default_factory=Counter)

    def started(self, store: Path, mark: str) -> subprocess.Popen[str]:
        """The command, as a user gives it."""
        words = ("compare", "line.yaml", "--workers", "2", "--engine", "simpy", "--json", "--store", str(store))
        surroundings = os.environ | {"PYTHONPATH": str(ROOT), MARK: mark}
        return subprocess.Popen(
            python("-m", "linesim", *words), cwd=self.folder, text=True, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, env=surroundings,
        )  # fmt: skip

    def undisturbed(self) -> None:
        """Have the answer once, and how long it takes."""
        began = time.monotonic()
        self.answer = answer_of(self.started(self.folder / "undisturbed.sqlite", "none").communicate()[0])
        self.took_s = time.monotonic() - began

    def round(self, chance: random.Random) -> None:
        """Start the study or go on with it, end it at some moment, and look at what is left."""
        mark, store = secrets.token_hex(8), self.folder / "runs.sqlite"
        study = self.started(store, mark)
        try:
            told, words = study.communicate(timeout=chance.uniform(0.0, 1.1 * self.took_s))
        except subprocess.TimeoutExpired:
            study.kill()
            self.counts["kills"] += 1
            told, words = "", ""
        self.nobody_is_left(study, mark)
        if not told:
            study.communicate()
        self.counts["tracebacks"] += "Traceback" in words
        self.nothing_is_lost(store)
        if told:
            self.counts["ends reached"] += 1
            self.counts["answers that differ"] += answer_of(told) != self.answer
            store.unlink()
            self.keys.clear()

    def nobody_is_left(self, study: subprocess.Popen[str], mark: str) -> None:
        """Count processes and semaphores that outlast the study by ten seconds."""
        watched = {process.pid: Patience(process.pid) for process in marked(mark)}
        own, began = Patience(), time.monotonic()
        while watched or semaphores(study.pid):
            time.sleep(0.2)
            living = marked(mark)
            watched = {each.pid: watched.get(each.pid) or Patience(each.pid) for each in living}
            wait_s = max((each.own_s for each in watched.values()), default=own.own_s)
            if wait_s > GONE_S or time.monotonic() - began > AT_MOST_S:
                break
        self.counts["processes left"] += len(watched)
        self.counts["semaphores left"] += len(semaphores(study.pid))

    def nothing_is_lost(self, store: Path) -> None:
        """Count runs that have gone, and runs that are there twice."""
        if not store.exists():
            self.counts["runs lost"] += len(self.keys)
            return
        with open_copy(store) as copy:
            self.counts["store not whole"] += len(list(copy.problems()))
            keys = [(run.works, run.policy_text, run.seed, run.replication, run.version) for run in copy.runs_of()]
        texts = {json.dumps(key) for key in keys}
        self.counts["runs lost"] += len(self.keys - texts)
        self.counts["runs doubled"] += len(keys) - len(texts)
        self.keys = texts


def answer_of(told: str) -> str:
    """What a study has found, without how it was asked."""
    content = json.loads(told)
    del content["command"]
    return json.dumps(content, sort_keys=True)


def marked(mark: str) -> list[psutil.Process]:
    """Processes that were started by a study, directly or through others."""
    living = []
    for process in psutil.process_iter():
        try:
            if process.environ().get(MARK) == mark and process.status() != psutil.STATUS_ZOMBIE:
                living.append(process)
        except psutil.Error:  # it has ended, or is another's
            continue
    return living


def semaphores(pid: int) -> list[Path]:
    return list(Path("/dev/shm").glob(f"sem.*-{pid}-*"))


def attacked(kills: int, replications: int) -> Counter[str]:
    """So many kills, and what came of them."""
    with tempfile.TemporaryDirectory() as folder:
        attack = Attack(Path(folder))
        wanted = {"run": {"length": "2 shifts", "warm_up": "0 min", "replications": replications}}
        works = changed(load_works(ROOT / "scenarios" / "smallest.yaml"), wanted)
        (attack.folder / "line.yaml").write_text(to_yaml(works), encoding="utf-8")
        attack.undisturbed()
        chance = random.Random(SEED)
        while attack.counts["kills"] < kills:
            attack.round(chance)
            print(f"\r{dict(attack.counts)}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return attack.counts


def main(arguments: Sequence[str]) -> int:
    """Run the attack and print what came of it; 1 if anything did."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--smoke", action="store_true", help="three kills of a short study")
    asked = parser.parse_args(arguments)
    counts = attacked(3 if asked.smoke else asked.kills, 10 if asked.smoke else 40)
    for name in ("kills", "ends reached", *FAULTS):
        print(f"{name:24}{counts[name]:6}")
    return int(any(counts[name] for name in FAULTS))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
