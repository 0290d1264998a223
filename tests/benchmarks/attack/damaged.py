"""Stores damaged in fifty ways, over and over at other spots: each is told, left alone, and saved as far as it goes.

``python -m tests.benchmarks.attack.damaged`` does each way twenty times (``--rounds N``; ten minutes of a processor),
``--smoke`` once. What must not be: a traceback, an answer after more than ten seconds of its own (`patience`), a store
that was written to although damage was seen in it, and a saved row that does not say what was written.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.attack.patience import Patience
from tests.unit.hostile.test_damaged import AT_RANDOM, SEED, WAYS, a_full_store, call, rows_of

LONGEST_S = 10.0
FAULTS = ("tracebacks", "slow answers", "written to", "rows that say something else", "damage not told")


def attacked(rounds: int) -> Counter[str]:
    """So many rounds of every way, and what came of them."""
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        a_full_store(folder / "whole.sqlite")
        for number in range(rounds):
            for way in WAYS:
                suffered(folder, way, random.Random(f"{SEED} {number} {way}"), counts)
            print(f"\r{dict(counts)}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return counts


def suffered(folder: Path, way: str, chance: random.Random, counts: Counter[str]) -> None:
    """One store, damaged in one way, and each command on it."""
    path, new = Path(shutil.copy(folder / "whole.sqlite", folder / "runs.sqlite")), folder / "new.sqlite"
    new.unlink(missing_ok=True)
    WAYS[way](path, chance)
    before = path.read_bytes()
    codes = {}
    for words in (("list",), ("check",), ("rescue", new)):
        patience, worked_s = Patience(), time.process_time()
        told = call(*words, "--store", path)
        if (own_s := patience.own_s) > LONGEST_S:
            counts["slow answers"] += 1
            worked_s = time.process_time() - worked_s
            print(f"\n{way}, {words[0]}: {own_s:.1f} s, {worked_s:.1f} s of processor", file=sys.stderr, flush=True)
        counts["tracebacks"] += told.exception is not None and not isinstance(told.exception, SystemExit)
        codes[words[0]] = told.exit_code
    is_told = codes["check"] != 0 or way in AT_RANDOM or way == "one byte more"
    counts["stores"] += 1
    counts["damage not told"] += not is_told
    counts["written to"] += codes["list"] != 0 and path.read_bytes() != before
    if codes["rescue"] == 0:
        counts["stores saved from"] += 1
        original = rows_of(folder / "whole.sqlite")
        strangers = [row for name, rows in rows_of(new).items() for row in rows - original[name] if "(lost)" not in row]
        counts["rows that say something else"] += len(strangers)
    for beside in folder.glob("runs.sqlite-*"):
        beside.unlink()


def main(arguments: Sequence[str]) -> int:
    """Run the attack and print what came of it; 1 if anything did."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--smoke", action="store_true", help="each way once")
    asked = parser.parse_args(arguments)
    counts = attacked(1 if asked.smoke else asked.rounds)
    for name in ("stores", "stores saved from", *FAULTS):
        print(f"{name:30}{counts[name]:6}")
    return int(any(counts[name] for name in FAULTS))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
