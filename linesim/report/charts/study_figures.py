"""Pictures of studies: a frontier, the worth of a minute, and how a line settles."""

from __future__ import annotations

import html
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, PALETTE, Light, policy_colours
from linesim.study import Comparison
from linesim.study.questions.frontier import Frontier
from linesim.study.questions.worth import Worth
from linesim.study.statistics.pareto import BEATEN, ON, OPEN

__all__ = ["frontier_figure", "warm_up_figure", "worth_figure"]

_GREY = "#8A9099"
_MARKS: dict[str, dict[str, Any]] = {
    BEATEN: {"color": _GREY, "size": 7, "symbol": "circle"},
    OPEN: {"color": PALETTE["orange"], "size": 10, "symbol": "circle-open", "line": {"width": 2}},
    ON: {"color": PALETTE["blue"], "size": 11, "symbol": "circle"},
}
_SAID = {ON: "surely on the frontier", OPEN: "place not settled by the runs", BEATEN: "beaten in both by another one"}
_ROW_PX = 30
_FRAME_PX = 150


def frontier_figure(found: Frontier, light: Light = DAY) -> go.Figure:
    """Output against quality loss, every policy with its intervals, by how far its place is settled.

    Parameters
    ----------
    found : Frontier
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Right and down is better; the dotted line joins what no other one beats in the mean, the knee has a ring.
    """
    table, money = found.table, html.escape(found.found.works.currency)
    figure = go.Figure()
    line = table[table["is_in_line"]]
    _line(figure, line, "not beaten in the mean")
    for place, mark in _MARKS.items():
        own = table[table["place"] == place]
        if len(own):
            figure.add_trace(_points(own, mark, _SAID[place]))
    for at, row in enumerate(line.to_dict(orient="records")):
        _name(figure, row, 11 if at % 2 else -12)
    knee = table[table["is_knee"]]
    if len(knee):
        ring = {"color": PALETTE["vermilion"], "size": 19, "symbol": "circle-open", "line": {"width": 2.5}}
        figure.add_trace(
            go.Scatter(
                x=knee["good_per_hour"], y=knee["quality_loss_per_good_part"], mode="markers", marker=ring,
                name="knee", hoverinfo="skip",
            )
        )  # fmt: skip
    figure.update_xaxes(title="good parts per hour")
    figure.update_yaxes(title=f"quality loss per good part, {money}")
    return finish(figure, light, 520)


def worth_figure(found: Worth, light: Light = DAY) -> go.Figure:
    """What a minute less stopped is worth at each operation, with its interval.

    Parameters
    ----------
    found : Worth
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Utilisation stands beside the name, so that money and business can be compared.
    """
    table = found.table
    several = len(found.works.lines) > 1
    names = [
        html.escape(f"{row['line']}: {row['operation']}" if several else row["operation"])
        + f"  ({100.0 * row['utilisation']:.0f} % busy)"
        for row in table.to_dict(orient="records")
    ]
    colours = [PALETTE["blue"] if told else _GREY for told in table["is_told"]]
    figure = go.Figure(
        go.Scatter(
            x=table["worth"],
            y=names,
            error_x={"type": "data", "array": table["worth_half_width"], "thickness": 1.5, "width": 5, "color": _GREY},
            mode="markers",
            marker={"color": colours, "size": 11},
            showlegend=False,
            hovertemplate="%{y}<br>%{x:.2f} for a minute<extra></extra>",
        )
    )
    figure.add_vline(x=0.0, line={"color": _GREY, "width": 1})
    money = html.escape(found.works.currency)
    figure.update_xaxes(title=f"worth of one machine minute an hour less stopped, {money} per hour")
    figure.update_yaxes(autorange="reversed", automargin=True)
    return finish(figure, light, _FRAME_PX + _ROW_PX * len(names))


def warm_up_figure(found: Comparison, series: str, light: Light = DAY) -> go.Figure:
    """How the pilot runs settle, policy by policy: Welch's moving average.

    Parameters
    ----------
    found : Comparison
        One whose warm-up was chosen by pilot runs.
    series : str
        Which series of theirs.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        An upright line stands where counting begins.
    """
    table = found.lengths.series
    own = table[table["series"] == series]
    shift = found.works.calendar.shift
    figure = go.Figure()
    colours = policy_colours(found.names)
    for at, (name, colour) in enumerate(colours.items()):
        # A colour that comes back is told from the first by its dashes.
        dash = "solid" if at < len(set(colours.values())) else "dash"
        rows = own[own["policy"] == name]
        figure.add_trace(
            go.Scatter(
                x=rows["minute"] / shift,
                y=rows["smoothed"],
                mode="lines",
                line={"color": colour, "width": 1.6, "dash": dash},
                name=html.escape(name),
            )
        )
    figure.add_vline(x=found.lengths.warm_up.minutes / shift, line={"color": light.ink, "width": 1.5, "dash": "dash"})
    money = html.escape(found.works.currency)
    unit = "parts per hour" if series == "parts shipped" else f"{html.escape(series)}, {money}"
    figure.update_xaxes(title="shifts from the start")
    figure.update_yaxes(title=unit)
    return finish(figure, light, 420)


def _line(figure: go.Figure, rows: pd.DataFrame, name: str) -> None:
    """Points joined by a dotted line."""
    figure.add_trace(
        go.Scatter(
            x=rows["good_per_hour"],
            y=rows["quality_loss_per_good_part"],
            mode="lines",
            line={"color": _GREY, "width": 1.5, "dash": "dot"},
            name=name,
            hoverinfo="skip",
        )
    )


def _points(rows: pd.DataFrame, mark: dict[str, Any], name: str) -> go.Scatter:
    """Policies as points with bars both ways."""
    bars = {
        axis: {"type": "data", "array": rows[f"{measure}_half_width"], "thickness": 1.2, "width": 3}
        for axis, measure in (("error_x", "good_per_hour"), ("error_y", "quality_loss_per_good_part"))
    }
    return go.Scatter(
        x=rows["good_per_hour"],
        y=rows["quality_loss_per_good_part"],
        **bars,
        mode="markers",
        marker=mark,
        name=name,
        text=[html.escape(str(policy)) for policy in rows["policy"]],
        hovertemplate="%{text}<br>%{x:.2f} good parts/h<br>loss %{y:.2f} per part<extra></extra>",
    )


def _name(figure: go.Figure, row: dict[Any, Any], up_px: int) -> None:
    """A name beside its point, above or below, so that neighbours leave each other room."""
    figure.add_annotation(
        x=row["good_per_hour"],
        y=row["quality_loss_per_good_part"],
        text=html.escape(str(row["policy"])),
        showarrow=False,
        xanchor="right",
        xshift=-9,
        yshift=up_px,
        font={"size": 12},
    )
