"""Where an error comes from: its spread step by step, divided by the sources of its square."""

from __future__ import annotations

from typing import Any

import plotly.graph_objects as go

from linesim.cutting.component import Component
from linesim.report.charts.frame import finish, hatched, hover_names, name_rows
from linesim.report.theme.colours import DAY, SOURCE_COLOURS, SOURCE_HATCH, Light
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import System, converted, number, unit_shown
from linesim.routing import History
from linesim.routing.lives import step_words
from linesim.routing.sources import source_words
from linesim.words import retell, say
from linesim.works.doing import called_at

__all__ = ["error_history_figure", "figure_columns", "per_side", "sources_in", "step_names"]

_UM = "µm"
_HOVER = "%{{hovertext}}<br>{}<extra></extra>"
_CUT_OFF = 1.25
"""Where the axis ends if the casting's bar is far longer than all others, times the longest of these."""


def step_names(history: History) -> list[str]:
    """The steps of a history, each with its operation."""
    line, rows = history.line, history.totals.to_dict(orient="records")
    return [
        say("history.step_name", operation=step_words(called_at(history.works, line, str(row["operation"]))),
            step=step_words(str(row["step"])))
        for row in rows
    ]  # fmt: skip


def sources_in(history: History) -> list[str]:
    """Sources that a history has anything of, in their order."""
    known = set(history.table["source"])
    return [source for source in SOURCE_COLOURS if source in known]


def per_side(history: History) -> str:
    """How the figures of what is followed count: the size per side, all else as it is."""
    return " per side" if history.of is Component.SIZE else ""


def figure_columns(history: History) -> dict[str, str]:
    """Heads and columns of the figures of each step, all in µm: the mean, where there is one that can be set out."""
    of = history.measured
    mean = {"mean": of.mean} if history.of.is_signed else {}
    return mean | {of.spread_short: of.spread}


def error_history_figure(history: History, system: System = "metric", light: Light = DAY) -> go.Figure:
    """Spread of an error (of form its root mean square) after each step, each bar divided by the sources of its square.

    Parameters
    ----------
    history : History
        What to show.
    system : {"metric", "inch"}
        Units.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
        Sources that take variance out are left aside. The casting's bar is cut off where it is far longer than the
        rest; each bar bears its figure.
    """
    names, unit = step_names(history), unit_shown(_UM, system)
    spreads = [converted(float(spread), _UM, system) for spread in history.totals[history.measured.spread]]
    pieces = _pieces(history, spreads)
    names_of = {source: in_picture(retell(source_words(source)), 80) for source in pieces}
    figure = go.Figure([
        go.Bar(
            x=values, y=list(range(len(names))), width=0.7, orientation="h", name=names_of[source],
            hovertext=hover_names(names), marker=hatched(SOURCE_COLOURS[source], SOURCE_HATCH[source]),
            hovertemplate=_HOVER.format(say("history.hover", source=names_of[source], value=f"%{{x:.3g}} {unit}")),
        )
        for source, values in pieces.items()
    ])  # fmt: skip
    shown = _axis_end(spreads)
    for at, spread in enumerate(spreads):
        is_cut = spread > shown
        figure.add_annotation(
            x=shown if is_cut else spread, y=at, text=f"{number(spread)} {unit}{' →' if is_cut else ''}",
            showarrow=False, xanchor="right" if is_cut else "left", xshift=-6 if is_cut else 6,
            bgcolor=light.sheet, font={"color": light.ink, "size": 13},
        )  # fmt: skip
    figure.update_layout(barmode="stack", bargap=0.3)
    figure.update_xaxes(title=_axis_words(history, unit), range=[0.0, shown])
    name_rows(figure, names, 34)
    return finish(figure, light, 190 + 34 * len(names))


def _axis_words(history: History, unit: str) -> str:
    what = say("history.error") if history.of is Component.SIZE else say(f"characteristics.{history.of.words}")
    key = "history.axis_side" if history.of is Component.SIZE else "history.axis"
    return say(key, spread=history.measured.spread_words, what=what, unit=unit)


def _pieces(history: History, spreads: list[float]) -> dict[str, list[float]]:
    """Length of each source's piece, step by step; the pieces of a step add up to its spread."""
    variances: dict[tuple[Any, ...], float] = {
        (row["operation"], row["step"], row["source"]): max(row[history.measured.shared], 0.0)
        for row in history.table.to_dict(orient="records")
    }
    used, steps = sources_in(history), history.totals[["operation", "step"]].itertuples(index=False)
    pieces: dict[str, list[float]] = {source: [] for source in used}
    for (operation, step), spread in zip(steps, spreads, strict=True):
        own = {source: variances.get((operation, step, source), 0.0) for source in used}
        whole = sum(own.values())
        for source, variance in own.items():
            pieces[source].append(spread * variance / whole if whole else 0.0)
    return pieces


def _axis_end(spreads: list[float]) -> float:
    first, rest = spreads[0], max(spreads[1:], default=spreads[0])
    return _CUT_OFF * rest if first > 2.0 * rest > 0.0 else 1.15 * max(spreads)
