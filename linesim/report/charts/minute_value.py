"""The value of a minute at each operation: where the bottleneck is, in money."""

from __future__ import annotations

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.charts.lettered import along, lettered
from linesim.report.theme.colours import DAY, GREY, Light
from linesim.study.questions.worth import Worth
from linesim.words import retell, say

__all__ = ["minute_value_figure"]


def minute_value_figure(answer: Worth, light: Light = DAY) -> go.Figure:
    """What a minute less stopped is worth at each operation, with its interval.

    Parameters
    ----------
    answer : Worth
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Filled where the value is significant. The load stands beside the name, so that money and load can be compared.
    """
    table = answer.table.to_dict(orient="records")
    names = [retell(answer.named(str(row["line"]), str(row["operation"]))) for row in table]
    is_sure = [bool(row["is_told"]) for row in table]
    at_point = lettered("worth.at_point", worth="%{x:.2f}")
    figure = go.Figure(
        go.Scatter(
            x=[row["worth"] for row in table], y=list(range(len(table))), mode="markers", showlegend=False,
            error_x=spans([row["worth_half_width"] for row in table], GREY),
            marker={
                "size": 12, "symbol": ["diamond" if sure else "circle-open" for sure in is_sure],
                "color": [light.accent if sure else light.faint for sure in is_sure],
            },
            hovertext=hover_names(names), hovertemplate=f"%{{hovertext}}<br>{at_point}<extra></extra>",
        )
    )  # fmt: skip
    figure.add_vline(x=0.0, line={"color": GREY, "width": 1})
    name_rows(figure, names, 34)
    _write_loads(figure, [float(row["utilisation"]) for row in table], light)
    figure.update_xaxes(title=along(say("worth.axis", currency=answer.works.currency)))
    finish(figure, light, 140 + 30 * len(names))
    return figure.update_layout(margin={"r": 92})


def _write_loads(figure: go.Figure, loads: list[float], light: Light) -> None:
    for at, load in enumerate(loads):
        figure.add_annotation(
            xref="paper", x=1.0, y=at, text=lettered("worth.load", percent=100.0 * load), showarrow=False,
            xanchor="left", xshift=8, font={"size": 12, "color": light.faint},
        )  # fmt: skip
