"""The handbook as a stated prior for the edge life of a set: where a shop has few edges of its own."""

from __future__ import annotations

from functools import cache

import numpy as np

from linesim.cutting.life import extended_taylor_life_min
from linesim.handbook import Grade
from linesim.plan.coefficients import coefficients_of
from linesim.records.likelihood import Prior
from linesim.records.lives import SetLives
from linesim.works.model import Works
from linesim.works.walks import CutPlace, cuts_of
from linesim.yaml_text import data_of

__all__ = ["WITHIN", "first_cut_of", "grade_of", "prior_for"]


@cache
def _within() -> dict[str, float]:
    """How far the handbook is trusted."""
    trusted: dict[str, float] = data_of("linesim.records", "data", "priors.yaml")
    return trusted


WITHIN = _within()
"""Factors and distances within which the handbook's figures are thought to lie, with 95 %."""


def first_cut_of(works: Works, name: str) -> CutPlace | None:
    """The first cut of a set, in the order of the routings."""
    return next((place for place in cuts_of(works) if place.cut.cutter == name), None)


def grade_of(works: Works, name: str) -> Grade | None:
    """The grade of a set on the material that it cuts first; None where the handbook has none."""
    place = first_cut_of(works, name)
    grade = works.cutters[name].grade if name in works.cutters else None
    if place is None or grade is None or place.at.line.material is None:
        return None
    return coefficients_of(works).grade(grade, place.at.line.material)


def prior_for(own: SetLives, grade: Grade) -> Prior:
    """What the handbook thinks of the parameters of a set's lives.

    Parameters
    ----------
    own : SetLives
        The lives; the handbook's life is taken at their reference, and at its own where a condition is not recorded.
    grade : Grade
        The handbook's figures.
    """
    at = {"speed": grade.ref_speed_m_min, "feed": grade.ref_feed_mm, "depth": grade.ref_depth_mm} | own.at
    life = extended_taylor_life_min(
        at["speed"], at["feed"], at["depth"], grade.ref_life_min, grade.ref_speed_m_min, grade.ref_feed_mm,
        grade.ref_depth_mm, grade.n, grade.p, grade.q, 1.0,
    )  # fmt: skip
    slopes = {
        "speed": (-1.0 / grade.n, WITHIN["speed_within"] / grade.n),
        "feed": (-grade.p, WITHIN["feed_within"]),
        "depth": (-grade.q, WITHIN["depth_within"]),
    }
    sigma = float(np.sqrt(np.log1p(grade.life_cv**2)))
    pairs = [(np.log(life), np.log(WITHIN["life_within"])), *(slopes[each] for each in own.hangs_on)]
    pairs += [(0.0, np.inf) for _ in own.materials[1:]]
    pairs += [(np.log(sigma), np.log(WITHIN["sigma_within"]))]
    pairs += [(np.log(0.5 * sigma), np.log(4.0))] if own.group else []
    means, within = np.array(pairs, float).T
    return Prior(means, within / 1.96)
