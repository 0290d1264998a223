"""Signs of the routing's drawing for what sharp sets go through before they come to a machine."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from linesim.plan.times import mean_minutes
from linesim.report.theme.colours import Light
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import number
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.walks import cutters_of

__all__ = ["draw_presetting", "presetting_words"]

_MOST_NAMED = 3


def presetting_words(works: Works, operation: Operation) -> str:
    """Which of an operation's sets are preset, by whom and how long; empty where none is."""
    kinds = [kind for kind in cutters_of(operation) if works.cutters[kind].is_preset]
    if not kinds or works.crib.presetters is None:
        return ""
    named = [f"{kind} {number(mean_minutes(works.cutters[kind].presetting), 1)} min" for kind in kinds[:_MOST_NAMED]]
    more = len(kinds) - _MOST_NAMED
    return f"preset by {works.crib.presetters}: {', '.join(named)}" + (f" and {more} more" if more > 0 else "")


def draw_presetting(figure: go.Figure, works: Works, operations: Sequence[Operation], light: Light) -> None:
    """A cross, as the sight of a presetter has, below each operation whose sets are preset before they come to it."""
    drawn = [(at, words) for at, each in enumerate(operations) if (words := presetting_words(works, each))]
    if not drawn:
        return
    figure.add_trace(
        go.Scatter(
            x=[at for at, _ in drawn], y=[-0.38] * len(drawn), mode="markers",
            marker={"size": 11, "symbol": "circle-cross-open", "color": light.ink, "line": {"width": 1.5}},
            hovertext=[in_picture(words, 90) for _, words in drawn], hovertemplate="%{hovertext}<extra></extra>",
            name="sharp sets are preset",
        ), row=1, col=1,
    )  # fmt: skip
