"""Intervals of cutter sets: what one costs, and the best of all together with the ranges that hardly matter."""

from __future__ import annotations

import math
from typing import Any

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.charts.lettered import along, lettered
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.safe import in_picture
from linesim.study.search import BestIntervals
from linesim.study.search.intervals.one_set import SetCurve
from linesim.words import say
from linesim.works.doing import called_anywhere

__all__ = ["best_intervals_figure", "one_interval_figure"]

_FLAT = "rgba(0, 158, 115, 0.22)"
"""A range within which the interval hardly matters: bluish green, let through."""
_RING = {"size": 17, "symbol": "circle-open", "color": PALETTE["vermilion"], "line": {"width": 2.5}}
_TICKS = [mantissa * 10**power for power in range(6) for mantissa in (1, 2, 5)]


def one_interval_figure(answer: SetCurve, light: Light = DAY) -> go.Figure:
    """Cost per good part against the interval of one set, with its flat range.

    Parameters
    ----------
    answer : SetCurve
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        The flat range is a band, the interval as it stands an upright dashed line.
    """
    table, money = answer.table, in_picture(answer.works.currency)
    figure = go.Figure(
        go.Scatter(
            x=table["parts"], y=table["mean"], mode="lines+markers", name="cost per good part",
            error_y=spans(table["half_width"].to_list()),
            line={"color": light.accent, "width": 2}, marker={"size": 8, "color": light.accent},
            hovertemplate=f"%{{x}} parts<br>%{{y:.2f}} {money}<extra></extra>",
        )
    )  # fmt: skip
    best = table[table["parts"] == answer.best]
    figure.add_trace(
        go.Scatter(
            x=best["parts"], y=best["mean"], mode="markers", name="least of those tried", hoverinfo="skip", marker=_RING
        )
    )
    _mark_range(figure, answer, light)
    figure.update_xaxes(title=f"parts from one change to the next, {in_picture(answer.called, 60)}", rangemode="tozero")
    figure.update_yaxes(title=f"{money} per good part")
    return finish(figure, light, 430)


def _mark_range(figure: go.Figure, answer: SetCurve, light: Light) -> None:
    letters = {"color": light.ink, "size": 12}
    if answer.flat is not None:
        figure.add_vrect(
            x0=answer.flat.low, x1=answer.flat.high, fillcolor=_FLAT, line_width=1, annotation_font=letters,
            annotation_text=f"within {100.0 * answer.tolerance:g} %", annotation_position="bottom left",
        )  # fmt: skip
    if math.isfinite(answer.now):
        figure.add_vline(
            x=answer.now, line={"color": light.ink, "width": 1.5, "dash": "dash"}, annotation_text="as it stands",
            annotation_position="top", annotation_font=letters,
        )  # fmt: skip


def best_intervals_figure(answer: BestIntervals, light: Light = DAY) -> go.Figure:
    """Every set's best interval as a point on the range in which it hardly matters.

    Parameters
    ----------
    answer : BestIntervals
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Parts on a scale of ratios; a ring marks the interval of the set by itself.
    """
    rows = answer.intervals.to_dict(orient="records")
    names = [
        say("search.set_at", operation=called_anywhere(answer.works, str(row["operation"])), cutter=row["cutter"])
        for row in rows
    ]
    figure = go.Figure()
    for at, row in enumerate(rows):
        if row["flat_low"] is not None and not math.isnan(row["flat_low"]):
            figure.add_trace(
                go.Scatter(
                    x=[row["flat_low"], row["flat_high"]], y=[at, at], mode="lines", line={"color": _FLAT, "width": 10},
                    showlegend=False, hoverinfo="skip",
                )
            )  # fmt: skip
    best = {"symbol": "circle", "size": 9, "color": light.accent}
    for key, column, marker in (("by_itself", "by_itself", _RING), ("best_together", "parts", best)):
        name, at_point = lettered(f"search.{key}"), lettered("search.parts", parts="%{x}")
        figure.add_trace(
            go.Scatter(
                x=[row[column] for row in rows], y=list(range(len(rows))), mode="markers", marker=marker, name=name,
                hovertext=hover_names(names), hovertemplate=f"%{{hovertext}}<br>{name}: {at_point}<extra></extra>",
            )
        )  # fmt: skip
    figure.update_xaxes(
        type="log", title=along(say("search.axis", tolerance=100.0 * answer.tolerance), 56), tickvals=_ticks(rows)
    )
    name_rows(figure, names, 48)
    return finish(figure, light, 130 + 30 * len(rows))


def _ticks(rows: list[dict[Any, Any]]) -> list[float]:
    """Parts at which the scale of ratios has its lines: at least three near the figures, however close these are."""
    figures = [float(row[name]) for row in rows for name in ("parts", "by_itself") if row[name] is not None]
    figures = [each for each in figures if math.isfinite(each) and each > 0.0]
    low, high = (min(figures), max(figures)) if figures else (_TICKS[0], _TICKS[-1])
    if sum(low <= tick <= high for tick in _TICKS) > 1:
        return [*_TICKS]
    apart = max(high - low, 0.4 * high) / 3.0
    power = 10.0 ** math.floor(math.log10(apart))
    step = max(next(of * power for of in (1.0, 2.0, 5.0, 10.0) if of * power >= apart), 1.0)
    return [step * number for number in range(max(math.floor(0.7 * low / step), 1), math.ceil(1.4 * high / step) + 1)]
