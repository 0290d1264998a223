"""Variants of a routing side by side: the answer, the money, minutes and machines, and what they do to the drawing."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import System, beyond_capability, converted, interval, number, unit_shown
from linesim.routing.answer import COMPARED, RoutingAnswer
from linesim.routing.asked import SideBySide
from linesim.study.comparing.measures import measure, with_unit

__all__ = ["capability_sheet", "content_sheet", "is_clear", "variants_note", "variants_picture", "variants_sentences"]

_UM, _UM_PER_MM = "µm", 1000.0
_PLACES = {"mm": 4, "in": 5}
"""Places of a mean, so that a few µm are seen."""


def variants_sentences(answer: SideBySide) -> tuple[str, ...]:
    """The answer first; a first answer over a shorter time says that it is one."""
    if answer.full is not None:
        return answer.sentences
    first, *_ = answer.sentences
    return (f"At a glance, with the intervals as they stand: {first[0].lower()}{first[1:]}",)


def is_clear(answer: SideBySide) -> bool:
    """Whether the data carry a verdict, on the whole study."""
    return answer.full is not None and answer.full.is_clear


def variants_note(answer: SideBySide) -> str:
    """How the figures are to be read."""
    if answer.full is None:
        return "The best change intervals of each variant are being sought; then each is run afresh with its own."
    run = answer.variants.base.run
    return (
        f"Each variant with its own best change intervals; means of {answer.full.n_replications} fresh runs of "
        f"{number(run.length, 0)} worked minutes each on common random numbers, ± half the width of the "
        f"{100.0 * answer.full.confidence:g} % interval. Seed {answer.full.seed}."
    )


def variants_picture(answer: SideBySide, light: Light = DAY) -> Picture:
    """The deciding figure of every variant with its interval, the one in front by another mark.

    Parameters
    ----------
    answer : SideBySide
        As far as it has come.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The table behind it has every measure.
    """
    rows = _rows(answer)
    deciding = answer.full.measure.name if answer.full is not None else answer.glance.judged_by.name  # type: ignore[union-attr]
    own = [row for row in rows if row["measure"] == deciding]
    sign = 1.0 if measure(deciding).is_more_better else -1.0
    front = max((row for row in own if math.isfinite(row["mean"])), key=lambda row: sign * row["mean"], default=None)
    factor = 100.0 if measure(deciding).is_share else 1.0
    figure = go.Figure(
        go.Scatter(
            x=[factor * row["mean"] for row in own], y=list(range(len(own))), mode="markers",
            error_x=spans([factor * row["half_width"] for row in own], light.faint),
            marker={"size": 13, "color": [light.good if row is front else light.accent for row in own],
                    "symbol": ["star" if row is front else "diamond" for row in own]},
            showlegend=False, hovertext=hover_names(row["variant"] for row in own),
            hovertemplate="%{hovertext}<br>%{x:.2f}<extra></extra>",
        )
    )  # fmt: skip
    money = answer.variants.base.currency
    figure.update_xaxes(title=f"{in_picture(with_unit(measure(deciding), money), 70)} (star: best mean)")
    name_rows(figure, [str(row["variant"]) for row in own], 30)
    finish(figure, light, 120 + 42 * max(len(own), 2))
    return Picture(figure, " ".join(variants_sentences(answer)), _sheet(answer, rows))


def _rows(answer: SideBySide) -> list[dict[str, Any]]:
    """Variant, measure, mean and half width; of the whole study once there is one."""
    if answer.full is not None:
        return [
            {str(name): value for name, value in row.items()} for row in answer.full.table.to_dict(orient="records")
        ]
    assert answer.glance is not None
    rows = []
    for name in answer.variants.names:
        for each in COMPARED:
            mean, half_width = answer.glance.mean(name, each)
            rows.append({"variant": name, "measure": each, "mean": mean, "half_width": half_width})
    return rows


def _sheet(answer: SideBySide, rows: list[dict[str, Any]]) -> Sheet:
    cells: list[list[Cell]] = []
    for name in answer.variants.names:
        own = {row["measure"]: row for row in rows if row["variant"] == name}
        figures = []
        for each in COMPARED:
            factor = 100.0 if measure(each).is_share else 1.0
            figures.append(interval(factor * own[each]["mean"], factor * own[each]["half_width"]))
        cells.append([name, *numbers(*figures)])
    heads = ["variant", *numbers(*(with_unit(measure(each), answer.variants.base.currency) for each in COMPARED))]
    return Sheet("Variants side by side: mean ± half width", heads, cells, pd.DataFrame(rows))


def content_sheet(answer: RoutingAnswer) -> Sheet:
    """Minutes, machines and power that the features take, and the change intervals that suit each variant best."""
    table, money = answer.content, answer.currency
    cells: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        figures = numbers(
            str(row["cuts"]), number(row["operation_min"], 2), str(row["machines"]),
            number(row["machines_per_hour_cost"], 2), number(row["power_kw"], 1), number(row["idle_percent"], 0),
        )  # fmt: skip
        cells.append([str(row["variant"]), str(row["about"]), *figures, str(row["constraint"]), str(row["changed_at"])])
    heads = [
        "variant", "what is done",
        *numbers("cuts", "min a part", "machines", f"they cost, {money}/h", "kW", "idle, %"),
        "held back by", "changed at, of the life",
    ]  # fmt: skip
    caption = "What the features take, and the change intervals that are best for each variant"
    return Sheet(caption, heads, cells, table)


def capability_sheet(answer: RoutingAnswer, system: System = "metric") -> Sheet:
    """Spread, capability, share out and loss of each characteristic of the features, by variant."""
    table, money = answer.capability, answer.currency
    cells: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        unit = str(row["unit"])
        mean = number(converted(row["mean"], unit, system), _PLACES.get(unit_shown(unit, system), 2))
        sd = number(converted(row["sd"] * (_UM_PER_MM if unit == "mm" else 1.0), _UM, system), 2)
        figures = numbers(
            unit_shown(unit, system), mean, sd,
            beyond_capability(row["cpk"]) or interval(row["cpk"], row["cpk_half_width"]),
            number(100.0 * row["share_out"], 2), number(100.0 * row["share_not_cleaned_up"], 2),
            interval(row["loss_per_part"], row["loss_half_width"]),
        )  # fmt: skip
        cells.append([str(row["variant"]), f"{row['feature']}, {row['characteristic']}", *figures])
    heads = ["variant", "characteristic"]
    more = numbers(
        "unit", "mean", f"sd, {unit_shown(_UM, system)}", "Cpk", "out, %", "not cleaned up, %", f"loss, {money} a part"
    )
    return Sheet("What it does to the drawing, of shipped parts", [*heads, *more], cells, table)
