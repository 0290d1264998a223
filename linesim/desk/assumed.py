"""The typical figures that a works leans on where it does not say: each with its value, for what, and where it is from.

Only what the works uses is listed: a figure of its own, under ``handbook:`` or in an entry, takes its place.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import pandas as pd

from linesim.desk.assumed_cuts import assumed_of_cuts
from linesim.desk.assumed_defaults import assumed_defaults
from linesim.desk.assumed_marks import STANDS_IN, assumed_by_marks
from linesim.plan.coefficients import coefficients_of
from linesim.plan.figures import cut_settings
from linesim.words import ENGLISH, Series, figure, keep, recognised
from linesim.works.model import Works

__all__ = ["ASSUMED_COLUMNS", "assumed_sentences", "assumed_table"]

ASSUMED_COLUMNS = ["figure", "value", "used_for", "strength", "source"]

_MOST_NAMED = 4
"""Things that a sentence names; the rest it counts."""


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
        figures = Series(_of_figure(row) for row in own.to_dict(orient="records"))
        how = keep("desk.stands_in" if strength == STANDS_IN else f"desk.strength_{strength}")
        yield keep("desk.typical", figures=figures, strength=how, source=source)


def _of_figure(row: Mapping[Hashable, Any]) -> str:
    """A figure with its value, and what uses it."""
    name, value = str(row["figure"]), str(row["value"])
    figure_of, space, unit = value.partition(" ")
    shown = keep("desk.value", value=figure(figure_of), unit=recognised(unit, "taken")) if space else figure(value)
    key = f"typical.{name}"
    called = keep(key) if key in ENGLISH.entries else recognised(name, "taken")
    return keep("desk.typical_of", name=called, value=shown, things=_some(str(row["used_for"]).split(", ")))


def _some(names: Sequence[str]) -> str:
    listed = [recognised(name, "taken") for name in names]
    more = len(listed) - _MOST_NAMED
    if more <= 1:
        return keep("format.names", names=listed)
    return keep("format.and_more", names=listed[:_MOST_NAMED], more=more)
