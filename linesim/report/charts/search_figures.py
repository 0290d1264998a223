"""Pictures of the searches: flat ranges, swings one at a time, and the screening."""

from __future__ import annotations

import html
import math
from typing import Any

import plotly.graph_objects as go

from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.study.comparing.measures import with_unit
from linesim.study.search import BestIntervals, Drivers

__all__ = ["flat_figure", "screening_figure", "swing_figure"]

_ROW_PX = 30
_FRAME_PX = 110
_MOST = 20
_WIDEST_NAME = 46
_NAMED = 5
_TICKS = [mantissa * 10**power for power in range(6) for mantissa in (1, 2, 5)]


def flat_figure(found: BestIntervals, light: Light = DAY) -> go.Figure:
    """Every set's best interval as a point on the range in which it hardly matters.

    Parameters
    ----------
    found : BestIntervals
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Parts on a scale of ratios; a ring marks the interval of the set by itself.
    """
    rows = found.intervals.to_dict(orient="records")
    names = [html.escape(f"{row['operation']} / {row['cutter']}") for row in rows]
    figure = go.Figure()
    for name, row in zip(names, rows, strict=True):
        if row["flat_low"] is not None and not math.isnan(row["flat_low"]):
            ends = [row["flat_low"], row["flat_high"]]
            bar = {"color": PALETTE["sky blue"], "width": 9}
            figure.add_trace(
                go.Scatter(x=ends, y=[name, name], mode="lines", line=bar, showlegend=False, hoverinfo="skip")
            )
    points = (
        ("by itself", "by_itself", {"symbol": "circle-open", "size": 12, "color": PALETTE["vermilion"]}),
        ("best together", "parts", {"symbol": "circle", "size": 9, "color": PALETTE["blue"]}),
    )
    for words, column, marker in points:
        values = [row[column] for row in rows]
        told = "%{y}<br>" + words + ": %{x} parts<extra></extra>"
        figure.add_trace(go.Scatter(x=values, y=names, mode="markers", marker=marker, name=words, hovertemplate=told))
    percent = f"{100.0 * found.tolerance:g} %"
    title = f"parts between changes (bar: costs no more than {percent})"
    figure.update_xaxes(type="log", title=title, tickvals=_TICKS)
    figure.update_yaxes(autorange="reversed", automargin=True, showgrid=False)
    return finish(figure, light, _FRAME_PX + _ROW_PX * len(rows))


def swing_figure(found: Drivers, light: Light = DAY) -> go.Figure:
    """How far the measure swings with each input alone, the widest first.

    Parameters
    ----------
    found : Drivers
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    rows = found.one_at_a_time.head(_MOST).to_dict(orient="records")
    names = [_short(row["words"]) for row in rows]
    factor = 100.0 if found.measure.is_share else 1.0
    figure = go.Figure()
    ends = (("at the low end", "at_low", PALETTE["orange"]), ("at the high end", "at_high", PALETTE["blue"]))
    for words, column, colour in ends:
        widths = [factor * row[f"{column}_half_width"] for row in rows]
        figure.add_trace(
            go.Bar(
                x=[factor * row[column] for row in rows],
                y=names,
                orientation="h",
                marker={"color": colour},
                error_x={"type": "data", "array": widths, "thickness": 1.2, "width": 4},
                name=words,
                hovertemplate="%{y}<br>" + words + ": %{x:.2f}<extra></extra>",
            )
        )
    figure.update_layout(barmode="overlay", bargap=0.35)
    figure.update_xaxes(title=html.escape(f"{_measured(found)}: difference from the base"))
    figure.update_yaxes(autorange="reversed", automargin=True, showgrid=False)
    return finish(figure, light, _FRAME_PX + _ROW_PX * len(rows))


def screening_figure(found: Drivers, light: Light = DAY) -> go.Figure:
    """Morris's plot: size of the effect against how much it depends on the rest.

    Parameters
    ----------
    found : Drivers
        What to show; screened.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        To the right matters more; higher up leans on other inputs or bends.
    """
    rows = found.screening.to_dict(orient="records")
    factor = 100.0 if found.measure.is_share else 1.0
    stars, sigmas = ([factor * row[column] for row in rows] for column in ("mu_star", "sigma"))
    said: list[Any] = [_short(row["words"]) if at < _NAMED else "" for at, row in enumerate(rows)]
    sides = ["top left" if at == 0 else ("top right", "bottom right")[at % 2] for at in range(len(rows))]
    bar = {"type": "data", "array": [factor * row["half_width"] for row in rows], "thickness": 1.2, "width": 4}
    figure = go.Figure(
        go.Scatter(
            x=stars,
            y=sigmas,
            mode="markers+text",
            text=said,
            textposition=sides,
            cliponaxis=False,
            error_x=bar,
            marker={"color": PALETTE["blue"], "size": 9},
            customdata=[html.escape(row["words"]) for row in rows],
            hovertemplate="%{customdata}<br>mu* %{x:.2f}, sigma %{y:.2f}<extra></extra>",
            showlegend=False,
        )
    )
    figure.update_xaxes(title=html.escape(f"mu*: effect on {_measured(found)}"), rangemode="tozero")
    figure.update_yaxes(title="sigma: leans on others, or bends", rangemode="tozero")
    return finish(figure, light, 460)


def _measured(found: Drivers) -> str:
    return with_unit(found.measure, found.works.currency)


def _short(words: str) -> str:
    """Words that fit beside a bar."""
    text = words if len(words) <= _WIDEST_NAME else f"{words[: _WIDEST_NAME - 1]}…"
    return html.escape(text)
