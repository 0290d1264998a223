"""Pictures: one kind for one kind of question, units on every axis, one palette."""

from __future__ import annotations

import html
import math
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.ledger import ITEMS
from linesim.plan.tally import State
from linesim.report.theme.colours import DAY, ITEM_COLOURS, STATE_COLOURS, Light, policy_colours
from linesim.result import Result
from linesim.study import WHOLE_WORKS, Comparison

__all__ = ["finish", "ledger_figure", "machine_figure", "policy_figure", "theme", "time_figure"]

Pieces = dict[tuple[str, str], float]
"""Length of each piece of a bar, by name of the bar and kind of piece."""

_FONT = 'system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif'
_BAR_PX = 34
_FRAME_PX = 170
_LEAST_SHOWN = 0.0005


def policy_figure(found: Comparison, light: Light = DAY) -> go.Figure:
    """Output against quality loss: one point per policy, with its interval both ways.

    Parameters
    ----------
    found : Comparison
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Policies that no other one beats in both are joined by a line; right and down is better.
    """
    figure = go.Figure()
    points = {name: _point(found, name) for name in found.names}
    frontier = [points[name] for name in found.frontier]
    figure.add_trace(
        go.Scatter(
            x=[point["x"] for point in frontier],
            y=[point["y"] for point in frontier],
            mode="lines",
            line={"color": "#8A9099", "width": 1.5, "dash": "dot"},
            name="not beaten in both",
            hoverinfo="skip",
        )
    )
    for name, colour in policy_colours(found.names).items():
        figure.add_trace(_policy_trace(name, colour, points[name]))
    _label(figure, points)
    money = html.escape(found.works.currency)
    figure.update_xaxes(title="good parts per hour")
    figure.update_yaxes(title=f"quality loss per good part, {money}")
    return finish(figure, light, 430)


def _point(found: Comparison, name: str) -> dict[str, Any]:
    """Where a policy stands, and its half widths; none for a single replication."""
    x, x_half = found.mean(name, "good_per_hour")
    y, y_half = found.mean(name, "quality_loss_per_good_part")
    return {"x": x, "y": y, "x_half": x_half, "y_half": y_half}


def _label(figure: go.Figure, points: Mapping[str, Mapping[str, float]]) -> None:
    """Names beside the points, on the side where there is room, clear of the bars."""
    known = {name: point for name, point in points.items() if not math.isnan(point["y"])}
    middle = sum(point["x"] for point in known.values()) / max(len(known), 1)
    for name, point in known.items():
        is_right = point["x"] > middle
        side = {"xanchor": "right", "xshift": -9} if is_right else {"xanchor": "left", "xshift": 9}
        figure.add_annotation(x=point["x"], y=point["y"], text=html.escape(name), showarrow=False, yshift=13, **side)


def _policy_trace(name: str, colour: str, point: Mapping[str, float]) -> go.Scatter:
    """One policy as a point with bars."""

    def bar(half_width: float) -> dict[str, Any]:
        has_width = half_width > 0.0  # never so for what is not a number
        return {"type": "data", "array": [half_width], "thickness": 1.5, "width": 5, "visible": has_width}

    said = html.escape(name)
    return go.Scatter(
        x=[point["x"]],
        y=[point["y"]],
        error_x=bar(point["x_half"]),
        error_y=bar(point["y_half"]),
        mode="markers",
        marker={"color": colour, "size": 11},
        name=said,
        showlegend=False,
        hovertemplate=f"{said}<br>%{{x:.2f}} good parts/h<br>loss %{{y:.2f}} per part<extra></extra>",
    )


