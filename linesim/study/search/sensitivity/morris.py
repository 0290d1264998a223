"""Morris's screening of many inputs at once.

By SALib, after M. D. Morris, "Factorial sampling plans for preliminary computational experiments", Technometrics 33
(1991), 161-174, with the mean size of effects of F. Campolongo, J. Cariboni and A. Saltelli, Environmental Modelling
and Software 22 (2007), 1509-1518.
"""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.search.sensitivity.answer import Effect

__all__ = ["effects_of", "morris_points", "salib"]

LEVELS = 4
"""Levels of the screening's grid."""


def morris_points(count: int, trajectories: int, seed: int) -> Floats:
    """Points of Morris's design, trajectory after trajectory.

    Parameters
    ----------
    count, trajectories : int
        Inputs, 2 or more; trajectories, 2 or more.
    seed : int
        The same one gives the same points.

    Returns
    -------
    array, shape (trajectories * (count + 1), count)
        Between 0 and 1.

    Raises
    ------
    StudyError
        SALib is not installed.
    """
    answer: Floats = salib("sample").sample(_problem(count), trajectories, num_levels=LEVELS, seed=seed)
    return answer


def effects_of(points: Floats, values: Floats, confidence: float, seed: int) -> list[Effect]:
    """Morris's figures of each input from whole trajectories.

    Parameters
    ----------
    points : array, shape (n, inputs)
        From `morris_points`, or the first trajectories of them.
    values : array, shape (n,)
        What was found there; all finite.
    confidence : float
        Of the interval of mu_star, by bootstrap.
    seed : int
        Of the bootstrap.

    Returns
    -------
    list of Effect

    Raises
    ------
    StudyError
        SALib is not installed.
    """
    answer = salib("analyze").analyze(
        _problem(points.shape[1]),
        points,
        values,
        num_resamples=500,
        conf_level=confidence,
        num_levels=LEVELS,
        seed=seed,
    )
    columns = [np.asarray(answer[name], dtype=np.float64) for name in ("mu_star", "mu_star_conf", "mu", "sigma")]
    return [Effect(*map(float, row)) for row in zip(*columns, strict=True)]


def _problem(count: int) -> dict[str, Any]:
    """The unit box as SALib wants it told."""
    return {"num_vars": count, "names": [f"x{at}" for at in range(count)], "bounds": [[0.0, 1.0]] * count}


def salib(part: str) -> ModuleType:
    """Morris's method in SALib; an error that says what to do where it is not installed."""
    try:
        if part == "sample":
            from SALib.sample import morris  # noqa: PLC0415 - comes with an extra
        else:
            from SALib.analyze import morris  # noqa: PLC0415
    except ImportError as error:
        text = "the screening needs SALib, which is not installed"
        raise StudyError(
            f"{text}; install it with: pip install 'linesim[screening]', or leave the screening out"
        ) from error
    answer: ModuleType = morris
    return answer
