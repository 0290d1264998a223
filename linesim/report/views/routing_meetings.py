"""Signs of the routing's drawing for lines that meet: what is taken off parts, and what is joined to them."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from linesim.report.theme.colours import Light
from linesim.report.theme.safe import in_picture
from linesim.works.operations import Operation

__all__ = ["draw_meetings", "meeting_words"]


def meeting_words(operation: Operation) -> list[str]:
    """What is taken off the parts at an operation, and what is joined to them and how it is matched."""
    off = [] if operation.takes_off is None else [f"takes {operation.takes_off} off"]
    joins = []
    for name, join in operation.joins.items():
        how = "" if join.classes is None else f" by classes of {join.classes.width:g} µm"
        joins.append(f"joins {name}{how}")
    return off + joins


def draw_meetings(figure: go.Figure, operations: Sequence[Operation], light: Light) -> None:
    """An arrow up from an operation at which something is taken off, and one down to where lines are joined."""
    off = [at for at, each in enumerate(operations) if each.takes_off is not None]
    joins = [at for at, each in enumerate(operations) if each.joins]
    signs = (("triangle-up-open", "taken off here", off), ("triangle-down", "joined here", joins))
    for symbol, name, drawn in signs:
        if not drawn:
            continue
        words = ["<br>".join(in_picture(text, 60) for text in meeting_words(operations[at])) for at in drawn]
        figure.add_trace(
            go.Scatter(
                x=[at - 0.2 for at in drawn], y=[0.3] * len(drawn), mode="markers",
                marker={"size": 12, "symbol": symbol, "color": light.ink, "line": {"width": 2, "color": light.ink}},
                hovertext=words, hovertemplate="%{hovertext}<extra></extra>", name=name,
            ), row=1, col=1,
        )  # fmt: skip