def time_figure(found: Comparison, line: str, light: Light = DAY) -> go.Figure:
    """Where the time of the operation goes that holds a line back, policy by policy.

    Parameters
    ----------
    found : Comparison
        What to show.
    line : str
        Name of the line.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    table = found.times
    own = table[table["is_constraint"] & (table["line"] == line)]
    means = own.groupby(["policy", "state"])["share"].mean() * 100.0
    figure = _stacked(_pieces(means), list(found.names), STATE_COLOURS, "%")
    figure.update_xaxes(title="share of the time of its machines, %", range=[0, 100])
    return finish(figure, light, _FRAME_PX + _BAR_PX * len(found.names))


def machine_figure(result: Result, light: Light = DAY) -> go.Figure:
    """What every machine of a run did with its time.

    Parameters
    ----------
    result : Result
        One run.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    machines = result.machines.to_dict(orient="records")
    several = len(result.works.lines) > 1
    names = [f"{row['line']}: {row['machine']}" if several else str(row["machine"]) for row in machines]
    shares = {
        (name, state.words): 100.0 * row[f"{state.name.lower()}_share"]
        for name, row in zip(names, machines, strict=True)
        for state in State
    }
    figure = _stacked(shares, names, STATE_COLOURS, "%")
    figure.update_xaxes(title="share of the counted time, %", range=[0, 100])
    return finish(figure, light, _FRAME_PX + _BAR_PX * len(names))


def ledger_figure(found: Comparison, light: Light = DAY) -> go.Figure:
    """What a good part costs, item by item, policy by policy.

    Parameters
    ----------
    found : Comparison
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    table = found.ledger[found.ledger["line"] == WHOLE_WORKS]
    money = _pieces(table.set_index(["policy", "item"])["per_good_part"])
    colours = {item: ITEM_COLOURS[item] for item in ITEMS}
    currency = html.escape(found.works.currency)
    figure = _stacked(money, list(found.names), colours, currency)
    figure.update_xaxes(title=f"{currency} per good part")
    return finish(figure, light, _FRAME_PX + 110 + _BAR_PX * len(found.names))


def _stacked(values: Pieces, names: Sequence[str], colours: Mapping[str, str], unit: str) -> go.Figure:
    """One bar per name, of one piece per kind that occurs."""
    figure = go.Figure()
    for kind, colour in colours.items():
        pieces = [values.get((name, kind), 0.0) for name in names]
        if max(map(abs, pieces), default=0.0) < _LEAST_SHOWN:
            continue
        figure.add_trace(
            go.Bar(
                y=[html.escape(name) for name in names],
                x=pieces,
                name=html.escape(kind),
                orientation="h",
                marker={"color": colour, "line": {"width": 0}},
                hovertemplate=f"%{{y}}<br>{html.escape(kind)}: %{{x:.2f}} {unit}<extra></extra>",
            )
        )
    figure.update_layout(barmode="relative", bargap=0.35)
    figure.update_yaxes(autorange="reversed", automargin=True, showgrid=False)
    return figure


def _pieces(values: pd.Series[float]) -> Pieces:
    """Values with a two-level index as plain numbers."""
    names = [(str(name), str(kind)) for name, kind in values.index]
    return dict(zip(names, values.to_list(), strict=True))


def theme(light: Light) -> dict[str, Any]:
    """What changes in a picture with the light, as Plotly names it for a change of layout.

    Parameters
    ----------
    light : Light
        Colours of the page.

    Returns
    -------
    dict
    """
    axes = {f"{axis}.{what}": light.rule for axis in ("xaxis", "yaxis") for what in ("gridcolor", "zerolinecolor")}
    return {"font.color": light.ink, **axes}


def finish(figure: go.Figure, light: Light, height_px: int) -> go.Figure:
    """What all pictures share: no ground of their own, one letter, the legend beneath.

    Parameters
    ----------
    figure : plotly Figure
        Changed in place.
    light : Light
        Colours of the page.
    height_px : int
        Height, legend included.

    Returns
    -------
    plotly Figure
        The same.
    """
    figure.update_layout(
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        font={"family": _FONT, "size": 14},
        height=height_px,
        margin={"l": 20, "r": 28, "t": 28, "b": 20},
        legend={"orientation": "h", "yref": "container", "y": 0, "yanchor": "bottom", "traceorder": "normal"},
        xaxis={"automargin": True, "zeroline": False},
        yaxis={"automargin": True, "zeroline": False},
        hoverlabel={"font": {"family": _FONT}},
    )
    figure.update_layout({name.replace(".", "_"): colour for name, colour in theme(light).items()})
    return figure
