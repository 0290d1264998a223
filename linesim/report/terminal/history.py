"""The life history of a feature: for the terminal, as a picture, and as a page."""

from __future__ import annotations

import html

import plotly.graph_objects as go
from plotly.io import to_html
from plotly.offline import get_plotlyjs
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim import __version__
from linesim.report.page.justification_html import SOURCE_COLOURS
from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.grid import Column, figure, grid, number_columns, plain
from linesim.report.theme.markup import bullets, element, numbers, table
from linesim.report.theme.style import page_style
from linesim.routing import History
from linesim.routing.sources import Source

__all__ = ["history_figure", "history_page", "history_text"]

_FONT = 'system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif'


def history_text(found: History) -> Group:
    """A history laid out for a terminal of 100 columns.

    Parameters
    ----------
    found : History
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = found.sentences
    head = Text.assemble((f"{plain(found.line)}, {plain(found.feature)}", "bold"), "\n", (plain(first), "bold"))
    for line in rest:
        head.append(f"\n{plain(line)}")
    parts: list[RenderableType] = [head, _steps(found), _arising(found), _surface(found), _basis(found)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _used(found: History) -> list[str]:
    """Sources that move anything."""
    known = set(found.table["source"])
    return [source.words for source in Source if source.words in known]


def _steps(found: History) -> RenderableType:
    """Standard deviation after each step, and the share of each source in the variance."""
    columns = [Column("operation", True, 10), Column("after", True, 20), *number_columns("mean µm", "sd µm")]
    used = _used(found)
    columns += number_columns(*(f"{name} %" for name in used))
    cells = {(row["operation"], row["step"], row["source"]): row for row in found.table.to_dict(orient="records")}
    rows = []
    for row in found.totals.to_dict(orient="records"):
        shares = []
        for name in used:
            part = cells.get((row["operation"], row["step"], name))
            whole = row["variance_um2"]
            shares.append("" if part is None or not whole else f"{100.0 * part['variance_um2'] / whole:.1f}")
        rows.append([row["operation"], row["step"], f"{row['mean_um']:+.2f}", figure(row["sd_um"]), *shares])
    return grid("Step by step: error per side, and the share of each source in its variance", columns, rows)


def _arising(found: History) -> RenderableType:
    """Where the final error arose."""
    columns = [Column("arose at", True, 12), Column("source", True, 24)]
    columns += number_columns("variance µm²", "±", "share %")
    ordered = found.arising.sort_values("variance_um2", ascending=False, key=abs, kind="stable")
    rows = [
        [
            row["operation"], row["source"], figure(row["variance_um2"], 3), figure(row["variance_um2_half_width"], 3),
            figure(100.0 * row["share"], 1),
        ]
        for row in ordered.head(14).to_dict(orient="records")
    ]  # fmt: skip
    whole = float(found.arising["variance_um2"].sum())
    rows.append(["all together", "", figure(whole, 3), "", "100.0"])
    return grid("The final error: where each part of its variance arose (a minus takes variance out)", columns, rows)


def _surface(found: History) -> RenderableType:
    """Roughness and scratches after each operation, which handling brings."""
    columns = [Column("after", True, 12), *number_columns("Ra µm", "±", "scratched %", "±", "depth of those µm")]
    rows = [
        [
            row["operation"], figure(row["ra_um"], 3), figure(row["ra_um_half_width"], 3),
            figure(100.0 * row["scratched"], 2), figure(100.0 * row["scratched_half_width"], 2),
            figure(row["scratch_um"], 1),
        ]
        for row in found.surface.to_dict(orient="records")
    ]  # fmt: skip
    return grid("The surface when a part is passed on: roughness, and scratches of handling and chips", columns, rows)


def _basis(found: History) -> Text:
    """What the figures stand on."""
    made = found.provenance
    last = made["replications"] - 1
    told = (
        f'Policy "{plain(found.policy)}", seed {found.seed}, replications 0 to {last}; every part followed on the '
        "SimPy floor and its account held against its true error at every operation. ± is half the "
        f"{100 * found.confidence:g} % interval over the runs. Handling scratches a surface and does not "
        "move it, so it has no part in the error."
    )
    return Text(told, style="dim")


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
    for source in _used(found):
        pieces = []
        for row in totals:
            parts = {name: max(cells.get((row["operation"], row["step"], name), 0.0), 0.0) for name in _used(found)}
            whole = sum(parts.values())
            pieces.append(row["sd_um"] * parts[source] / whole if whole else 0.0)
        picture.add_trace(
            go.Bar(
                y=[html.escape(name) for name in names], x=pieces, orientation="h", name=source,
                marker={"color": SOURCE_COLOURS[source], "line": {"width": 0}},
                hovertemplate=f"%{{y}}<br>{source}: %{{x:.2f}} µm of the bar<extra></extra>",
            )
        )  # fmt: skip
    _cut_off(picture, [float(row["sd_um"]) for row in totals])
    picture.update_layout(
        barmode="stack", bargap=0.3, height=190 + 34 * len(names), paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)", font={"family": _FONT, "size": 14, "color": light.ink},
        margin={"l": 20, "r": 40, "t": 30, "b": 20},
        legend={"orientation": "h", "yref": "container", "y": 0, "yanchor": "bottom", "traceorder": "normal"},
    )  # fmt: skip
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


def history_page(found: History, command: str = "") -> str:
    """A history as one self-contained HTML page.

    Parameters
    ----------
    found : History
        What to show.
    command : str
        The command that made it.

    Returns
    -------
    str
        Every name and text of the scenario is escaped.
    """
    config = {"displayModeBar": False, "responsive": True}
    picture = to_html(history_figure(found), full_html=False, include_plotlyjs=False, div_id="history", config=config)
    first, *rest = found.sentences
    caption = (
        "Standard deviation of the error after each step, per side; each bar is divided as its variance is, "
        "sources that take variance out left aside."
    )
    rows = [
        [row["operation"], row["source"], *numbers(f"{row['variance_um2']:.3f} ± {row['variance_um2_half_width']:.3f}",
                                                    f"{100.0 * row['share']:.1f}")]
        for row in found.arising.sort_values("variance_um2", ascending=False, kind="stable").to_dict("records")
    ]  # fmt: skip
    arising = table(
        "Where each part of the final variance arose; a minus takes variance out",
        ["arose at", "source", *numbers("variance, µm²", "share, %")],
        rows,
    )
    title = f"{found.line}: {found.feature}"
    made = "; ".join(f"{name} {value}" for name, value in {**found.provenance, "command": command}.items() if value)
    csp = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta name="generator" content="linesim {html.escape(__version__)}">'
        f'<meta http-equiv="Content-Security-Policy" content="{csp}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{html.escape(f'linesim: {title}')}</title><style>{page_style()} {_DAY_ONLY}</style>"
        f"<script>{get_plotlyjs()}</script></head><body><main>"
        f"<header>{element('p', 'linesim / life history of a feature', 'lettering')}{element('h1', title)}"
        f"{element('p', found.works.name, 'about')}</header>"
        f"<section>{element('h2', 'Where does the error come from?')}{element('p', first, 'answer')}{bullets(rest)}"
        f'<figure><div class="picture">{picture}</div>{element("figcaption", caption)}</figure></section>'
        f"<section>{element('h2', 'The account')}{arising}</section>"
        f"<section>{element('h2', 'Cautions')}{bullets(CAUTIONS, 'cautions')}</section>"
        f"<section>{element('p', made, 'note')}</section></main></body></html>\n"
    )


_DAY_ONLY = "@media screen and (prefers-color-scheme: dark) { .picture { background: #FCFCF9; } }"
"""The picture keeps its colours of the day, on a sheet of its own, where the page is dark."""
