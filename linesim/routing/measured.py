"""In what the account of a component is kept: an error and its variance, or squares of the form."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.cutting.component import Component
from linesim.errors import StudyError, nearest, quoted
from linesim.words import keep

__all__ = ["FOLLOWED", "SQUARES", "SUMS", "Measured", "component_named", "measured_as"]

FOLLOWED = (Component.SIZE, Component.POSITION, Component.TILT, Component.FORM)
"""The components of which there is an account."""

_ON_DRAWINGS = {"squareness": Component.TILT, "parallelism": Component.TILT}


@dataclass(frozen=True)
class Measured:
    """Names of the columns of an account, and its words.

    Attributes
    ----------
    mean, variance : str
        Columns of the mean and of the part of the variance.
    spread : str
        Column of what a bar is long.
    shared : str
        Column by which it is divided: the parts that sum to the square of the spread, µm².
    spread_words, spread_short, shared_words : str
        The last two as a person says them.
    """

    mean: str
    variance: str
    spread: str
    shared: str
    spread_words: str
    spread_short: str
    shared_words: str


SUMS = Measured("mean_um", "variance_um2", "sd_um", "variance_um2", keep("history.sd"), "sd", keep("history.variance"))
"""Of size, position and tilt, which are sums of their parts."""

SQUARES = Measured(
    "mean_um2", "variance_um4", "rms_um", "mean_um2", keep("history.rms"), "rms", keep("history.mean_square")
)
"""Of form, whose square is the sum of its parts."""


def measured_as(of: Component) -> Measured:
    """In what the account of a component is kept."""
    return SQUARES if of is Component.FORM else SUMS


def component_named(name: str) -> Component:
    """The component of that name; squareness and parallelism are tilt.

    Raises
    ------
    StudyError
        There is no account of such a thing.

    >>> component_named("Squareness").words
    'tilt'
    """
    names = {component.words: component for component in FOLLOWED} | _ON_DRAWINGS
    known = names.get(name.strip().lower())
    if known is None:
        near = nearest(name, names)
        hint = f"; did you mean {quoted(near)}?" if near else f"; one of {', '.join(names)} was expected"
        raise StudyError(f"there is no account of {quoted(name)}{hint}")
    return known
