"""The typical figures that a works leans on where it does not say: each with its value, for what, and where it is from.

Only what the works uses is listed: a figure of its own, under ``handbook:`` or in an entry, takes its place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

import pandas as pd

from linesim.desk.assumed_cuts import assumed_of_cuts
from linesim.desk.assumed_defaults import assumed_defaults
from linesim.desk.assumed_marks import STANDS_IN, assumed_by_marks
from linesim.plan.coefficients import coefficients_of
from linesim.plan.figures import cut_settings
from linesim.works.model import Works

__all__ = ["ASSUMED_COLUMNS", "assumed_sentences", "assumed_table"]

ASSUMED_COLUMNS = ["figure", "value", "used_for", "strength", "source"]

_MOST_NAMED = 4
"""Things that a sentence names; the rest it counts."""


_STRENGTHS = {
    "assumption": "Typical, assumed",
    "memory": "Typical, from memory",
    "derived": "Typical, derived",
    "read": "Typical, read",
    STANDS_IN: "Assumed",
}


class _Row(NamedTuple):
    """What `ASSUMED_COLUMNS` say."""

    figure: str
    value: str
    used_for: str
    strength: str
    source: str


def assumed_table(works: Works) -> pd.DataFrame:
    """One row for each typical figure that stands in for something the works does not say.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    DataFrame
        Columns `ASSUMED_COLUMNS`: figure and value in words, with the unit; used_for, the cutters, cuts or operations
        that use it; strength (assumption, memory, derived or read, see the handbook; "stands in" for what a
        works marks as not its own) and source.
    """
    every = [
        *assumed_by_marks(works),
        *assumed_of_cuts(cut_settings(works), coefficients_of(works)),
        *assumed_defaults(works),
    ]
    used: dict[tuple[str, str, str, str], dict[str, None]] = {}
    for each in every:
        used.setdefault((each.figure, each.value, each.strength, each.source), {})[each.used_for] = None
    rows = [
        _Row(figure, value, ", ".join(names), strength, source)
        for (figure, value, strength, source), names in used.items()
    ]
    return pd.DataFrame(rows, columns=ASSUMED_COLUMNS)


def assumed_sentences(table: pd.DataFrame) -> Iterator[str]:
    """The rows of `assumed_table` as sentences, those of one source together."""
    for (strength, source), own in table.groupby(["strength", "source"], sort=False):
        figures = [
            f"{row['figure']} {row['value']} ({_some(str(row['used_for']).split(', '))})"
            for row in own.to_dict(orient="records")
        ]
        yield f"{'; '.join(figures)}. {_STRENGTHS[str(strength)]}: {source}."


def _some(names: Iterable[str]) -> str:
    listed = list(names)
    more = len(listed) - _MOST_NAMED
    return ", ".join(listed) if more <= 1 else f"{', '.join(listed[:_MOST_NAMED])} and {more} more"
