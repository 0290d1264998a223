"""Is it up to the drawing: spread against limits, capability, what gauges caught, what an edge makes over its life."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from typing import Any

import plotly.graph_objects as go

from linesim.quality.limits import aim_mm, per_side
from linesim.report.charts.frame import finish, hover_names, name_rows
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import BEYOND, System, beyond_capability, converted, interval, number, unit_shown
from linesim.study.comparing.closely import CloseLook
from linesim.study.one.wear_trail import WearTrail
from linesim.study.questions.in_engine import Cylinder, compression_effect, piston_effect
from linesim.works.doing import called_at

__all__ = [
    "characteristic_names", "drawing_picture", "drawing_sentence", "engine_row", "gauge_sheet", "life_picture",
]  # fmt: skip

_CAPABLE = 1.33
"""The least Cpk that many drawings ask for (common practice, no source)."""


def _name(row: dict[Hashable, Any]) -> str:
    return f"{row['feature']}: {row['characteristic']}"


def drawing_sentence(look: CloseLook, policy: str, line: str) -> str:
    """Which characteristics are capable, and which is the weakest."""
    rows = [row for row in look.drawing_table(policy, line).to_dict(orient="records") if not math.isnan(row["cpk"])]
    if not rows:
        return f'The drawing of {line} asks for nothing that could be judged, or nothing was shipped under "{policy}".'
    weak = [row for row in rows if row["cpk"] < _CAPABLE]
    worst = min(rows, key=lambda row: row["cpk"])
    count = f"all {len(rows)}" if not weak else f"{len(rows) - len(weak)} of {len(rows)}"
    return (
        f'Under "{policy}" {count} characteristics reach a Cpk of {_CAPABLE}. The weakest is {_name(worst)}: Cpk '
        f"{interval(worst['cpk'], worst['cpk_half_width'])}, "
        f"{interval(worst['out_percent'], worst['out_percent_half_width'])} % out of limits."
    )


def drawing_picture(look: CloseLook, policy: str, line: str, system: System = "metric", light: Light = DAY) -> Picture:
    """Every characteristic on one scale: its limits at the edges, its mean and three standard deviations either way.

    Parameters
    ----------
    look : CloseLook
        A close look at the policy.
    policy, line : str
        Which.
    system : {"metric", "inch"}
        For the table.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        A size runs from its lower limit (-100) over the middle (0) to its upper limit (100); what is best small, from
        0 to its limit (100).
    """
    rows = look.drawing_table(policy, line).to_dict(orient="records")
    names = [_name(row) for row in rows]
    spots = [_on_scale(row) for row in rows]
    is_weak = [bool(row["cpk"] < _CAPABLE) for row in rows]
    capable = [beyond_capability(row["cpk"]) or number(row["cpk"], 2) for row in rows]
    hovers = [f"{name}<br>Cpk {cpk}" for name, cpk in zip(hover_names(names), capable, strict=True)]
    figure = go.Figure()
    figure.add_trace(
        go.Scatter(
            x=[mean for mean, _ in spots], y=list(range(len(rows))), mode="markers",
            error_x={"type": "data", "array": [3.0 * sd for _, sd in spots], "symmetric": False,
                     "arrayminus": [_below(row, *spot) for row, spot in zip(rows, spots, strict=True)],
                     "thickness": 4, "width": 0, "color": light.accent},
            marker={"size": 13, "symbol": ["x" if weak else "diamond" for weak in is_weak],
                    "color": [light.caution if weak else light.accent for weak in is_weak]},
            hovertext=hovers,
            hovertemplate="%{hovertext}<extra></extra>", showlegend=False,
        )
    )  # fmt: skip
    for at in (-100.0, 100.0):
        figure.add_vline(x=at, line={"color": light.caution, "dash": "dash", "width": 1.5})
    furthest = max([140.0, *(abs(mean) + 3.0 * sd + 8.0 for mean, sd in spots if not math.isnan(sd))])
    figure.update_xaxes(
        title="mean and ±3 standard deviations; 100 is a limit", tickvals=[-100, -50, 0, 50, 100],
        ticktext=["lower limit", "-50", "middle, or 0", "50", "upper limit"], range=[-furthest, furthest],
    )  # fmt: skip
    name_rows(figure, names, 30)
    figure.update_yaxes(showgrid=True, gridcolor=light.rule)
    finish(figure, light, 100 + 25 * max(len(rows), 2))
    words = f"{drawing_sentence(look, policy, line)} Crosses fall short of {_CAPABLE}, diamonds reach it."
    return Picture(figure, words, _sheet(look, rows, policy, line, system))


def _on_scale(row: dict[Hashable, Any]) -> tuple[float, float]:
    """Mean and standard deviation on the scale of the limits."""
    lower, upper = row["lower"], row["upper"]
    middle, half = (0.0, upper) if math.isnan(lower) else ((lower + upper) / 2.0, (upper - lower) / 2.0)
    return 100.0 * (row["mean"] - middle) / half, 100.0 * row["sd"] / half


def _below(row: dict[Hashable, Any], mean: float, sd: float) -> float:
    """Three standard deviations downward, but not below nothing where smaller is better."""
    return 3.0 * sd if not math.isnan(row["lower"]) else min(3.0 * sd, mean)


def _sheet(look: CloseLook, rows: Sequence[dict[Hashable, Any]], policy: str, line: str, system: System) -> Sheet:
    cells: list[list[Cell]] = []
    for row in rows:
        unit = str(row["unit"])
        places = (4 if system == "metric" else 5) if unit == "mm" else 2 if system == "metric" else 1
        shown = [number(converted(row[name], unit, system), places) for name in ("lower", "upper", "mean", "sd")]
        shown.append(beyond_capability(row["cp"]) or number(row["cp"], 2))
        shown.append(beyond_capability(row["cpk"]) or interval(row["cpk"], row["cpk_half_width"]))
        cells.append(
            [
                str(row["feature"]), str(row["characteristic"]), unit_shown(unit, system),
                *numbers(*shown, interval(row["out_percent"], row["out_percent_half_width"]), number(row["loss"], 2)),
            ]
        )  # fmt: skip
    heads: list[Cell] = [
        "feature", "what", "unit",
        *numbers("lower", "upper", "mean", "s", "Cp", "Cpk", "% out", f"loss, {look.works.currency}"),
    ]  # fmt: skip
    caption = f'{line} under "{policy}": what the drawing asks and what is made; mean of {look.n} runs ± half width'
    if any(beyond_capability(row["cpk"]) for row in rows):
        caption += f". {BEYOND}"
    return Sheet(caption, heads, cells, look.drawing_table(policy, line))


def gauge_sheet(look: CloseLook, policy: str, line: str) -> Sheet:
    """What each gauge caught, missed and turned down wrongly."""
    table = look.gauge_table(policy, line)
    rows: list[list[Cell]] = [
        [called_at(look.works, line, str(row["operation"])), str(row["gauge"]), str(row["feature"]),
         *numbers(*(number(float(row[name]), 0) for name in
                    ("readings", "caught", "missed", "false_alarms", "corrections")),
                  "no bad one read" if math.isnan(row["caught_percent"]) else number(row["caught_percent"], 1))]
        for row in table.to_dict(orient="records")
    ]  # fmt: skip
    heads = ["after", "gauge", "reads", *numbers("readings", "bad, caught", "bad, missed", "good, turned down",
                                                 "offsets set", "caught, %")]  # fmt: skip
    return Sheet(f'{line} under "{policy}": what the gauges did in {look.n} runs together', heads, rows, table)


def characteristic_names(trail: WearTrail, line: str) -> dict[str, tuple[str, str]]:
    """What can be followed over the life of an edge: its words, feature and value."""
    choices = {}
    for name in dict.fromkeys(trail.values.loc[trail.values["line"] == line, "feature"]):
        feature = trail.works.lines[line].features[str(name)]
        if feature.size is not None:
            choices[f"{name}: size"] = (str(name), "error_um")
        if feature.roughness is not None:
            choices[f"{name}: roughness"] = (str(name), "ra_um")
    return choices


def life_picture(
    trail: WearTrail, line: str, feature: str, value: str, system: System = "metric", light: Light = DAY
) -> Picture:
    """A characteristic against the parts that its edge had made, with its limits; and its mean and spread.

    Parameters
    ----------
    trail : WearTrail
        Some shifts, part by part.
    line, feature : str
        Which.
    value : {"error_um", "ra_um"}
        Which value.
    system : {"metric", "inch"}
        Units shown.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
    """
    own = trail.values[(trail.values["line"] == line) & (trail.values["feature"] == feature)]
    bins = trail.by_parts(line, feature, value)
    factor, unit = converted(1.0, "µm", system), unit_shown("µm", system)
    figure = go.Figure()
    figure.add_trace(
        go.Scatter(
            x=own["parts_since_change"], y=own[value] * factor, mode="markers", name="a place of a part",
            marker={"size": 5, "color": light.faint, "opacity": 0.5}, customdata=own["serial"],
            hovertemplate=f"part %{{customdata}}: %{{y:.2f}} {unit}<extra></extra>",
        )
    )  # fmt: skip
    middle = (bins["from_part"] + bins["to_part"]) / 2.0
    figure.add_trace(
        go.Scatter(
            x=middle, y=bins["mean"] * factor, mode="lines+markers", name="mean ± standard deviation",
            error_y={"type": "data", "array": bins["sd"].fillna(0.0) * factor, "thickness": 1.5},
            line={"color": light.accent, "width": 3}, marker={"size": 9, "symbol": "diamond"},
            hovertemplate=f"mean %{{y:.2f}} {unit}<extra></extra>",
        )
    )  # fmt: skip
    for limit in _limits(trail, line, feature, value):
        figure.add_hline(y=limit * factor, line={"color": light.caution, "dash": "dash", "width": 1.5},
                         annotation_text="limit", annotation_font_color=light.caution)  # fmt: skip
    cutter = str(own["cutter"].iloc[0]) if len(own) else ""
    operation = called_at(trail.works, line, str(own["operation"].iloc[0])) if len(own) else ""
    what = "error per side from the aim" if value == "error_um" else "Ra"
    figure.update_xaxes(title=f"parts made since {in_picture(cutter)} was changed", rangemode="tozero")
    figure.update_yaxes(title=f"{what}, {unit}")
    finish(figure, light, 400)
    rows: list[list[Cell]] = [
        [f"{row['from_part']} to {row['to_part']}",
         *numbers(str(row["n"]), number(row["mean"] * factor, 2), number(row["sd"] * factor, 2))]
        for row in bins.to_dict(orient="records")
    ]  # fmt: skip
    caption = (
        f'{feature} after {operation} under "{trail.policy}": {what}, {unit}, within the life of {cutter}; '
        f"{trail.shifts} shifts of one run"
    )
    heads = ["parts since the change", *numbers("values", "mean", "standard deviation")]
    return Picture(figure, caption, Sheet(caption, heads, rows, bins))


def _limits(trail: WearTrail, line: str, name: str, value: str) -> list[float]:
    feature = trail.works.lines[line].features[name]
    if value == "ra_um":
        asked = feature.roughness
        return [] if asked is None else [asked.high] if asked.limits is None else list(asked.limits)
    return list(per_side(feature, feature.size.limits, aim_mm(feature))) if feature.size else []


def engine_row(
    look: CloseLook, policy: str, line: str, cylinder: Cylinder, piston_mm: float, system: System = "metric"
) -> list[tuple[str, str, str]]:
    """What the sizes of a line mean in the engine, as far as their kind says.

    Parameters
    ----------
    look : CloseLook
        A close look at the policy.
    policy, line : str
        Which.
    cylinder : Cylinder
        The engine as designed, which no scenario says.
    piston_mm : float, mm
        Diameter of the pistons.
    system : {"metric", "inch"}
        Units shown.

    Returns
    -------
    list of (str, str, str)
        Name, figure, and between what limits 95 in 100 lie: piston clearance for bores within a tenth of the cylinder's
        bore, compression ratio for faces with a height and for depths, run-outs as they are.
    """
    figures = []
    for row in look.drawing_table(policy, line).to_dict(orient="records"):
        feature = look.works.lines[line].features[str(row["feature"])]
        if row["characteristic"] != "size" or math.isnan(row["mean"]) or math.isnan(row["sd"]):
            continue
        if feature.kind == "bore" and abs(row["aim"] - cylinder.bore_mm) < 0.1 * cylinder.bore_mm:
            effect = piston_effect(row["mean"], row["sd"], piston_mm)
            shown = [number(converted(value, "mm", system), 4) for value in effect]
            name, unit = f"{row['feature']}: piston clearance", unit_shown("mm", system)
            figures.append((name, f"{shown[0]} {unit}", f"95 in 100 from {shown[1]} to {shown[2]}"))
        elif (feature.kind == "face" and row["aim"] > cylinder.stroke_mm) or feature.kind == "depth":
            effect = compression_effect(cylinder, row["mean"] - row["aim"], row["sd"])
            name, shown = f"{row['feature']}: compression ratio", [number(value, 2) for value in effect]
            figures.append((name, shown[0], f"95 in 100 from {shown[1]} to {shown[2]}"))
        elif feature.kind == "run-out":
            shown = [number(converted(row[key], "mm", system), 4) for key in ("mean", "upper")]
            figures.append(
                (f"{row['feature']}: run-out", f"{shown[0]} {unit_shown('mm', system)}", f"limit {shown[1]}")
            )
    return figures
