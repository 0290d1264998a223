"""A gauge as it hangs at the machine: its dial with the needle, and the last readings in a row."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from linesim.report.charts.frame import finish
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import System, converted, number, unit_shown

__all__ = ["gauge_picture", "gauge_words"]

Plain = dict[str, Any]

_SWEEP_DEG = 130.0
"""From the middle of the dial to either end of its scale."""
_BEYOND = 1.6
"""How far the scale goes beyond the limits."""


def gauge_words(gauge: Plain, system: System = "metric") -> str:
    """The last reading of a gauge in a sentence, and how its dial is read."""
    unit = unit_shown("µm", system)
    last = gauge["readings"][-1] if gauge["readings"] else None
    reading = "Nothing has been read yet." if last is None else f"Part {last['part']}: {_reading(last, system)}."
    words = [reading, "Every part is gauged." if gauge["every"] == 1 else f"One part in {gauge['every']} is gauged."]
    if gauge["dial_limits_um"] is not None:
        low, high = (converted(limit, "µm", system) for limit in gauge["dial_limits_um"])
        sign = "−" if gauge["metal_left_um"] < 0 else "+"
        words.append(f"The dial's limits are {number(low, 0)} to {number(high, 0)} {unit}; metal left on reads {sign}.")
    if gauge["error_um"]:
        error = number(converted(gauge["error_um"], "µm", system), 1)
        words.append(f"A reading scatters by {error} {unit} (one standard deviation).")
    if gauge["corrects"] is not None and gauge["correction_share"] > 0:
        words.append(f"{100 * gauge['correction_share']:.0f} % of its error goes to the offset of {gauge['corrects']}.")
    return " ".join(words)


def gauge_picture(gauge: Plain, system: System = "metric", light: Light = DAY) -> Picture:
    """A gauge with its last readings.

    Parameters
    ----------
    gauge : dict
        As `linesim.training.Shift.view` gives it.
    system : {"metric", "inch"}
        Units.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The dial with its needle and limits, and the last readings part by part; of a gauge for the finish alone, the
        readings.
    """
    is_dial = gauge["dial_limits_um"] is not None
    figure = make_subplots(rows=1, cols=2, column_widths=[0.36, 0.64], horizontal_spacing=0.13)
    unit = unit_shown("µm", system)
    if is_dial:
        _dial(figure, gauge, system, light)
    key, limits = _shown_by(gauge)
    figure.add_trace(_readings(gauge, key, system), row=1, col=2 if is_dial else 1)
    column = 2 if is_dial else 1
    for limit in limits:
        figure.add_hline(y=converted(limit, "µm", system), row=1, col=column,
                         line={"color": light.caution, "dash": "dash", "width": 1.5})  # fmt: skip
    what = "dial" if is_dial else "Ra"
    figure.update_yaxes(row=1, col=column, gridcolor=light.rule, zeroline=False)
    figure.update_xaxes(
        title=f"part by part, {what} in {unit}", row=1, col=column, gridcolor=light.rule, zeroline=False, tickformat="d"
    )
    finish(figure, light, 270)
    figure.update_layout(showlegend=False, margin={"l": 8, "r": 12, "t": 12, "b": 52})
    if not is_dial:
        figure.update_xaxes(domain=[0.0, 1.0], row=1, col=1)
        figure.update_xaxes(visible=False, row=1, col=2)
        figure.update_yaxes(visible=False, row=1, col=2)
    return Picture(figure, f"{gauge['gauge']}. {gauge_words(gauge, system)}", _sheet(gauge, system))


def _shown_by(gauge: Plain) -> tuple[str, list[float]]:
    """Which reading is drawn, and its limits."""
    if gauge["dial_limits_um"] is not None:
        return "dial_um", list(gauge["dial_limits_um"])
    return "ra_um", list(gauge["ra_limits_um"])


def _readings(gauge: Plain, key: str, system: System) -> go.Scatter:
    rows = [row for row in gauge["readings"] if row[key] is not None]
    passes = [row["verdict"] == "passes" for row in rows]
    return go.Scatter(
        x=[row["part"] for row in rows],
        y=[converted(row[key], "µm", system) for row in rows],
        mode="lines+markers",
        line={"color": PALETTE["sky blue"], "width": 1.5},
        marker={
            "symbol": ["circle" if is_good else "x" for is_good in passes],
            "color": [PALETTE["blue"] if is_good else PALETTE["vermilion"] for is_good in passes],
            "size": 9,
        },
        customdata=[in_picture(row["verdict"], 60) for row in rows],
        hovertemplate=f"part %{{x}}: %{{y:.1f}} {unit_shown('µm', system)}<br>%{{customdata}}<extra></extra>",
    )


def _dial(figure: go.Figure, gauge: Plain, system: System, light: Light) -> None:
    """Draw the dial: scale, limits, needle at the last reading."""
    low, high = gauge["dial_limits_um"]
    middle, half = 0.5 * (low + high), 0.5 * (high - low) * _BEYOND or 1.0

    def angle(value: float) -> float:
        share = max(-1.0, min(1.0, (value - middle) / half))
        return math.radians(90.0 - share * _SWEEP_DEG)

    def arc(start: float, end: float, colour: str, width: float) -> None:
        turns = [angle(start + (end - start) * step / 40.0) for step in range(41)]
        figure.add_trace(
            go.Scatter(x=[math.cos(turn) for turn in turns], y=[math.sin(turn) for turn in turns], mode="lines",
                       line={"color": colour, "width": width}, hoverinfo="skip"), row=1, col=1,
        )  # fmt: skip

    arc(middle - half, middle + half, light.rule, 4)
    arc(low, high, PALETTE["bluish green"], 9)
    marks = [low, middle, high]
    figure.add_trace(
        go.Scatter(
            x=[0.52 * math.cos(angle(mark)) for mark in marks], y=[0.62 * math.sin(angle(mark)) for mark in marks],
            mode="text", text=[number(converted(mark, "µm", system), 0) for mark in marks], hoverinfo="skip",
            textfont={"color": light.ink, "size": 13},
        ),
        row=1, col=1,
    )  # fmt: skip
    last = next((row["dial_um"] for row in reversed(gauge["readings"]) if row["dial_um"] is not None), None)
    if last is not None:
        turn = angle(last)
        figure.add_trace(
            go.Scatter(x=[-0.12 * math.cos(turn), 0.92 * math.cos(turn)],
                       y=[-0.12 * math.sin(turn), 0.92 * math.sin(turn)], mode="lines+markers",
                       line={"color": light.ink, "width": 3}, marker={"size": [9, 1], "color": light.ink},
                       hoverinfo="skip"), row=1, col=1,
        )  # fmt: skip
    shown = "no reading" if last is None else f"{number(converted(last, 'µm', system), 0)} {unit_shown('µm', system)}"
    figure.add_annotation(
        x=0, y=-0.62, text=shown, showarrow=False, font={"size": 17, "color": light.ink}, row=1, col=1
    )
    figure.update_xaxes(visible=False, range=[-1.15, 1.15], row=1, col=1)
    figure.update_yaxes(visible=False, range=[-0.95, 1.15], scaleanchor="x", scaleratio=1, row=1, col=1)


def _reading(row: Plain, system: System) -> str:
    """One reading in words."""
    unit = unit_shown("µm", system)
    parts = []
    if row["dial_um"] is not None:
        parts.append(f"{number(converted(row['dial_um'], 'µm', system), 0)} {unit} on the dial")
    if row["ra_um"] is not None:
        parts.append(f"Ra {number(converted(row['ra_um'], 'µm', system), 1)} {unit}")
    return ", ".join([*parts, str(row["verdict"])])


def _sheet(gauge: Plain, system: System) -> Sheet:
    unit = unit_shown("µm", system)
    rows: list[list[Cell]] = [
        [
            str(row["part"]),
            *numbers(
                number(None if row["dial_um"] is None else converted(row["dial_um"], "µm", system), 1),
                number(None if row["ra_um"] is None else converted(row["ra_um"], "µm", system), 2),
            ),
            str(row["verdict"]),
        ]
        for row in gauge["readings"]
    ]
    heads: list[Cell] = ["part", *numbers(f"dial, {unit}", f"Ra, {unit}"), "verdict"]
    frame = pd.DataFrame(gauge["readings"], columns=["part", "dial_um", "ra_um", "verdict"])
    return Sheet(f"{gauge['gauge']}, {gauge['feature']}: the last readings", heads, rows, frame)
