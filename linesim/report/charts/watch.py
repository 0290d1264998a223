"""A control chart: foretelling errors week by week, their weighted mean, and the limits of both."""

from __future__ import annotations

import plotly.graph_objects as go

from linesim.report.charts.frame import finish
from linesim.report.charts.lettered import lettered, upright
from linesim.report.theme.colours import DAY, GREY, PALETTE, Light
from linesim.study.watching.chart import FURTHEST, Chart
from linesim.words import say

__all__ = ["control_chart"]


def control_chart(chart: Chart, light: Light = DAY) -> go.Figure:
    """Weeks on their chart.

    Parameters
    ----------
    chart : Chart
        With at least one week.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly Figure
        Dots: the weeks, with dashed limits; line: the weighted mean, between dotted limits; crosses: weeks that are
        out; the upright line: since when the figure has most likely moved.
    """
    mondays = [week.monday for week in chart.weeks]
    figure = go.Figure()
    errors = {"x": mondays, "y": [week.error for week in chart.weeks]}
    figure.add_trace(
        go.Scatter(**errors, mode="markers", name=lettered("watch.week"), marker={"color": light.ink, "size": 7})
    )
    line = {"color": PALETTE["vermilion"], "width": 2.0}
    means = [week.mean for week in chart.weeks]
    figure.add_trace(go.Scatter(x=mondays, y=means, mode="lines", name=lettered("watch.weighted"), line=line))
    for side in (1.0, -1.0):
        limits = [side * week.limit for week in chart.weeks]
        dotted = {"color": PALETTE["vermilion"], "width": 1.0, "dash": "dot"}
        figure.add_trace(go.Scatter(x=mondays, y=limits, mode="lines", line=dotted, showlegend=False, hoverinfo="skip"))
        figure.add_hline(y=side * FURTHEST, line={"color": GREY, "dash": "dash"})
    out = [week for week in chart.weeks if week.is_out]
    if out:
        cross = {"symbol": "x-thin-open", "size": 14, "color": light.caution, "line": {"width": 2}}
        places = {"x": [week.monday for week in out], "y": [week.error for week in out]}
        figure.add_trace(go.Scatter(**places, mode="markers", name=lettered("watch.out"), marker=cross))
    if chart.since is not None:
        figure.add_vline(x=str(chart.since), line={"color": light.accent, "width": 1.5})
    figure.update_xaxes(title=lettered("watch.week_of"))
    figure.update_yaxes(title=upright(say("watch.error_axis")))
    return finish(figure, light, 360)
