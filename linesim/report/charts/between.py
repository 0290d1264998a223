"""What two policies differ in: money per good part, by operation and item."""

from __future__ import annotations

import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.safe import in_picture, short_labels
from linesim.study.comparing.closely import CloseLook
from linesim.works.doing import called_at

__all__ = ["between_figure"]

_MOST_ROWS = 14


def between_figure(look: CloseLook, policy: str, against: str, line: str, light: Light = DAY) -> go.Figure:
    """The greatest differences between two policies, with their intervals; right is dearer.

    Parameters
    ----------
    look : CloseLook
        A close look at both.
    policy, against : str
        The first less the second.
    line : str
        Which line.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Bars that are not significant are hatched and pale.
    """
    table = look.money_between(policy, against, line, ["operation", "item"])
    top = table.head(_MOST_ROWS).to_dict(orient="records")
    names = [f"{called_at(look.works, line, str(row['operation']))}: {row['item']}" for row in top]
    figure = go.Figure(
        go.Bar(
            x=[row["difference"] for row in top], y=list(range(len(top))), width=0.7, orientation="h", showlegend=False,
            error_x=spans([row["half_width"] for row in top], light.ink),
            marker={
                "color": [_side(row["difference"]) if row["is_apart"] else light.rule for row in top],
                "pattern": {"shape": ["" if row["is_apart"] else "/" for row in top], "bgcolor": light.sheet,
                            "fgcolor": light.faint, "size": 6},
            },
            hovertext=hover_names(names), hovertemplate="%{hovertext}<br>%{x:.2f}<extra></extra>",
        )
    )  # fmt: skip
    first, second = (in_picture(label, 40) for label in short_labels([policy, against], 18))
    money = in_picture(look.works.currency)
    figure.update_xaxes(title=f'{money} per good part<br>"{first}"<br>less "{second}"', zerolinecolor=light.ink)
    name_rows(figure, names, 44)
    finish(figure, light, 120 + 28 * max(len(top), 2))
    return figure.update_xaxes(zeroline=True, zerolinecolor=light.ink)


def _side(value: float) -> str:
    return PALETTE["vermilion"] if value > 0.0 else PALETTE["bluish green"]
