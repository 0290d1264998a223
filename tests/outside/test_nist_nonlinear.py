"""The least squares of the wear curve against NIST's certified fits of curves, of every grade of difficulty.

NIST Statistical Reference Datasets, nonlinear regression: 27 problems, 120 certified figures with their standard
deviations, each from two starts; see tests/data/SOURCES.md. Nothing is left out.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from numpy import arctan, cos, exp, log, pi, sin

from linesim.plan.tables import Floats
from linesim.records.squares import least

DATA = Path(__file__).parents[1] / "data"
CERTIFIED = pd.read_csv(DATA / "nist_nonlinear_certified.csv").groupby("dataset")
POINTS = pd.read_csv(DATA / "nist_nonlinear_data.csv").groupby("dataset")
WITHOUT_SCATTER = "Lanczos1"
"""Made without scatter: 1e-13 is left of values of 2.5, so that rounding is most of its standard deviations."""

Curve = Callable[..., Floats]


def three_humps(x: Floats, a: float, b: float, *humps: float) -> Floats:
    c, d, e, f, g, h = humps
    return np.asarray(a * exp(-b * x) + c * exp(-((x - d) ** 2) / e**2) + f * exp(-((x - g) ** 2) / h**2))


def three_decays(x: Floats, a: float, b: float, *decays: float) -> Floats:
    c, d, e, f = decays
    return np.asarray(a * exp(-b * x) + c * exp(-d * x) + e * exp(-f * x))


def cubic_over_cubic(x: Floats, *b: float) -> Floats:
    above, below = b[0] + b[1] * x + b[2] * x**2 + b[3] * x**3, 1 + b[4] * x + b[5] * x**2 + b[6] * x**3
    return np.asarray(above / below)


def seasons(x: Floats, *b: float) -> Floats:
    year = b[1] * cos(2 * pi * x / 12) + b[2] * sin(2 * pi * x / 12)
    slow = b[4] * cos(2 * pi * x / b[3]) + b[5] * sin(2 * pi * x / b[3])
    return np.asarray(b[0] + year + slow + b[7] * cos(2 * pi * x / b[6]) + b[8] * sin(2 * pi * x / b[6]))


CURVES: dict[str, Curve] = {
    "Bennett5": lambda x, a, b, c: a * (b + x) ** (-1 / c),
    "BoxBOD": lambda x, a, b: a * (1 - exp(-b * x)),
    "Chwirut1": lambda x, a, b, c: exp(-a * x) / (b + c * x),
    "Chwirut2": lambda x, a, b, c: exp(-a * x) / (b + c * x),
    "DanWood": lambda x, a, b: a * x**b,
    "ENSO": seasons,
    "Eckerle4": lambda x, a, b, c: a / b * exp(-0.5 * ((x - c) / b) ** 2),
    "Gauss1": three_humps,
    "Gauss2": three_humps,
    "Gauss3": three_humps,
    "Hahn1": cubic_over_cubic,
    "Kirby2": lambda x, a, b, c, d, e: (a + b * x + c * x**2) / (1 + d * x + e * x**2),
    "Lanczos1": three_decays,
    "Lanczos2": three_decays,
    "Lanczos3": three_decays,
    "MGH09": lambda x, a, b, c, d: a * (x**2 + x * b) / (x**2 + x * c + d),
    "MGH10": lambda x, a, b, c: a * exp(b / (x + c)),
    "MGH17": lambda x, a, b, c, d, e: a + b * exp(-x * d) + c * exp(-x * e),
    "Misra1a": lambda x, a, b: a * (1 - exp(-b * x)),
    "Misra1b": lambda x, a, b: a * (1 - (1 + b * x / 2) ** -2.0),
    "Misra1c": lambda x, a, b: a * (1 - (1 + 2 * b * x) ** -0.5),
    "Misra1d": lambda x, a, b: a * b * x / (1 + b * x),
    "Nelson": lambda x, a, b, c: a - b * x[0] * exp(-c * x[1]),  # of the logarithm
    "Rat42": lambda x, a, b, c: a / (1 + exp(b - c * x)),
    "Rat43": lambda x, a, b, c, d: a / (1 + exp(b - c * x)) ** (1 / d),
    "Roszman1": lambda x, a, b, c, d: a - b * x - arctan(c / (x - d)) / pi,
    "Thurber": cubic_over_cubic,
}


def test_every_problem_has_its_curve() -> None:
    """Twenty-seven, of 120 figures in all."""
    assert set(CURVES) == set(CERTIFIED.groups) == set(POINTS.groups)
    assert (len(CURVES), CERTIFIED.size().sum()) == (27, 120)


@pytest.mark.parametrize("start", ["start1", "start2"])
@pytest.mark.parametrize("name", CURVES)
def test_certified_figures_and_their_standard_deviations(name: str, start: str) -> None:
    """Values to five digits and standard deviations to six; three where rounding is what scatters."""
    certified, points = CERTIFIED.get_group(name), POINTS.get_group(name)
    x, y = points["x1"].to_numpy(float), points["y"].to_numpy(float)
    if name == "Nelson":
        x, y = points[["x1", "x2"]].to_numpy(float).T, log(y)
    answer = least(lambda theta: CURVES[name](x, *theta) - y, certified[start].to_numpy(float))
    np.testing.assert_allclose(answer.values, certified["certified"], rtol=1e-5)
    errors = answer.errors(len(y) - len(certified))
    np.testing.assert_allclose(errors, certified["certified_sd"], rtol=1e-3 if name == WITHOUT_SCATTER else 1e-6)
