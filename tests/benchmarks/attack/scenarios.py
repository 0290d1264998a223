"""Mutated scenarios: each is a works or is refused with a sentence, soon."""

from __future__ import annotations

import random
from functools import partial
from pathlib import Path

from linesim.unit_table import root_of
from linesim.works import works_from_text
from tests.benchmarks.attack.nasty import NASTY
from tests.benchmarks.attack.outcomes import Outcomes, text_mutated

__all__ = ["SCENARIOS", "attack_scenarios"]

SCENARIOS = Path(__file__).parents[3] / "scenarios"


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
    texts = [path.read_text("utf-8") for path in sorted(SCENARIOS.glob("*.yaml")) if path.name != "works.yaml"]
    outcomes = Outcomes()
    root_of("furlong")  # so that no text is charged with loading the table of units
    for name, made in NASTY.items():
        outcomes.read(partial(works_from_text, made()), f"nasty: {name}")
    for at in range(number):
        chance = random.Random(f"{seed} {at}")
        text = text_mutated(chance.choice(texts), chance)
        outcomes.read(partial(works_from_text, text), f"scenario {at} of --seed {seed}")
    return outcomes
