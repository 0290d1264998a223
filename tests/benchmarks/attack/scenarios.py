"""Mutated scenarios: each is a works or is refused with a sentence, soon."""

from __future__ import annotations

import random
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from linesim.errors import ScenarioError
from linesim.works import works_from_text
from tests.benchmarks.attack.nasty import NASTY

__all__ = ["Outcomes", "attack_scenarios"]

_MOST_S = 2.0
_HANGS_S = 20.0
_SCENARIOS = Path(__file__).parents[3] / "scenarios"
_BITS = (
    "", "null", "true", "-1", "0", "1e15", "1e308", "9" * 60, "3 kg", "3 mm", "9 EUR", "[]", "{}", "[1]", "{a: 1}",
    "run out", "never", "*boring", "&x 3", "!!int 3", "2024-01-01", ".inf", "'", '"', "? a", "- 1", "|", "\t", "#",
    ": :", "Op 40", "%", "{", "[[[[", "after: start", "extends: x.yaml", "\x00", "\u200b", "\u202e", "fixed", "[key]",
)  # fmt: skip


@dataclass
class Outcomes:
    """What became of the scenarios.

    Parameters
    ----------
    counts : Counter
        Of works, refused, tracebacks, hangs and those over two seconds.
    worst_s : float
        Processor time of the slowest.
    faults : list of str
        What must not be, each with what brings it back.
    """

    counts: Counter[str] = field(default_factory=Counter)
    worst_s: float = 0.0
    faults: list[str] = field(default_factory=list)


def attack_scenarios(number: int, seed: int) -> Outcomes:
    """Read so many mutated scenarios, and the texts made to hold a reader up.

    Parameters
    ----------
    number : int
        Of mutated ones.
    seed : int
        The same seed makes the same scenarios.

    Returns
    -------
    Outcomes
    """
    texts = [path.read_text("utf-8") for path in sorted(_SCENARIOS.glob("*.yaml")) if path.name != "works.yaml"]
    outcomes = Outcomes()
    for name, made in NASTY.items():
        _read(made(), f"nasty: {name}", outcomes)
    for at in range(number):
        chance = random.Random(f"{seed} {at}")
        _read(_mutated(chance.choice(texts), chance), f"--seed {seed}, mutation {at}", outcomes)
    return outcomes


def _mutated(text: str, chance: random.Random) -> str:
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
            lines[at] = lines[at].partition(":")[0] + ": " + chance.choice(_BITS)
        elif way == 4:
            cut = chance.randrange(len(lines[at]) + 1)
            lines[at] = lines[at][:cut] + chance.choice(_BITS) + lines[at][cut:]
        else:
            cut = chance.randrange(len(lines[at]) + 1)
            lines[at] = lines[at][:cut] + lines[at][cut + 1 :]
    return "\n".join(lines)


def _read(text: str, which: str, outcomes: Outcomes) -> None:
    """Read one text and note what became of it."""
    began_s = time.process_time()
    kind = "works"
    try:
        works_from_text(text)
    except ScenarioError as error:
        kind = "refused"
        if not str(error).strip():
            outcomes.faults.append(f"{which}: refused without a word")
    except Exception as error:  # noqa: BLE001 - this is what is looked for
        kind = "tracebacks"
        outcomes.faults.append(f"{which}: {type(error).__name__}: {error}")
    took_s = time.process_time() - began_s
    outcomes.counts[kind] += 1
    outcomes.worst_s = max(outcomes.worst_s, took_s)
    if took_s > _MOST_S:
        outcomes.counts["hangs" if took_s > _HANGS_S else "over two seconds"] += 1
        outcomes.faults.append(f"{which}: {took_s:.1f} s")
