"""Mutated lessons: each is a lesson or is refused with a sentence, soon."""

from __future__ import annotations

import random
import shutil
import tempfile
from functools import partial
from pathlib import Path

from linesim.training.reading import load_lesson
from tests.benchmarks.attack.outcomes import Outcomes, text_mutated
from tests.benchmarks.attack.scenarios import SCENARIOS

__all__ = ["attack_lessons"]

_MOST_S = 10.0
"""A lesson that holds is looked through with its policies and what its questions are answered with."""


def attack_lessons(number: int, seed: int) -> Outcomes:
    """Read so many mutated lessons, each beside the scenarios that it may extend.

    Parameters
    ----------
    number : int
        Of mutated ones.
    seed : int
        The same seed makes the same lessons.

    Returns
    -------
    Outcomes
    """
    texts = [path.read_text("utf-8") for path in sorted((SCENARIOS / "lessons").glob("*.yaml"))]
    outcomes = Outcomes(_MOST_S)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for path in SCENARIOS.glob("*.yaml"):
            shutil.copy(path, folder)
        (folder / "lessons").mkdir()
        for at in range(number):
            chance = random.Random(f"{seed} {at}")
            path = folder / "lessons" / "01-spoilt.yaml"
            path.write_text(text_mutated(chance.choice(texts), chance), encoding="utf-8", newline="\n")
            outcomes.read(partial(load_lesson, path), f"lesson {at} of --seed {seed}")
    return outcomes
