"""What was foretold, with its band, against what was seen."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names
from linesim.report.charts.lettered import lettered, upright
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.study.proof.proof import Proven
from linesim.study.proof.words import UNITS, quantity_words
from linesim.words import retell, say

__all__ = ["proof_figure"]

_MOST = 60


def proof_figure(proven: Proven, light: Light = DAY) -> go.Figure:
    """Bands side by side in the order of their middles, with what was seen in each.

    Parameters
    ----------
    proven : Proven
        One quantity, held back in one way; of more than 60 things about 60 are drawn, evenly through them.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly Figure
        Bars: bands at 95 %. Dots: seen, inside; crosses: seen, outside; arrows: seen to last at least so long.
    """
    part = proven.foretold
    low, middle, high = part.bands
    order = np.argsort(middle, kind="stable")
    order = order[:: max(1, -(-order.size // _MOST))]
    at, names = np.arange(order.size), hover_names([retell(part.labels[each]) for each in order])
    figure = go.Figure()
    bars = {"type": "data", "symmetric": False, "color": PALETTE["blue"], "thickness": 3, "width": 0}
    bars |= {"array": (high - middle)[order], "arrayminus": (middle - low)[order]}
    figure.add_trace(
        go.Scatter(
            x=at, y=middle[order], mode="markers", error_y=bars,
            marker={"color": PALETTE["blue"], "size": 5}, name=lettered("proof.foretold"), text=names,
        )
    )  # fmt: skip
    seen = np.where(np.isinf(part.seen_high), part.seen_low, 0.5 * (part.seen_low + part.seen_high))[order]
    hits, is_open = part.hits[order], np.isinf(part.seen_high)[order]
    marks = (
        ("proof.seen_inside", hits & ~is_open, "circle", light.ink),
        ("proof.seen_outside", ~hits & ~is_open, "x", PALETTE["vermilion"]),
        ("proof.lasted", is_open, "triangle-up-open", light.ink),
    )
    for key, chosen, symbol, colour in marks:
        if chosen.any():
            text = [names[each] for each in np.flatnonzero(chosen)]
            marker = {"color": colour, "size": 9, "symbol": symbol}
            figure.add_trace(
                go.Scatter(x=at[chosen], y=seen[chosen], mode="markers", marker=marker, name=lettered(key), text=text)
            )
    figure.update_xaxes(showticklabels=False, title=lettered("proof.one_by_one"))
    quantity = quantity_words(proven.quantity)
    title = say(f"proof.axis_{UNITS[proven.unit]}", quantity=quantity) if proven.unit else retell(quantity)
    lowest, is_wide = float(seen.min()), float(high.max()) > 30.0 * float(np.median(middle))
    is_log = is_wide and lowest > 0.0 and float(low.min()) > 0.0
    figure.update_yaxes(title=upright(title), type="log" if is_log else "linear")
    return finish(figure, light, 400)
