"""How pilot runs settle, and where counting begins."""

from __future__ import annotations

import plotly.graph_objects as go

from linesim.report.charts.frame import finish
from linesim.report.theme.colours import DAY, Light, policy_colours
from linesim.report.theme.safe import in_picture, short_labels
from linesim.study import Comparison
from linesim.study.comparing.pilot import SHIPPED
from linesim.study.comparing.spans import series_words
from linesim.words import say

__all__ = ["warm_up_figure"]


def warm_up_figure(comparison: Comparison, series: str, light: Light = DAY) -> go.Figure:
    """How the pilot runs settle, policy by policy: Welch's moving average.

    Parameters
    ----------
    comparison : Comparison
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
    table = comparison.lengths.series
    own = table[table["series"] == series]
    shift = comparison.works.calendar.shift
    colours = policy_colours(comparison.names)
    figure = go.Figure()
    for at, (name, label) in enumerate(zip(comparison.names, short_labels(comparison.names, 40), strict=True)):
        # A colour that comes back is known from the first by its dashes.
        dash = "solid" if at < len(set(colours.values())) else "dash"
        rows = own[own["policy"] == name]
        figure.add_trace(
            go.Scatter(
                x=rows["minute"] / shift, y=rows["smoothed"], mode="lines", name=in_picture(label, 80),
                line={"color": colours[name], "width": 1.6, "dash": dash},
            )
        )  # fmt: skip
    figure.add_vline(
        x=comparison.lengths.warm_up.minutes / shift, line={"color": light.ink, "width": 1.5, "dash": "dash"}
    )
    money = in_picture(comparison.works.currency)
    loss = say("trial.with_unit", what=series_words(series), unit=money)
    unit = say("charts.parts_per_hour") if series == SHIPPED else loss
    figure.update_xaxes(title=say("charts.shifts"))
    figure.update_yaxes(title=unit)
    return finish(figure, light, 420)
