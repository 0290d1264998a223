"""Readings of a shop beside what was fitted: wear curve, trend since the change, single values, gauge study."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go

from linesim.records.seen import Seen
from linesim.records.wear_curve import WearCurve
from linesim.report.charts.frame import finish
from linesim.report.theme.colours import DAY, GREY, PALETTE, Light, policy_colours
from linesim.report.theme.safe import in_picture

__all__ = ["heats_figure", "line_figure", "study_figure", "trend_figure", "values_figure", "wear_figure"]

_HIGH_PX = 360
_POINTS = 80
_APART = 0.24
_MOST_PERSONS = 7
_SYMBOLS = ("circle", "square", "diamond", "cross", "triangle-up", "star", "x")


def wear_figure(curve: WearCurve, light: Light = DAY) -> go.Figure:
    """Wear land against the share of each edge's own life, and the curve that all edges share.

    Parameters
    ----------
    curve : WearCurve
        Readings and curve.
    light : Light
        Colours of the page.
    """
    share = np.linspace(0.0, max(1.05, 1.05 * float(curve.share.max())), _POINTS)
    figure = go.Figure()
    _add_dots(figure, curve.share, curve.land_mm, light, "as read")
    _add_line(figure, share, curve.land_at(share), "fitted")
    figure.add_hline(y=curve.limit_mm, line={"color": GREY, "dash": "dash"})
    figure.update_xaxes(title="cutting minutes / life of the edge", rangemode="tozero")
    figure.update_yaxes(title="wear land, mm", rangemode="tozero")
    return finish(figure, light, _HIGH_PX)


def trend_figure(seen: Seen, fresh: float, each_100: float, light: Light = DAY) -> go.Figure:
    """Readings against parts since the change, and the straight line through them.

    Parameters
    ----------
    seen : Seen
        The readings.
    fresh, each_100 : float
        The line at a fresh edge, and its rise by 100 parts.
    light : Light
        Colours of the page.
    """
    parts = np.array([0.0, float(seen.x.max())])
    figure = go.Figure()
    _add_dots(figure, seen.x, seen.y, light, "as read")
    _add_line(figure, parts, fresh + 0.01 * each_100 * parts, "fitted")
    figure.update_xaxes(title="parts since the change", rangemode="tozero")
    figure.update_yaxes(title=f"{seen.what}, {seen.unit}")
    return finish(figure, light, _HIGH_PX)


def line_figure(seen: Seen, line: tuple[float, float], band: float | None = None, light: Light = DAY) -> go.Figure:
    """One figure against another, the straight line as fitted, and the band within which nothing was done.

    Parameters
    ----------
    seen : Seen
        The rows.
    line : (float, float)
        Where the line stands at 0, and its slope.
    band : float, optional
        Half the width of the band about 0.
    light : Light
        Colours of the page.
    """
    ends = np.array([min(0.0, float(seen.x.min())), float(seen.x.max())])
    figure = go.Figure()
    _add_dots(figure, seen.x, seen.y, light, "as recorded")
    _add_line(figure, ends, line[0] + line[1] * ends, "fitted")
    if band is not None:
        figure.add_vrect(x0=-band, x1=band, fillcolor=PALETTE["sky blue"], opacity=0.25, line_width=0)
    figure.update_xaxes(title=seen.across)
    figure.update_yaxes(title=f"{seen.what}, {seen.unit}")
    return finish(figure, light, _HIGH_PX)


def heats_figure(seen: Seen, light: Light = DAY) -> go.Figure:
    """Castings heat by heat, and the mean of each.

    Parameters
    ----------
    seen : Seen
        The castings.
    light : Light
        Colours of the page.
    """
    heats = np.unique(seen.x)
    means = [float(seen.y[seen.x == heat].mean()) for heat in heats]
    figure = go.Figure()
    _add_dots(figure, seen.x, seen.y, light, "casting")
    marker = {"color": PALETTE["vermilion"], "symbol": "line-ew-open", "size": 22, "line": {"width": 3}}
    figure.add_trace(go.Scatter(x=heats, y=means, mode="markers", name="mean of the heat", marker=marker))
    figure.add_hline(y=0.0, line={"color": GREY, "dash": "dash"})
    figure.update_xaxes(title=seen.across, dtick=1 if heats.size <= _POINTS // 4 else None)
    figure.update_yaxes(title=f"{seen.what}, {seen.unit}")
    return finish(figure, light, _HIGH_PX)


def values_figure(seen: Seen, low: float, mean: float, high: float, light: Light = DAY) -> go.Figure:
    """How often each value came, their mean, and the band in which the true mean lies with 95 %.

    Parameters
    ----------
    seen : Seen
        The values.
    low, mean, high : float
        Mean and its bounds.
    light : Light
        Colours of the page.
    """
    figure = go.Figure(
        go.Histogram(
            x=seen.y, name="as recorded", marker={"color": PALETTE["sky blue"], "line": {"width": 1}}, nbinsx=24
        )
    )
    figure.add_vrect(x0=low, x1=high, fillcolor=PALETTE["vermilion"], opacity=0.25, line_width=0)
    line = {"color": PALETTE["vermilion"], "width": 2.0}
    figure.add_vline(x=mean, line=line)
    figure.add_trace(go.Scatter(x=[None], y=[None], mode="lines", line=line, name="mean, with 95 %"))
    figure.update_xaxes(title=f"{seen.what}, {seen.unit}")
    figure.update_yaxes(title="how often")
    return finish(figure, light, _HIGH_PX)


def study_figure(seen: Seen, light: Light = DAY) -> go.Figure:
    """What each person read of each part, less the mean of all readings of that part.

    Parameters
    ----------
    seen : Seen
        The readings.
    light : Light
        Colours of the page.
    """
    by = np.array(seen.by)
    persons = tuple(dict.fromkeys(seen.by))[:_MOST_PERSONS]
    colours = policy_colours(persons)
    aside = np.linspace(-_APART, _APART, len(persons)) if len(persons) > 1 else np.zeros(1)
    figure = go.Figure()
    for at, person in enumerate(persons):
        marker = {"color": colours[person], "symbol": _SYMBOLS[at], "size": 8}
        is_his = by == person
        name = in_picture(person or "who read it is not recorded")
        figure.add_trace(
            go.Scatter(x=seen.x[is_his] + aside[at], y=seen.y[is_his], mode="markers", name=name, marker=marker)
        )
    figure.update_xaxes(title="part", dtick=1 if seen.x.max() <= _POINTS // 4 else None)
    figure.update_yaxes(title=f"{seen.what}, {seen.unit}")
    return finish(figure, light, _HIGH_PX)


def _add_dots(figure: go.Figure, x: np.ndarray, y: np.ndarray, light: Light, name: str) -> None:
    marker = {"color": light.ink, "size": 6, "opacity": 0.7}
    figure.add_trace(go.Scatter(x=x, y=y, mode="markers", name=name, marker=marker))


def _add_line(figure: go.Figure, x: np.ndarray, y: np.ndarray, name: str) -> None:
    line = {"color": PALETTE["vermilion"], "width": 2.0}
    figure.add_trace(go.Scatter(x=x, y=y, mode="lines", name=name, line=line))
