"""What became of things that were read: accepted, refused with a sentence soon, or something that must not be."""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from linesim.errors import LinesimError

__all__ = ["BITS", "Outcomes", "text_mutated"]

HANGS_S = 20.0
TRIES = 3
"""A file over its time is read so often in all, and the quickest counts: a machine that is held up for a moment is not
the reader's doing, and what takes too long does so each time."""
PLAIN_STEPS_A_SECOND = 10_000_000
"""Steps of a plain loop in a second on the machine for which a time is stated; a slower one is given more."""
BITS = (
    "", "null", "true", "-1", "0", "1e15", "1e308", "9" * 60, "3 kg", "3 mm", "9 EUR", "[]", "{}", "[1]", "{a: 1}",
    "run out", "never", "*boring", "&x 3", "!!int 3", "2024-01-01", ".inf", "'", '"', "? a", "- 1", "|", "\t", "#",
    ": :", "Op 40", "%", "{", "[[[[", "after: start", "extends: x.yaml", "\x00", "\u200b", "\u202e", "fixed", "[key]",
)  # fmt: skip
"""What is put in place of what stands in a file."""


@dataclass
class Outcomes:
    """What became of a number of files.

    Parameters
    ----------
    most_s : float
        Processor time that one may take, in seconds of a machine of :data:`PLAIN_STEPS_A_SECOND`.
    counts : Counter
        Of those accepted, refused, tracebacks, hangs and those over their time.
    worst_s : float
        Processor time of the slowest.
    faults : list of str
        What must not be, each with what brings it back.
    """

    most_s: float = 2.0
    counts: Counter[str] = field(default_factory=Counter)
    worst_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def read(self, read: Callable[[], object], which: str) -> None:
        """Read one of them and note what became of it; `which` is what brings it back."""
        kind, took_s = self._read_once(read, which)
        if took_s > self.most_s:
            took_s = self._least(took_s, read, which)
        if self.counts.total() % 500 == 499:
            print(f"\r{self}", end="", file=sys.stderr, flush=True)
        self.counts[kind] += 1
        self.worst_s = max(self.worst_s, took_s)
        if took_s > self.most_s:
            self.counts["hangs" if took_s > HANGS_S else "over their time"] += 1
            self.faults.append(f"{which}: {took_s:.1f} s")

    def _least(self, took_s: float, read: Callable[[], object], which: str) -> float:
        """Return the least time of a few tries, in seconds of the machine for which the limit is stated."""
        took_s /= slowness()
        for _ in range(TRIES - 1):
            if self.most_s < took_s < HANGS_S:
                took_s = min(took_s, self._read_once(read, which)[1] / slowness())
        return took_s

    def _read_once(self, read: Callable[[], object], which: str) -> tuple[str, float]:
        """Return what became of one and the seconds of processor that it took."""
        began_s = time.process_time()
        kind = "accepted"
        try:
            read()
        except LinesimError as error:
            kind = "refused"
            if not str(error).strip():
                self.faults.append(f"{which}: refused without a word")
        except Exception as error:  # noqa: BLE001 - this is what is looked for
            kind = "tracebacks"
            self.faults.append(f"{which}: {type(error).__name__}: {error}")
        return kind, time.process_time() - began_s

    def __str__(self) -> str:
        counts = ", ".join(f"{count:,} {kind}" for kind, count in sorted(self.counts.items()))
        return f"{counts}; the slowest took {self.worst_s:.2f} s"


def slowness() -> float:
    """Return how many times longer than stated this machine takes just now for a plain loop, 1 at least."""
    steps = PLAIN_STEPS_A_SECOND // 10
    began_s = time.process_time()
    total = 0
    for step in range(steps):
        total += step
    return max(1.0, 10.0 * (time.process_time() - began_s))


def text_mutated(text: str, chance: random.Random) -> str:
    """Return a text with one to four of its lines changed, taken out, doubled, moved or indented otherwise."""
    lines = text.splitlines()
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        way = chance.randrange(6)
        if way == 0:
            del lines[at]
        elif way == 1:
            lines.insert(chance.randrange(len(lines)), lines[at])
        elif way == 2:
            lines[at] = " " * chance.randrange(9) + lines[at].lstrip()
        elif way == 3:
            lines[at] = lines[at].partition(":")[0] + ": " + chance.choice(BITS)
        elif way == 4:
            cut = chance.randrange(len(lines[at]) + 1)
            lines[at] = lines[at][:cut] + chance.choice(BITS) + lines[at][cut:]
        else:
            cut = chance.randrange(len(lines[at]) + 1)
            lines[at] = lines[at][:cut] + lines[at][cut + 1 :]
    return "\n".join(lines)
