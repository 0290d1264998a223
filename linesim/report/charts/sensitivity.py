"""What drives the result: each input alone at the ends of its range, and the screening of all together."""

from __future__ import annotations

from typing import Any

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.charts.lettered import along, lettered, upright
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.safe import in_picture, short_labels
from linesim.study.comparing.measures import with_unit
from linesim.study.search import Drivers
from linesim.words import retell, say

__all__ = ["screening_figure", "sensitivity_figure"]

_MOST_ROWS = 20
_WIDEST_NAME = 44
_NAMED = 5
_ENDS = (
    ("at_low", "triangle-left", PALETTE["orange"]),
    ("at_high", "triangle-right", PALETTE["blue"]),
)


def sensitivity_figure(answer: Drivers, light: Light = DAY) -> go.Figure:
    """How far the measure moves with each input alone, the widest first.

    Parameters
    ----------
    answer : Drivers
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Triangles point to the end of the range, each with its interval; open ones are not significant.
    """
    rows = answer.one_at_a_time.head(_MOST_ROWS).to_dict(orient="records")
    names = [retell(answer.words_of[row["input"]]) for row in rows]
    figure = go.Figure([_end(answer, rows, names, *end) for end in _ENDS])
    figure.add_vline(x=0.0, line={"color": light.ink, "width": 1})
    figure.update_xaxes(title=along(say("drivers.axis", measure=_measured(answer))))
    name_rows(figure, names, _WIDEST_NAME)
    return finish(figure, light, 170 + 30 * max(len(names), 1))


def _end(answer: Drivers, rows: list[dict[Any, Any]], names: list[str], end: str, mark: str, colour: str) -> go.Scatter:
    """All inputs at one end of their ranges."""
    factor, words = _factor(answer), lettered(f"drivers.{end}")
    at_point = lettered("drivers.at_point", end=say(f"drivers.{end}"), difference="%{x:.3g}")
    return go.Scatter(
        x=[factor * row[end] for row in rows], y=list(range(len(rows))), mode="markers", name=words,
        error_x=spans([factor * row[f"{end}_half_width"] for row in rows], colour, 1.2),
        marker={
            "size": 12, "color": colour, "line": {"width": 1.5, "color": colour},
            "symbol": [mark if row[f"{end}_is_told"] else f"{mark}-open" for row in rows],
        },
        hovertext=hover_names(names), hovertemplate=f"%{{hovertext}}<br>{at_point}<extra></extra>",
    )  # fmt: skip


def screening_figure(answer: Drivers, light: Light = DAY) -> go.Figure:
    """Morris's plot: size of the effect against how much it depends on the rest.

    Parameters
    ----------
    answer : Drivers
        What to show; screened.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        To the right matters more; higher up depends on other inputs or bends.
    """
    rows = answer.screening.to_dict(orient="records")
    factor = _factor(answer)
    names = [retell(answer.words_of[row["input"]]) for row in rows]
    labels = [in_picture(label, 2 * _WIDEST_NAME) for label in short_labels(names[:_NAMED], _WIDEST_NAME)]
    sides = ["top left" if at == 0 else ("top right", "bottom right")[at % 2] for at in range(len(rows))]
    at_point = lettered("drivers.screened_at", mean="%{x:.2f}", sigma="%{y:.2f}")
    figure = go.Figure(
        go.Scatter(
            x=[factor * row["mu_star"] for row in rows],
            y=[factor * row["sigma"] for row in rows],
            mode="markers+text",
            text=labels + [""] * (len(rows) - len(labels)),
            textposition=sides,
            cliponaxis=False,
            error_x=spans([factor * row["half_width"] for row in rows], thickness=1.2),
            marker={"color": PALETTE["blue"], "size": 9},
            hovertext=hover_names(names),
            hovertemplate=f"%{{hovertext}}<br>{at_point}<extra></extra>",
            showlegend=False,
        )
    )
    figure.update_xaxes(title=along(say("drivers.screened_axis", measure=_measured(answer))), rangemode="tozero")
    figure.update_yaxes(title=upright(say("drivers.sigma_axis")), rangemode="tozero")
    return finish(figure, light, 460)


def _factor(answer: Drivers) -> float:
    return 100.0 if answer.measure.is_share else 1.0


def _measured(answer: Drivers) -> str:
    return with_unit(answer.measure, answer.works.currency)
