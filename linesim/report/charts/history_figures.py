"""Pictures of the life history of a feature."""

from __future__ import annotations

import plotly.graph_objects as go

from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.safe import in_picture
from linesim.routing import History
from linesim.routing.sources import Source

__all__ = ["SOURCE_COLOURS", "history_figure", "sources_used"]

SOURCE_COLOURS: dict[str, str] = {
    Source.CASTING.words: "#8C3D00",
    Source.DEFLECTION.words: PALETTE["blue"],
    Source.WEAR.words: PALETTE["orange"],
    Source.STRESS.words: PALETTE["bluish green"],
    Source.DISTURBANCE.words: PALETTE["vermilion"],
    Source.CHIPS.words: PALETTE["reddish purple"],
    Source.CHANCE.words: "#B9C0C8",
    Source.GAUGING.words: PALETTE["sky blue"],
    Source.RECUT.words: "#6B5B95",
    Source.NOT_CLEANED_UP.words: PALETTE["black"],
    Source.SALVAGE.words: PALETTE["yellow"],
}
"""A colour for each source of an error, from the palette of Okabe and Ito and shades of it."""


def sources_used(found: History) -> list[str]:
    """Sources that move anything, in reading order."""
    known = set(found.table["source"])
    return [source.words for source in Source if source.words in known]


def history_figure(found: History, light: Light = DAY) -> go.Figure:
    """Stacked bars, one for each step: standard deviation of the error, divided by the sources of its variance.

    Parameters
    ----------
    found : History
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        The casting's bar is cut off where it is far longer than the rest.
    """
    totals = found.totals.to_dict(orient="records")
    names = [f"{row['operation']}: {row['step']}" for row in totals]
    cells = {
        (row["operation"], row["step"], row["source"]): row["variance_um2"] for row in found.table.to_dict("records")
    }
    picture = go.Figure()
    for source in sources_used(found):
        pieces = []
        for row in totals:
            step = (row["operation"], row["step"])
            parts = {name: max(cells.get((*step, name), 0.0), 0.0) for name in sources_used(found)}
            whole = sum(parts.values())
            pieces.append(row["sd_um"] * parts[source] / whole if whole else 0.0)
        picture.add_trace(
            go.Bar(
                y=[in_picture(name, 60) for name in names], x=pieces, orientation="h", name=source,
                marker={"color": SOURCE_COLOURS[source], "line": {"width": 0}},
                hovertemplate=f"%{{y}}<br>{source}: %{{x:.2f}} µm of the bar<extra></extra>",
            )
        )  # fmt: skip
    _cut_off(picture, [float(row["sd_um"]) for row in totals])
    finish(picture, light, 190 + 34 * len(names))
    picture.update_layout(barmode="stack", bargap=0.3)
    picture.update_yaxes(autorange="reversed", automargin=True, showgrid=False)
    picture.update_xaxes(title="standard deviation of the error, µm per side", gridcolor=light.rule, automargin=True)
    return picture


def _cut_off(picture: go.Figure, spreads: list[float]) -> None:
    """Cut the axis where the casting dwarfs the rest, and say what is cut."""
    rest = max(spreads[1:], default=spreads[0])
    shown = 1.25 * rest if spreads[0] > 2.0 * rest else 1.1 * max(spreads)
    picture.update_xaxes(range=[0.0, shown])
    for number, spread in enumerate(spreads):
        text = f"{spread:.1f} µm" if spread >= 100.0 else f"{spread:.2f} µm"
        if spread > shown:
            name = picture.data[0].y[number]
            picture.add_annotation(
                x=shown, y=name, text=f"{text} →", showarrow=False, xanchor="right", xshift=-6,
                bgcolor="#FFFFFF", font={"color": "#1C2733"},
            )  # fmt: skip
        else:
            picture.add_annotation(
                x=spread, y=picture.data[0].y[number], text=text, showarrow=False, xanchor="left", xshift=6
            )
