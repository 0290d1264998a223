"""Figures that a works marks as typical and not the shop's own."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.desk.assumed_words import Assumed
from linesim.works.checks_marks import markable
from linesim.works.model import Works
from linesim.works.typical import still_assumed

__all__ = ["STANDS_IN", "assumed_by_marks"]

STANDS_IN = "stands in"
"""Strength of such a figure."""


def assumed_by_marks(works: Works) -> Iterator[Assumed]:
    """Yield what stands in for figures of the shop, as long as it has not been changed.

    Parameters
    ----------
    works : Works
        The checked scenario.
    """
    for part, path, thing in markable(works):
        name = "the works" if part == "calendar" else str(path[-1])
        for figure, was in still_assumed(part, thing):
            value = figure.shown(was, works.currency)
            yield Assumed(figure.figure, value, name, STANDS_IN, figure.reason)
