"""What may be true of a works: every cutter's life drawn within the interval in which it is known."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from linesim.cutting.knowing import unknown_sigma
from linesim.study.search.common.unsure import HANDBOOK_WITHIN
from linesim.study.search.sensitivity.inputs import Input, inputs_of, with_factors
from linesim.works import Works

__all__ = ["draw_factors", "lives_of", "settled", "with_lives", "within_of"]


def lives_of(works: Works) -> tuple[Input, ...]:
    """The lives that a works has, one for each cutter that goes dull."""
    return tuple(each for each in inputs_of(works) if each.kind == "life")


def within_of(works: Works, life: Input) -> float:
    """The factor within which a life is known with 95 %: as the scenario says, else as the handbook does."""
    known = works.cutters[life.targets[0]].known_within
    return known if known > 1.0 else HANDBOOK_WITHIN


def settled(works: Works) -> Works:
    """The works with every life as if it were known, so that a run draws none of its own."""
    cutters = {
        name: cutter if cutter.known_within == 1.0 else cutter.model_copy(update={"life": cutter.life_min})
        for name, cutter in works.cutters.items()
    }
    return works.model_copy(update={"cutters": cutters})


def draw_factors(works: Works, count: int, seed: int) -> list[dict[str, float]]:
    """Factors on the lives, by the name of the input, lognormal about 1.

    Parameters
    ----------
    works : Works
        Whose lives.
    count : int
        How many draws.
    seed : int
        Key of chance; the first draws are the same however many there are.
    """
    lives = lives_of(works)
    sigma = np.array([unknown_sigma(within_of(works, life)) for life in lives])
    normal = np.random.default_rng([seed % 2**32, 20_312]).normal(size=(count, len(lives)))
    factors = np.exp(sigma * normal)
    return [{life.name: float(value) for life, value in zip(lives, row, strict=True)} for row in factors]


def with_lives(works: Works, factors: Mapping[str, float]) -> Works:
    """The works with its lives at some factors, known for sure."""
    lives = {each.name: each for each in lives_of(works)}
    return with_factors(settled(works), [(lives[name], factor) for name, factor in factors.items()])
