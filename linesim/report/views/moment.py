"""The floor at one moment of a shift; edges as they dull; parts as they pass."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import pandas as pd
import plotly.graph_objects as go

from linesim.plan.tally import State
from linesim.quality.limits import aim_mm, per_side
from linesim.report.charts.frame import finish, finished, fit_reader, hover_names, named_rows
from linesim.report.theme.colours import DAY, HATCH_INK, STATE_COLOURS, STATE_HATCH, Light, policy_colours
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture, short_labels
from linesim.report.theme.shown import System, converted, number, state_shown, unit_shown
from linesim.report.views.shift import clock
from linesim.report.views.shift_crib import broken_at, crib_sentence
from linesim.study.one.shift_record import ShiftRecord
from linesim.words import counted
from linesim.works.doing import called_at, machine_called
from linesim.works.features import Feature

__all__ = ["characteristics_of", "edge_picture", "events_of", "floor_picture", "part_picture"]

_DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")
_SIGNS = ("circle", "diamond", "square", "triangle-up", "cross", "x")
_TITLES = ("what it does", "waiting before it", "life share of its cutters")
_PARTS_OF_WIDTH = ((0.0, 0.3948), (0.4248, 0.5752), (0.6052, 1.0))


def events_of(record: ShiftRecord, line: str) -> list[float]:
    """Moments at which something worth a look happens: changes, stops, scrap, edges that break and are found."""
    changes = record.changes.loc[record.changes["line"] == line, "minute"]
    scrap = record.parts.loc[(record.parts["line"] == line) & (record.parts["outcome"] == "scrapped"), "minute"]
    stops = record.moments.loc[(record.moments["line"] == line) & (record.moments["kind"] == "stop"), "start_min"]
    unseen = record.breaks.loc[record.breaks["line"] == line, ["broke_min", "found_min"]].stack()
    return sorted({round(float(minute), 2) for minute in (*changes, *scrap, *stops, *unseen.dropna())})


def floor_picture(record: ShiftRecord, line: str, minute: float, light: Light = DAY) -> Picture:
    """What every machine does at one moment, what stands before it, and how far its cutters have gone.

    Parameters
    ----------
    record : ShiftRecord
        The shift.
    line : str
        Which line.
    minute : float
        From the start of the shift.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        A row for each machine, in the order of the routing.
    """
    rows = _at(record, line, minute)
    places, colours = list(range(len(rows))), [STATE_COLOURS[row["state"]] for row in rows]
    doing = go.Bar(
        y=places, x=[0.5] * len(rows), orientation="h", text=[state_shown(row["state"]) for row in rows],
        textposition="outside", cliponaxis=False, width=0.7, xaxis="x", yaxis="y",
        marker={
            "color": colours,
            "pattern": {"shape": [STATE_HATCH[row["state"]].shape for row in rows], "fgcolor": HATCH_INK, "size": 5,
                        "bgcolor": colours},
        }, hoverinfo="skip", showlegend=False,
    )  # fmt: skip
    waiting = go.Bar(
        y=places, x=[row["stock"] or 0 for row in rows], orientation="h", marker={"color": light.faint},
        text=["" if row["stock"] is None else str(row["stock"]) for row in rows], textposition="outside",
        cliponaxis=False, hoverinfo="skip", showlegend=False, width=0.5, xaxis="x2", yaxis="y2",
    )  # fmt: skip
    figure = go.Figure([doing, waiting, _edge_marks(rows, light)], _floor_layout(rows, light))
    fit_reader(figure)
    at = clock(minute)
    busy = sum(1 for row in rows if row["state"] == "cutting")
    words = f'The floor at {at} under "{record.policy}": {busy} of {len(rows)} machines are cutting.'
    words = f"{words} {crib_sentence(record, line, minute)}".rstrip()
    return Picture(figure, words, _floor_sheet(rows, f'{line} at {at}, under "{record.policy}"'))


def _floor_layout(rows: Sequence[dict[str, Any]], light: Light) -> dict[str, Any]:
    """Three parts side by side over the same rows, laid out in one go: put together piece by piece, Plotly is slow."""
    most = max((row["stock"] or 0 for row in rows), default=0)
    furthest = max((edge.share for row in rows for edge in row["edges"]), default=1.0)
    ranges: tuple[dict[str, Any], ...] = (
        {"range": [0, 6.5], "visible": False, "fixedrange": True},
        {"range": [0, 1.3 * max(most, 4)], "visible": False, "fixedrange": True},
        {"range": [0, max(1.25, 1.08 * furthest)], "gridcolor": light.rule},
    )
    layout, named = finished(light, 84 + 25 * len(rows)), named_rows([row["called"] for row in rows], 34)
    for at, (title, (begin, end), of_range) in enumerate(zip(_TITLES, _PARTS_OF_WIDTH, ranges, strict=True), 1):
        number, beside = ("", {}) if at == 1 else (at, {"matches": "y", "showticklabels": False})
        across, down = (layout.get(f"{axis}axis{number}", {}) for axis in "xy")
        layout[f"xaxis{number}"] = across | {"anchor": f"y{number}", "domain": [begin, end], **of_range}
        layout[f"yaxis{number}"] = down | named | {"anchor": f"x{number}", "domain": [0, 1]} | beside
        layout.setdefault("annotations", []).append(
            {"text": title, "x": (begin + end) / 2, "y": 1.0, "xref": "paper", "yref": "paper", "xanchor": "center",
             "yanchor": "bottom", "showarrow": False, "font": {"size": 16}}
        )  # fmt: skip
    dull = {"color": light.caution, "dash": "dash", "width": 1.5}
    layout["shapes"] = [{"type": "line", "line": dull, "x0": 1.0, "x1": 1.0, "xref": "x3", "y0": 0, "y1": 1,
                         "yref": "y3 domain"}]  # fmt: skip
    return layout


def _edge_marks(rows: Sequence[dict[str, Any]], light: Light) -> go.Scatter:
    """One mark for each mounted cutter, at its life share; 1 is dull."""
    points = [(at, edge) for at, row in enumerate(rows) for edge in row["edges"]]
    edges = [edge for _, edge in points]
    return go.Scatter(
        x=[edge.share for edge in edges], y=[at for at, _ in points], mode="markers", xaxis="x3", yaxis="y3",
        marker={
            "size": [15 if edge.is_broken else 12 for edge in edges],
            "symbol": ["star" if edge.is_broken else "x" if edge.share > 1.0 else "diamond" for edge in edges],
            "color": [light.caution if edge.is_broken or edge.share > 1.0 else light.accent for edge in edges],
        },
        hovertext=[edge.words(in_picture(edge.cutter, 40)) for edge in edges],
        hovertemplate="%{hovertext}<extra></extra>", showlegend=False,
    )  # fmt: skip


def _at(record: ShiftRecord, line: str, minute: float) -> list[dict[str, Any]]:
    """Every machine of a line at a moment."""
    states = record.states[record.states["line"] == line]
    is_now = (states["start_min"] <= minute) & (states["end_min"] > minute)
    now = states[is_now].set_index(["operation", "machine"])["state"].to_dict()
    stock = record.stock[(record.stock["line"] == line) & (record.stock["minute"] <= minute)]
    waiting = stock.groupby("operation", sort=False)["parts"].last().to_dict()
    order = {name: at for at, name in enumerate(record.works.lines[line].operations)}
    pairs = states[["operation", "machine"]].drop_duplicates().itertuples(index=False)
    edges = _edges_at(record, line, minute)
    return [
        {
            "operation": operation,
            "machine": machine,
            "called": machine_called(record.works, line, operation, machine),
            "state": str(now.get((operation, machine), State.WAITING_FOR_PART.words)),
            "stock": None if order[operation] == 0 else int(waiting.get(operation, 0)),
            "edges": edges.get((operation, machine), []),
        }
        for operation, machine in sorted(map(tuple, pairs), key=lambda pair: (order[pair[0]], pair[1]))
    ]


class _EdgeNow(NamedTuple):
    """A mounted cutter at a moment."""

    cutter: str
    share: float
    parts: int
    is_broken: bool

    def words(self, called: str) -> str:
        """How it stands, under a name that is harmless where it is shown."""
        broken = "; broken, and nobody knows yet" if self.is_broken else ""
        return f"{called}: {self.share:.2f} of its life, {self.parts} parts{broken}"


def _edges_at(record: ShiftRecord, line: str, minute: float) -> dict[tuple[str, str], list[_EdgeNow]]:
    """Every edge of a line at a moment, by operation and machine."""
    edges, broken = record.edges, broken_at(record, line, minute)
    own = edges[(edges["line"] == line) & (edges["minute"] <= minute)]
    columns = (own[name].tolist() for name in ("operation", "machine", "cutter", "life_share", "parts"))
    now: dict[tuple[str, str], dict[str, _EdgeNow]] = {}
    for operation, machine, cutter, share, parts in zip(*columns, strict=True):  # the last word on an edge stands
        edge = _EdgeNow(str(cutter), float(share), int(parts), (operation, machine, str(cutter)) in broken)
        now.setdefault((operation, machine), {})[str(cutter)] = edge
    return {place: list(of.values()) for place, of in now.items()}


def _floor_sheet(rows: Sequence[dict[str, Any]], caption: str) -> Sheet:
    cells: list[list[Cell]] = []
    flat = []
    for row in rows:
        edges = "; ".join(
            f"{edge.cutter} {edge.share:.2f} ({edge.parts} parts{', broken unseen' if edge.is_broken else ''})"
            for edge in row["edges"]
        )
        stock = "castings" if row["stock"] is None else str(row["stock"])
        cells.append([row["called"], state_shown(row["state"]), *numbers(stock), edges or "none"])
        flat.append({"machine": row["machine"], "state": row["state"], "waiting_before": row["stock"], "edges": edges})
    heads = ["machine", "does", *numbers("parts before it"), "life share of its cutters (parts since sharp)"]
    return Sheet(caption, heads, cells, pd.DataFrame(flat))


def edge_picture(record: ShiftRecord, line: str, operation: str, light: Light = DAY) -> Picture:
    """The life share of every cutter of an operation over the shift, as it dulls and is changed."""
    own = record.edges[(record.edges["line"] == line) & (record.edges["operation"] == operation)]
    figure = go.Figure()
    groups = list(own.groupby(["machine", "cutter"], sort=False))
    several = own["machine"].nunique() > 1
    names = [f"{cutter} on {machine}" if several else str(cutter) for (machine, cutter), _ in groups]
    colours = list(policy_colours(tuple(map(str, range(len(groups))))).values())
    for at, (label, (_, group)) in enumerate(zip(short_labels(names, 30), groups, strict=True)):
        figure.add_trace(
            go.Scatter(
                x=group["minute"], y=group["life_share"], mode="lines+markers", customdata=group["parts"],
                name=in_picture(label, 60), hovertext=hover_names([names[at]] * len(group)),
                line={"color": colours[at], "dash": _DASHES[at % len(_DASHES)], "width": 2},
                marker={"symbol": _SIGNS[at % len(_SIGNS)], "size": 6},
                hovertemplate="%{hovertext}<br>%{x:.0f} min: %{y:.2f} of its life, %{customdata} parts"
                              "<extra></extra>",
            )
        )  # fmt: skip
    figure.add_hline(y=1.0, line={"color": light.caution, "dash": "dash", "width": 1.5},
                     annotation_text="dull", annotation_font_color=light.caution)  # fmt: skip
    figure.update_xaxes(title="minutes from the start of the shift", range=[0, record.length_min], dtick=60)
    figure.update_yaxes(title="life share", rangemode="tozero")
    finish(figure, light, 330)
    changes = record.changes[(record.changes["line"] == line) & (record.changes["operation"] == operation)]
    rows: list[list[Cell]] = [
        [clock(row["minute"]), str(row["machine"]), str(row["cutter"]), str(row["why"]),
         *numbers(number(row["life_share"], 2), str(row["parts"]))]
        for row in changes.to_dict(orient="records")
    ]  # fmt: skip
    heads = ["at", "machine", "cutter", "why", *numbers("life share then", "parts made")]
    where = f'{called_at(record.works, line, operation)} under "{record.policy}"'
    words = f"{where}: {len(changes)} cutter changes in this shift. Life share over time; 1 is dull."
    return Picture(figure, words, Sheet(f"{where}: cutters changed in this shift", heads, rows, own))


def characteristics_of(record: ShiftRecord, line: str) -> dict[str, tuple[str, str]]:
    """What of a part can be followed: its words, and feature and value (``error_um``, ``ra_um``)."""
    choices = {}
    for name, feature in record.works.lines[line].features.items():
        if feature.size is not None:
            choices[f"{name}: size"] = (name, "error_um")
        if feature.roughness is not None:
            choices[f"{name}: roughness"] = (name, "ra_um")
    return choices


def part_picture(
    record: ShiftRecord, line: str, feature_name: str, value: str, system: System = "metric", light: Light = DAY
) -> Picture:
    """A characteristic of the parts as they leave the operation that cuts it last, part after part, with its limits."""
    feature = record.works.lines[line].features[feature_name]
    unit = unit_shown("µm", system)
    own = _passing(record, line, feature_name, feature, value)
    factor = converted(1.0, "µm", system)
    figure = go.Figure()
    places = [column for column in own.columns if str(column).endswith(value)]
    labels = short_labels([str(column).removesuffix(f" {value}") for column in places], 28)
    for at, column in enumerate(places):
        figure.add_trace(
            go.Scatter(
                x=own["minute"], y=own[column] * factor, mode="markers", customdata=own["serial"],
                name=in_picture(labels[at], 56),
                marker={"symbol": _SIGNS[at % len(_SIGNS)], "size": 8,
                        "color": list(policy_colours(tuple(map(str, places))).values())[at]},
                hovertemplate="part %{customdata}, %{fullData.name}<br>%{x:.0f} min: %{y:.2f} "
                              f"{unit}<extra></extra>",
            )
        )  # fmt: skip
    for limit in _limits(feature, value):
        figure.add_hline(y=limit * factor, line={"color": light.caution, "dash": "dash", "width": 1.5},
                         annotation_text="limit", annotation_font_color=light.caution)  # fmt: skip
    operation = "" if own.empty else called_at(record.works, line, str(own["operation"].iloc[0]))
    what = "error per side from the aim" if value == "error_um" else "Ra"
    figure.update_xaxes(title=f"minutes from the start of the shift, after {in_picture(operation, 60)}",
                        range=[0, record.length_min], dtick=60)  # fmt: skip
    figure.update_yaxes(title=f"{what}, {unit}")
    finish(figure, light, 360)
    rows: list[list[Cell]] = [
        [str(row["serial"]), clock(row["minute"]), *numbers(*(number(row[column] * factor, 2) for column in places))]
        for row in own.to_dict(orient="records")
    ]
    heads = ["part", "at", *numbers(*(str(column).removesuffix(f" {value}") for column in places))]
    caption = f'{feature_name} after {operation} under "{record.policy}": {what}, {unit}; true values'
    return Picture(figure, f"{caption}, {counted(len(own), 'part', 'parts')}.", Sheet(caption, heads, rows, own))


def _passing(record: ShiftRecord, line: str, name: str, feature: Feature, value: str) -> pd.DataFrame:
    """Parts at the operation that cuts a feature last."""
    makers = [
        operation_name
        for operation_name, operation in record.works.lines[line].operations.items()
        if any(cut.feature == name for stroke in operation.strokes.values() for cut in stroke.cuts.values())
    ]
    last = makers[-1] if makers else list(record.works.lines[line].operations)[-1]
    columns = [name] if feature.places == 1 else [f"{name} {place + 1}" for place in range(feature.places)]
    wanted = ["serial", "operation", "machine", "minute", *(f"{column} {value}" for column in columns)]
    own = record.parts[(record.parts["line"] == line) & (record.parts["operation"] == last)]
    return own.reindex(columns=wanted).reset_index(drop=True)


def _limits(feature: Feature, value: str) -> list[float]:
    """Limits, µm."""
    if value == "ra_um":
        asked = feature.roughness
        return [] if asked is None else [asked.high] if asked.limits is None else list(asked.limits)
    return list(per_side(feature, feature.size.limits, aim_mm(feature))) if feature.size else []
