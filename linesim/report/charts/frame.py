"""What all pictures share: ground, letters, legend, rows with names, bars of an interval, hatching."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Any

import plotly.graph_objects as go

from linesim.report.theme.colours import HATCH_INK, Hatch, Light
from linesim.report.theme.safe import in_picture, short_labels
from linesim.words import ENGLISH, language, say

__all__ = [
    "finish", "finished", "fit_reader", "hatched", "hover_names", "name_rows", "named_rows", "spans", "theme",
]  # fmt: skip

_FONT = 'system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif'
_IN_HOVER = 80
_MOST_BESIDE = 32
"""Signs of a title beside an axis that fit into a picture's height."""


def theme(light: Light) -> dict[str, Any]:
    """What changes in a picture with the light, as Plotly names it for a change of layout.

    Parameters
    ----------
    light : Light
        Colours of the page.

    Returns
    -------
    dict
    """
    axes = {f"{axis}.{what}": light.rule for axis in ("xaxis", "yaxis") for what in ("gridcolor", "zerolinecolor")}
    return {"font.color": light.ink, **axes}


def finish(figure: go.Figure, light: Light, height_px: int) -> go.Figure:
    """What all pictures share: no ground of their own, one letter, the legend beneath.

    Parameters
    ----------
    figure : plotly Figure
        Changed in place.
    light : Light
        Colours of the page.
    height_px : int
        Height, legend included.

    Returns
    -------
    plotly Figure
        The same.
    """
    figure.update_layout(finished(light, height_px))
    fit_reader(figure)
    return figure


def finished(light: Light, height_px: int) -> dict[str, Any]:
    """What `finish` lays out, for a picture that is laid out in one go; see there."""
    axes = {axis: {"automargin": True, "zeroline": False, "gridcolor": light.rule, "zerolinecolor": light.rule}
            for axis in ("xaxis", "yaxis")}  # fmt: skip
    return {
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "font": {"family": _FONT, "size": 14, "color": light.ink},
        "height": height_px,
        "margin": {"l": 20, "r": 28, "t": 28, "b": 20},
        "legend": {"orientation": "h", "yref": "container", "y": 0, "yanchor": "bottom", "traceorder": "normal"},
        "hoverlabel": {"font": {"family": _FONT}},
        **axes,
    }


def fit_reader(figure: go.Figure) -> None:
    """Write figures with a reader's own signs, and put a title beside its axis in two lines where it is too long."""
    if language() == ENGLISH.language:
        return
    figure.update_layout(separators=say("format.decimal") + say("format.thousands"))
    title = figure.layout.yaxis.title.text or ""
    if len(title) > _MOST_BESIDE:
        figure.update_yaxes(title="<br>".join(wrap(title, _MOST_BESIDE, break_long_words=False)))


def name_rows(figure: go.Figure, names: Sequence[str], most: int = 28, **at: int) -> None:
    """Write names beside the rows of a picture, whose places on the axis are 0, 1, 2 ... from the top.

    Parameters
    ----------
    figure : plotly Figure
        Changed in place. Its traces have the number of the row as y, never a name: two names may look alike.
    names : sequence of str
        Whole names, row by row.
    most : int
        Signs that a label may have.
    **at
        ``row`` and ``col`` of a part of the picture.
    """
    figure.update_yaxes(named_rows(names, most), **at)


def named_rows(names: Sequence[str], most: int = 28) -> dict[str, Any]:
    """The axis that `name_rows` lays out, for a picture that is laid out in one go; see there."""
    labels = [in_picture(label, 2 * most) for label in short_labels(names, most)]
    return {"tickmode": "array", "tickvals": list(range(len(labels))), "ticktext": labels,
            "range": [len(labels) - 0.5, -0.5], "showgrid": False, "zeroline": False, "automargin": True}  # fmt: skip


def hover_names(names: Iterable[str]) -> list[str]:
    """Names for the texts that appear at the pointer, where there is room."""
    return [in_picture(name, _IN_HOVER) for name in names]


def spans(half_widths: Sequence[float], colour: str | None = None, thickness: float = 1.5) -> dict[str, Any]:
    """Bars of intervals about points; none where the width is not known.

    Parameters
    ----------
    half_widths : sequence of float
        In the units of the axis.
    colour : str, optional
        That of the points unless given.
    thickness : float, px
    """
    bar = {"type": "data", "array": list(half_widths), "thickness": thickness, "width": 4}
    return bar if colour is None else bar | {"color": colour}


def hatched(colour: str, hatch: Hatch) -> dict[str, Any]:
    """A marker of a bar in a colour with a hatching, so that none is known by its colour alone."""
    lines = {"bgcolor": colour, "fgcolor": HATCH_INK, "size": 5}
    return {"color": colour, "line": {"width": 0}, "pattern": hatch._asdict() | lines}
