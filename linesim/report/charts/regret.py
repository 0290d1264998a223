"""How far a policy stays right: what it is ahead of the best other one with all lives at several factors."""

from __future__ import annotations

import math

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, spans
from linesim.report.charts.lettered import lettered, upright
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.safe import in_picture
from linesim.study.doubt.answer import Regret
from linesim.words import localised, retell, say

__all__ = ["regret_figure"]

_SIDES = (
    (True, "regret.right", "bluish green", "circle"),
    (False, "regret.not_right", "vermilion", "x"),
)


def regret_figure(answer: Regret, light: Light = DAY) -> go.Figure:
    """A policy against the best other one, lives from short to long.

    Parameters
    ----------
    answer : Regret
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Lives on a scale of ratios; above the line the policy is ahead; an upright line marks the assumed lives.
    """
    figure = go.Figure()
    at_point = lettered("regret.at_point", factor="%{x}", ahead="%{y:.2f}")
    rival = lettered("regret.rival_at", policy="%{hovertext}")
    for is_right, key, colour, symbol in _SIDES:
        own = [each for each in answer.steps if each.is_right is is_right]
        if own:
            figure.add_trace(
                go.Scatter(
                    x=[each.factor for each in own], y=[each.gap.mean for each in own], mode="markers",
                    name=lettered(key),
                    error_y=spans([each.gap.half_width for each in own], PALETTE[colour]),
                    marker={"color": PALETTE[colour], "symbol": symbol, "size": 10},
                    hovertext=hover_names([retell(each.rival) for each in own]),
                    hovertemplate=f"{at_point}<br>{rival}<extra></extra>",
                )
            )  # fmt: skip
    figure.add_hline(y=0.0, line={"color": light.ink, "width": 1})
    figure.add_vline(x=1.0, line={"color": light.ink, "width": 1.5, "dash": "dash"})
    figure.add_annotation(  # a place on an axis of ratios is a power of 10
        x=0.0, y=1.0, yref="paper", yanchor="bottom", text=lettered("regret.assumed"), showarrow=False,
        font={"color": light.ink, "size": 12},
    )  # fmt: skip
    factors = [each.factor for each in answer.steps]
    figure.update_xaxes(
        type="log",
        title=lettered("regret.lives_axis"),
        tickvals=factors,
        ticktext=[localised(f"{at:g}") for at in factors],
        range=[math.log10(factors[0]) - 0.05, math.log10(factors[-1]) + 0.05],
    )
    figure.update_yaxes(title=upright(say("regret.ahead_axis")) + f"<br>{in_picture(retell(answer.unit))}")
    return finish(figure, light, 430)
