"""All pictures of what records say, one after another, each with its title and what it shows in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import plotly.graph_objects as go

from linesim.records.castings import HEAT_SHARE, SPREAD, STOCK
from linesim.records.coefficient import Coefficient
from linesim.records.counted import SCRAP
from linesim.records.fitted import Fitted
from linesim.records.offsets import CORRECTED, DEAD_BAND
from linesim.records.regrinds import MARGIN, PAST_LIMIT, PER_LAND
from linesim.records.seen import Seen
from linesim.report.charts.records import edge_life_figure, times_figure
from linesim.report.charts.records_seen import (
    heats_figure,
    line_figure,
    study_figure,
    trend_figure,
    values_figure,
    wear_figure,
)
from linesim.report.theme.colours import DAY, Light
from linesim.words import counted

__all__ = ["RecordsPicture", "records_pictures"]

_LIFE = (
    "Lives brought to the middle of the recorded conditions. Steps: as recorded; strokes: edges changed before their "
    "end or broken; solid: the likelier distribution; dotted: the handbook alone, where it entered as a prior."
)
_WEAR = "Each edge over its own life; the dashed line is the wear limit."
_TIMES = "Steps: as recorded; strokes: not over when the records end; line: as fitted."
_MEAN = {"change minutes": "mean change minutes", "first part error": "bias of the first part", "scrap": SCRAP}


@dataclass(frozen=True)
class RecordsPicture:
    """One picture of records.

    Attributes
    ----------
    title, words : str
        What it is of, and what it shows.
    of : str
        The set, machine or gauge.
    figure : plotly Figure
        To be shown.
    names : tuple of str
        Which of its coefficients stand behind it.
    """

    title: str
    words: str
    of: str
    figure: go.Figure
    names: tuple[str, ...]


def records_pictures(fitted: Fitted, light: Light = DAY) -> Iterator[RecordsPicture]:
    """Draw everything that was fitted.

    Parameters
    ----------
    fitted : Fitted
        What the records say.
    light : Light
        Colours of the page.
    """
    own = {(each.of, each.name): each for each in fitted.coefficients}
    for name, life in fitted.lives.items():
        if life.best is not None:
            names = tuple(each.name for each in life.coefficients)
            yield RecordsPicture(f"{name}: edge life", _LIFE, name, edge_life_figure(life, light), names)
    for name, curve in fitted.curves.items():
        names = tuple(each.name for each in curve.coefficients)
        yield RecordsPicture(f"{name}: wear curve", _WEAR, name, wear_figure(curve, light), names)
    for machine, times in fitted.times.items():
        for what, fit in times.items():
            names = tuple(name for of, name in own if of == machine and what in name)
            yield RecordsPicture(f"{machine}: {what}", _TIMES, machine, times_figure(fit, f"{what}, min", light), names)
    for seen in fitted.seen:
        yield from _of_seen(seen, own, light)


def _of_seen(seen: Seen, own: dict[tuple[str, str], Coefficient], light: Light) -> Iterator[RecordsPicture]:
    """What was measured, if something was fitted to it."""
    if seen.how == "study":
        shown = tuple(name for name in _OF_GAUGES if (seen.of, name) in own)
        words = f"{counted(len(set(seen.x)), 'part', 'parts')}; {counted(len(set(seen.by)), 'person', 'persons')}."
        yield RecordsPicture(f"{seen.of}: gauge study", words, seen.of, study_figure(seen, light), shown)
    elif seen.how == "trend":
        fresh, each = (
            own.get((seen.of, f"{seen.what} of a fresh edge")),
            own.get((seen.of, f"{seen.what} by 100 parts")),
        )
        if fresh is not None and each is not None:
            figure = trend_figure(seen, fresh.interval.value, each.interval.value, light)
            words = f"{seen.y.size} readings; the line is by least squares."
            yield RecordsPicture(f"{seen.of}: {seen.what}", words, seen.of, figure, (fresh.name, each.name))
    elif seen.how == "heats":
        names = tuple(name for name in _OF_CASTINGS if (seen.of, name) in own)
        words = f"{seen.y.size} castings; strokes are the means of {np.unique(seen.x).size} heats, in their order."
        yield RecordsPicture(f"{seen.of}: castings by heat", words, seen.of, heats_figure(seen, light), names)
    elif seen.how == "line":
        yield from _of_line(seen, own, light)
    elif (mean := own.get((seen.of, _MEAN[seen.what]))) is not None:
        span = mean.interval
        figure = values_figure(seen, span.low, span.value, span.high, light)
        words = f"{seen.y.size} values; from {np.min(seen.y):.4g} to {np.max(seen.y):.4g} {seen.unit}."
        names = tuple(name for of, name in own if of == seen.of and (name == mean.name or name in _SPREADS))
        yield RecordsPicture(f"{seen.of}: {seen.what}", words, seen.of, figure, names)


def _of_line(seen: Seen, own: dict[tuple[str, str], Coefficient], light: Light) -> Iterator[RecordsPicture]:
    """Regrinds and offset practice, where the line was fitted."""
    values = {name: each.interval.value for (of, name), each in own.items() if of == seen.of}
    if seen.what == "metal taken" and PER_LAND in values:
        line, band, title = (values[MARGIN], values[PER_LAND]), None, "metal ground away"
        words = f"{seen.y.size} regrinds; the line holds up to the wear limit."
    elif seen.what == "offset" and CORRECTED in values:
        sign = -1.0 if float((seen.x * seen.y).sum()) < 0.0 else 1.0
        line, band, title = (0.0, sign * values[CORRECTED]), values.get(DEAD_BAND), "offsets"
        words = f"{seen.y.size} readings; errors within the shaded band are mostly left alone."
    else:
        return
    names = tuple(name for name in _OF_LINES if name in values)
    yield RecordsPicture(f"{seen.of}: {title}", words, seen.of, line_figure(seen, line, band, light), names)


_OF_CASTINGS = (STOCK, SPREAD, "spread within a heat", "spread from heat to heat", HEAT_SHARE)
_OF_LINES = (MARGIN, PER_LAND, PAST_LIMIT, CORRECTED, DEAD_BAND)
_OF_GAUGES = ("gauge error (GRR)", "bias", "drift")
_SPREADS = ("scatter of change minutes", "setting error")
