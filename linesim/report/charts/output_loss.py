"""Output against quality loss: which policies are dominated, and how surely."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, spans
from linesim.report.charts.labels import placed_labels
from linesim.report.charts.lettered import lettered, upright
from linesim.report.theme.colours import DAY, GREY, PALETTE, Light
from linesim.report.theme.safe import in_picture, key_in_picture, short_labels
from linesim.study.questions.frontier import Frontier
from linesim.study.statistics.pareto import BEATEN, ON, OPEN
from linesim.words import keep, retell, say

__all__ = ["VERDICTS", "output_loss_figure", "told_rows"]

_MOST_NAMED = 12
"""Points up to which every one bears its name; of more, only those that are not dominated in the mean."""

_WIDTH_PX, _HEIGHT_PX = 560.0, 280.0
"""Of the drawn field at its narrowest, less margins."""


class _Verdict(NamedTuple):
    words: str
    mark: dict[str, Any]


VERDICTS: dict[str, _Verdict] = {
    ON: _Verdict(keep("frontier.surely_on"), {"color": PALETTE["blue"], "size": 11, "symbol": "diamond"}),
    OPEN: _Verdict(
        keep("frontier.not_settled"),
        {"color": PALETTE["orange"], "size": 11, "symbol": "circle-open", "line": {"width": 2}},
    ),
    BEATEN: _Verdict(keep("frontier.surely_dominated"), {"color": GREY, "size": 9, "symbol": "x"}),
}
"""What is said of each verdict on a policy, and its mark."""


def output_loss_figure(frontier: Frontier, light: Light = DAY) -> go.Figure:
    """Output against quality loss: one point for each policy with its interval both ways.

    Parameters
    ----------
    frontier : Frontier
        The policies.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Right and down is better. The dotted line joins policies that are not dominated in the mean, the knee has a
        ring, and policies that did exactly the same are one point.
    """
    rows, figure = told_rows(frontier), go.Figure()
    _draw_line(figure, [row for row in rows if row["is_in_line"]])
    for verdict, (words, mark) in VERDICTS.items():
        own = [row for row in rows if row["place"] == verdict]
        if own:
            figure.add_trace(_points(own, in_picture(retell(words), 200), mark))
    _draw_knee(figure, [row for row in rows if row["is_knee"]])
    _write_names(figure, rows)
    figure.update_xaxes(title=lettered("measures.good_per_hour"))
    figure.update_yaxes(title=upright(say("frontier.loss_axis", currency=frontier.comparison.works.currency)))
    return finish(figure, light, 410)


def _draw_line(figure: go.Figure, rows: list[dict[Any, Any]]) -> None:
    if len(rows) > 1:
        figure.add_trace(
            go.Scatter(
                **_at(rows), mode="lines", line={"color": GREY, "width": 1.5, "dash": "dot"},
                name=lettered("frontier.in_the_mean"), hoverinfo="skip",
            )
        )  # fmt: skip


def _points(rows: list[dict[Any, Any]], words: str, mark: dict[str, Any]) -> go.Scatter:
    """Policies of one verdict, with bars both ways."""
    output, loss = lettered("frontier.output_at", output="%{x:.3f}"), lettered("frontier.loss_at", loss="%{y:.2f}")
    return go.Scatter(
        **_at(rows),
        error_x=spans([row["good_per_hour_half_width"] for row in rows]),
        error_y=spans([row["quality_loss_per_good_part_half_width"] for row in rows]),
        mode="markers",
        marker=mark,
        name=words,
        hovertext=hover_names(row["told_all"] for row in rows),
        customdata=[key_in_picture(row["policy"]) for row in rows],
        hovertemplate=f"%{{hovertext}}<br>{output}<br>{loss}<extra></extra>",
    )


def _draw_knee(figure: go.Figure, rows: list[dict[Any, Any]]) -> None:
    ring = {"color": PALETTE["vermilion"], "size": 20, "symbol": "circle-open", "line": {"width": 2.5}}
    if rows:
        figure.add_trace(
            go.Scatter(**_at(rows), mode="markers", marker=ring, name=lettered("frontier.knee_name"), hoverinfo="skip")
        )


def _write_names(figure: go.Figure, rows: list[dict[Any, Any]]) -> None:
    """Names beside their points; where these lie close together, further off with a line."""
    shown = rows if len(rows) <= _MOST_NAMED else [row for row in rows if row["is_in_line"]]
    labels = short_labels([row["told"] for row in shown], 26)
    for row, label, beside in zip(shown, labels, placed_labels(_in_px(rows, shown), labels, _WIDTH_PX), strict=True):
        figure.add_annotation(
            x=row["good_per_hour"], y=row["quality_loss_per_good_part"], text=in_picture(label, 60),
            ax=beside.right_px, ay=-beside.up_px, xanchor="right" if beside.right_px < 0.0 else "left",
            yanchor="middle", arrowhead=0, arrowwidth=1 if beside.is_far else 0.1, arrowcolor=GREY, standoff=6,
            font={"size": 12},
        )  # fmt: skip


def _in_px(rows: list[dict[Any, Any]], named: list[dict[Any, Any]]) -> list[tuple[float, float]]:
    """Where points lie in a picture of usual size, as its axes take in every bar."""
    scales = []
    for measure, size in (("good_per_hour", _WIDTH_PX), ("quality_loss_per_good_part", _HEIGHT_PX)):
        ends = [(row[measure], _number(row[f"{measure}_half_width"])) for row in rows]
        low, high = min(mean - half for mean, half in ends), max(mean + half for mean, half in ends)
        scales.append((low, size / max(high - low, 1e-9)))
    (left, across), (foot, up) = scales
    return [((row["good_per_hour"] - left) * across, (row["quality_loss_per_good_part"] - foot) * up) for row in named]


def _number(value: float) -> float:
    """Return a half width; none of one run is nothing."""
    return 0.0 if math.isnan(value) else float(value)


def _at(rows: list[dict[Any, Any]]) -> dict[str, list[float]]:
    return {"x": [row["good_per_hour"] for row in rows], "y": [row["quality_loss_per_good_part"] for row in rows]}


def told_rows(frontier: Frontier) -> list[dict[Any, Any]]:
    """Rows of a frontier with names as their reader has them: told, told_all with twins, and told_beaten_by."""
    names = {str(name): retell(name) for name in frontier.comparison.names}
    rows: list[dict[Any, Any]] = frontier.table.to_dict(orient="records") if frontier.names else []
    for row in rows:
        name = names[row["policy"]]
        twins = [names[str(twin)] for twin, own in frontier.twins.items() if own == row["policy"]]
        row["told"] = name
        row["told_all"] = say("frontier.same", policy=name, twins=twins) if twins else name
        row["told_beaten_by"] = names.get(row["beaten_by"], "")
    return rows
