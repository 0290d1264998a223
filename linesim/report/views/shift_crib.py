"""The crib through a shift: sharp sets on the shelf, sets away, who waited; and edges that broke without being seen."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import number
from linesim.report.views.shift import clock
from linesim.study.one.shift_record import ShiftRecord
from linesim.words import counted
from linesim.works.doing import machine_called

__all__ = ["breaks_sheet", "broken_at", "crib_picture", "crib_sentence"]

_AWAY = {"grinding": "being ground", "presetting": "being preset", "on_order": "on order"}


def crib_sentence(record: ShiftRecord, line: str, minute: float) -> str:
    """How many sharp sets a line finds in the crib at a moment, how many are away, and of which there is none.

    Parameters
    ----------
    record : ShiftRecord
        The shift.
    line : str
        Whose cutters.
    minute : float
        From the start of the shift.

    Returns
    -------
    str
        Empty where the line uses no cutters.
    """
    now = _at(record, line, minute)
    if now.empty:
        return ""
    away = [f"{int(now[column].sum())} {words}" for column, words in _AWAY.items() if now[column].sum()]
    sharp = counted(int(now["on_shelf"].sum()), "sharp set", "sharp sets")
    empty = now.loc[now["on_shelf"] == 0, "cutter"].tolist()
    none_left = f" None left of {', '.join(empty)}." if empty else ""
    return f"In the crib at {clock(minute)}: {', '.join([f'{sharp} on the shelf', *away])}.{none_left}"


def crib_picture(record: ShiftRecord, line: str, light: Light = DAY) -> Picture:
    """Sharp sets on the shelf of each cutter of a line over the shift; an empty shelf stands out.

    Parameters
    ----------
    record : ShiftRecord
        The shift.
    line : str
        Whose cutters.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        With a sheet of how long each shelf was empty, how many sets were away at the most, and who waited.
    """
    cutters = _cutters(record, line)
    minutes = list(range(0, int(record.length_min) + 1, max(1, int(record.length_min) // 480)))
    figure, rows = go.Figure(), [_on_shelf(record, cutter, minutes) for cutter in cutters]
    if rows:
        figure.add_trace(
            go.Heatmap(
                x=minutes, y=list(range(len(cutters))), z=rows, zmin=0, zmax=max(1, *map(max, rows)), ygap=2,
                hovertext=[[name] * len(minutes) for name in hover_names(cutters)],
                colorscale=[[0.0, light.sheet], [1.0, light.accent]],
                colorbar={"title": {"text": "sharp sets"}, "thickness": 10, "outlinewidth": 0, "tickformat": "d",
                          "nticks": 6},
                hovertemplate="%{hovertext}: %{z} on the shelf at %{x} min<extra></extra>",
            )
        )  # fmt: skip
        empty = [(x, at) for at, row in enumerate(rows) for x, sets in zip(minutes, row, strict=True) if sets == 0]
        figure.add_trace(
            go.Scatter(
                x=[x for x, _ in empty], y=[at for _, at in empty], mode="markers", name="none on the shelf",
                marker={"symbol": "line-ns", "size": 9, "line": {"width": 1, "color": light.caution}},
                hoverinfo="skip", showlegend=True,
            )
        )  # fmt: skip
    finish(figure, light, 150 + 24 * len(cutters))
    name_rows(figure, cutters, 34)
    figure.update_xaxes(title="minutes from the start of the shift", range=[0, record.length_min], dtick=60)
    sheet = _sheet(record, line, cutters)
    short = sheet.frame.loc[sheet.frame["empty_min"] > 0.0, "cutter"].tolist()
    empty_of = f"for a time there was none of {', '.join(short)}" if short else "there was always one on each shelf"
    words = f'Sharp sets in the crib under "{record.policy}": {empty_of}.'
    return Picture(figure, words, sheet)


def breaks_sheet(record: ShiftRecord, line: str) -> Sheet:
    """Edges that broke without being seen: when each broke, when that was found, and what it cut meanwhile."""
    own = record.breaks[record.breaks["line"] == line]
    rows: list[list[Cell]] = []
    for row in own.to_dict(orient="records"):
        broke, known_from = float(row["broke_min"]), float(row["found_min"])
        where = machine_called(record.works, line, str(row["operation"]), str(row["machine"]))
        known = math.isfinite(broke) and math.isfinite(known_from)
        rows.append([
            str(row["cutter"]), where,
            clock(broke) if math.isfinite(broke) else "before the shift",
            clock(known_from) if math.isfinite(known_from) else "not in this shift",
            *numbers(number(known_from - broke, 1) if known else "-", str(row["parts"])),
        ])  # fmt: skip
    heads = ["cutter", "at", "broke", "found", *numbers("minutes", "parts cut meanwhile")]
    return Sheet(f'{line} under "{record.policy}": edges that broke without being seen', heads, rows, own)


def broken_at(record: ShiftRecord, line: str, minute: float) -> set[tuple[str, str, str]]:
    """Operation, machine and cutter of each edge that is broken at a moment, of which nobody knows yet."""
    own = record.breaks[record.breaks["line"] == line]
    broke, known_from = own["broke_min"].fillna(-math.inf), own["found_min"].fillna(math.inf)
    now = own[(broke <= minute) & (known_from > minute)]
    return set(zip(now["operation"], now["machine"], now["cutter"], strict=True))


def _cutters(record: ShiftRecord, line: str) -> list[str]:
    """The cutters of a line, in the order of the scenario."""
    used = set(record.edges.loc[record.edges["line"] == line, "cutter"])
    return [name for name in record.works.cutters if name in used]


def _at(record: ShiftRecord, line: str, minute: float) -> pd.DataFrame:
    """Where the sets of each cutter of a line are at a moment."""
    crib = record.crib[record.crib["cutter"].isin(_cutters(record, line)) & (record.crib["minute"] <= minute)]
    return crib.groupby("cutter", sort=False).last().reset_index()


def _on_shelf(record: ShiftRecord, cutter: str, minutes: list[int]) -> list[int]:
    own = record.crib[record.crib["cutter"] == cutter].set_index("minute")["on_shelf"]
    return [int(sets) for sets in own.reindex(minutes, method="ffill")]


def _sheet(record: ShiftRecord, line: str, cutters: list[str]) -> Sheet:
    """One row for each cutter."""
    flat: list[dict[str, Any]] = []
    for cutter in cutters:
        own = record.crib[record.crib["cutter"] == cutter]
        lasted = own["minute"].shift(-1).fillna(record.length_min) - own["minute"]
        empty_min = float(lasted[own["on_shelf"] == 0].sum())
        draws = record.draws[(record.draws["line"] == line) & (record.draws["cutter"] == cutter)]
        flat.append({
            "cutter": cutter, "fewest": int(own["on_shelf"].min()), "empty_min": empty_min,
            "most_grinding": int(own["grinding"].max()), "most_presetting": int(own["presetting"].max()),
            "most_on_order": int(own["on_order"].max()), "drawn": len(draws),
            "waited": int((draws["waited_min"] > 0.0).sum()), "waited_min": float(draws["waited_min"].sum()),
        })  # fmt: skip
    data = pd.DataFrame(flat, columns=_COLUMNS)
    rows: list[list[Cell]] = [
        [row["cutter"], *numbers(str(row["fewest"]), number(row["empty_min"], 1), *(str(row[f"most_{at}"]) for at in
         _AWAY), str(row["drawn"]), str(row["waited"]), number(row["waited_min"], 1))]
        for row in flat
    ]  # fmt: skip
    heads = numbers(
        "fewest on the shelf", "shelf empty, min", "most being ground", "most being preset", "most on order",
        "drawn", "drawn after a wait", "machines waited, min",
    )  # fmt: skip
    return Sheet(f'{line} under "{record.policy}": sharp sets in this shift', ["cutter", *heads], rows, data)


_COLUMNS = [
    "cutter", "fewest", "empty_min", "most_grinding", "most_presetting", "most_on_order", "drawn", "waited",
    "waited_min",
]  # fmt: skip
