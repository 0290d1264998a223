"""Chance as a pure function: every random number is fixed by (seed, replication, purpose, spot, index, draw).

Nothing here has a state. The generator is `philox`; its key is (seed, replication), its counter is (index, spot,
purpose, block), and the four words that come out are two draws of four numbers each. So a draw does not depend on what
was drawn before it, two policies meet the same castings, edges and breakdowns, and any replication can be rerun alone.

Seeds, replications, spots and indices are whole numbers from 0 to 2**63 - 1; larger words are taken as
``numpy.uint64`` only. From Python, pass plain ``int(Purpose.CUT)`` rather than the member where speed matters.
"""

from linesim.chance.durations import (
    Distribution,
    drawn,
    listed_at,
    lognormal_sigma,
    lognormal_value,
    weibull_cv,
    weibull_scale_from_mean,
)
from linesim.chance.numbers import Purpose, normals, uniform_at, uniforms
from linesim.normal import normal_from_uniform
from linesim.philox import philox

__all__ = [
    "Distribution",
    "Purpose",
    "drawn",
    "listed_at",
    "lognormal_sigma",
    "lognormal_value",
    "normal_from_uniform",
    "normals",
    "philox",
    "uniform_at",
    "uniforms",
    "weibull_cv",
    "weibull_scale_from_mean",
]
