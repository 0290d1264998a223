"""Further questions about the cutters: what a minute is worth, how many sets there should be, what drives it all."""

from __future__ import annotations

import math
from typing import Any

import plotly.graph_objects as go

from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import interval, number
from linesim.study.comparing.measures import with_unit
from linesim.study.questions.worth import Worth
from linesim.study.search import Circulation, Drivers

__all__ = ["drivers_picture", "numbers_sheet", "worth_picture"]

_MOST_DRIVERS = 15
_APART, _NOT_APART = "diamond", "circle-open"


def worth_picture(found: Worth, light: Light = DAY) -> Picture:
    """What a minute less stopped is worth at each machine, with its interval.

    Parameters
    ----------
    found : Worth
        What was found.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Filled marks where a worth is told apart from none.
    """
    table, several = found.table, len(found.works.lines) > 1
    rows = table.to_dict(orient="records")
    names = [f"{row['line']}: {row['operation']}" if several else str(row["operation"]) for row in rows]
    money = in_picture(found.works.currency)
    figure = go.Figure(
        go.Scatter(
            x=table["worth"], y=[in_picture(name, 24) for name in names], mode="markers", showlegend=False,
            error_x={"type": "data", "array": table["worth_half_width"], "thickness": 1.4, "width": 5,
                     "color": light.faint},
            marker=_marks([bool(row["is_told"]) for row in rows], light),
            hovertemplate="%{y}<br>%{x:.2f}<extra></extra>",
        )
    )  # fmt: skip
    figure.add_vline(x=0.0, line={"color": light.ink, "width": 1})
    figure.update_xaxes(
        title=f"a minute an hour less stopped there is worth, {money} per hour (open: not told from none)"
    )
    figure.update_yaxes(autorange="reversed")
    finish(figure, light, 130 + 30 * len(names))
    cells: list[list[Cell]] = []
    for name, row in zip(names, rows, strict=True):
        told = "" if row["is_told"] else "not told from none"
        figures = numbers(
            interval(row["worth"], row["worth_half_width"]), interval(-row["cost"], row["cost_half_width"]),
            number(100.0 * row["utilisation"], 1), number(row["stopped_min"], 1),
        )  # fmt: skip
        cells.append([name, *figures, told])
    heads = [
        "operation",
        *numbers(f"a minute less, {money}/h", f"a minute more, {money}/h", "busy, %", "stopped, min/h"),
    ]
    caption = (
        f'What a minute is worth under "{found.policy}": mean of {found.n_replications} runs ± half width; all '
        f"intervals of a column hold at once, {100.0 * found.confidence:g} %"
    )
    return Picture(figure, " ".join(found.sentences), Sheet(caption, [*heads, ""], cells, table))


def numbers_sheet(found: Circulation) -> Sheet:
    """How many sets, grinders and setters there are, would be best, and what one more or fewer brings.

    Parameters
    ----------
    found : Circulation
        As far as the search has come.

    Returns
    -------
    Sheet
    """
    hours = found.works.calendar.minutes_per()["year"] / 60.0
    rows: list[list[Cell]] = []
    for row in found.table.to_dict(orient="records"):
        kind, name = row["kind"], row["name"]
        words = {"set": f"sets of {name}", "grinder": "tool grinders", "setter": f"people in {name}"}[kind]
        year = number(row["hourly_cost"] * hours, 0)
        figures = [str(row["now"]), str(row["best"]), year, _gain(row, "one_more"), _gain(row, "one_fewer")]
        rows.append([words, *numbers(*figures)])
    money = found.works.currency
    heads = ["", *numbers("now", "best", f"one more costs, {money}/year", "one more gains", "one fewer gains")]
    caption = f"Gains against the best, {found.unit}, paired; ~ not told apart from none"
    return Sheet(caption, heads, rows, found.table)


def drivers_picture(found: Drivers, light: Light = DAY) -> Picture:
    """What each input that a shop knows least does to the result, alone at the low and at the high end of its range.

    Parameters
    ----------
    found : Drivers
        As far as the study has come.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The widest swings; triangles point to the end of the range, open ones are not told from none.
    """
    table = found.one_at_a_time
    top = table.head(_MOST_DRIVERS).to_dict(orient="records")
    factor = 100.0 if found.measure.is_share else 1.0
    labels = [in_picture(str(row["words"]), 38) for row in top]
    figure = go.Figure()
    for end, words, mark in (("at_low", "at the low end of its range", "triangle-down"),
                             ("at_high", "at the high end", "triangle-up")):  # fmt: skip
        widths = [factor * row[f"{end}_half_width"] for row in top]
        values = [factor * row[end] for row in top]
        told = [bool(row[f"{end}_is_told"]) for row in top]
        colour = light.accent if end == "at_low" else light.caution
        figure.add_trace(
            go.Scatter(
                x=values, y=labels, mode="markers", name=words,
                error_x={"type": "data", "array": widths, "thickness": 1.2, "width": 4, "color": colour},
                marker={"size": 11, "color": colour, "symbol": [mark if each else f"{mark}-open" for each in told]},
                hovertemplate="%{y}<br>%{x:.3g}<extra></extra>",
            )
        )  # fmt: skip
    figure.add_vline(x=0.0, line={"color": light.ink, "width": 1})
    figure.update_xaxes(title=f"change in {in_picture(with_unit(found.measure, found.works.currency), 60)}")
    figure.update_yaxes(autorange="reversed")
    finish(figure, light, 170 + 30 * max(len(labels), 1))
    return Picture(figure, " ".join(found.sentences), _drivers_sheet(found, factor))


def _drivers_sheet(found: Drivers, factor: float) -> Sheet:
    rows: list[list[Cell]] = []
    for row in found.one_at_a_time.to_dict(orient="records"):
        ends = [interval(factor * row[end], factor * row[f"{end}_half_width"]) for end in ("at_low", "at_high")]
        range_ = f"{row['low']:g} to {row['high']:g} times"
        is_told = row["at_low_is_told"] or row["at_high_is_told"]
        rows.append([str(row["words"]), range_, *numbers(*ends), "" if is_told else "not told from none"])
    heads = ["input", "range", *numbers("at its low end", "at its high end"), ""]
    caption = f"One at a time: {with_unit(found.measure, found.works.currency)} less the base, paired"
    return Sheet(caption, heads, rows, found.one_at_a_time)


def _marks(told: list[bool], light: Light) -> dict[str, Any]:
    return {
        "size": 12,
        "symbol": [_APART if is_told else _NOT_APART for is_told in told],
        "color": [light.accent if is_told else light.faint for is_told in told],
    }


def _gain(row: dict[Any, Any], head: str) -> str:
    """A gain with its half width, and a sign if it is not told apart from none."""
    gain = row[f"{head}_gain"]
    if gain is None or math.isnan(gain):
        return "–"
    return f"{interval(gain, row[f'{head}_half_width'])}{'' if row[f'{head}_is_told'] else ' ~'}"
