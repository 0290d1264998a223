"""What the pages on a shift and on the routing show is what the record and the desk hold, cell by cell."""

from __future__ import annotations

import re
from typing import Any

import pandas as pd
import pytest

from linesim.desk import Desk, desk_figures
from linesim.report.theme.shown import System
from linesim.report.views import moment as moment_view
from linesim.report.views import shift as shift_view
from linesim.report.views.routing_picture import constraint_words, routing_picture
from linesim.study.one.shift_record import ShiftRecord, record_shift
from linesim.works import changed, load_works
from tests.unit.cells import assert_column, assert_columns, column, figure_of, is_shown_as, key_of, text_of
from tests.unit.dashboard_app import SCENARIOS

SEVERAL = {"lines": {"block": {"operations": {"Op 20": {"machines": 2}}}}}
WORKS = changed(load_works(SCENARIOS / "block-line.yaml"), SEVERAL)
LINE, POLICY = "block", "run until it breaks"
SHOWN = {"held up": "held up (blocked)", "waiting for a part": "waiting for a part (starved)"}


@pytest.fixture(scope="module")
def record() -> ShiftRecord:
    return record_shift(WORKS, POLICY, 3)


def labels(figure: Any, axis: str = "yaxis") -> list[str]:
    return list(figure.layout[axis].ticktext)


def test_every_stretch_of_a_state_is_drawn_where_it_was(record: ShiftRecord) -> None:
    figure = shift_view.shift_picture(record, LINE, 100.0).figure
    machines = list(map(key_of, labels(figure)))
    drawn = {
        (machines[row], trace.name, float(base), float(length))
        for trace in figure.data
        if trace.type == "bar"
        for row, base, length in zip(trace.y, trace.base, trace.x, strict=True)
    }
    assert drawn == {
        (row["machine"], SHOWN.get(row["state"], row["state"]), row["start_min"], row["end_min"] - row["start_min"])
        for row in record.states.to_dict(orient="records")
    }
    assert {trace.width for trace in figure.data if trace.type == "bar"} == {0.85}  # no bar covers its neighbour's row
    assert machines.index("Op 20 No. 1") + 1 == machines.index("Op 20 No. 2") == 2
    assert next(shape.x0 for shape in figure.layout.shapes) == 100.0


def test_stock_is_drawn_before_its_operation_minute_by_minute(record: ShiftRecord) -> None:
    figure = shift_view.shift_picture(record, LINE).figure
    (heat,) = [trace for trace in figure.data if trace.type == "heatmap"]
    operations = list(map(key_of, labels(figure, "yaxis2")))
    assert operations == list(WORKS.lines[LINE].operations)[1:]
    for name, row in zip(operations, heat.z, strict=True):
        own = record.stock[record.stock["operation"] == name]
        for minute, parts in zip(heat.x, row, strict=True):
            assert parts == own[own["minute"] <= minute]["parts"].iloc[-1]


def test_minutes_of_states_and_waits_add_up_by_machine(record: ShiftRecord) -> None:
    own = record.states.assign(minutes=record.states["end_min"] - record.states["start_min"])
    sheet = shift_view.shift_picture(record, LINE).sheet
    machines = list(map(key_of, column(sheet, "machine")))
    for state in own["state"].unique():
        sums = own[own["state"] == state].groupby("machine")["minutes"].sum()
        assert_column(sheet, SHOWN.get(state, state), [sums.get(name, 0.0) for name in machines])
    waits = shift_view.waits_sheet(record, LINE)
    for whom, by, minutes, times, longest in (map(text_of, row) for row in waits.rows):
        state = "held up" if "blocked" in whom else f"waiting for {re.sub(r' .starved.$', '', whom)}"
        stretches = own[(own["state"] == state) & (own["machine"] == key_of(by))]["minutes"]
        assert is_shown_as(minutes, stretches.sum())
        assert int(times) == len(stretches)
        assert is_shown_as(longest, stretches.max())
    shown = [figure_of(text_of(row[2])) for row in waits.rows]
    assert shown == sorted(shown, reverse=True)


def test_the_dearest_moments_have_their_minute_length_and_cost(record: ShiftRecord) -> None:
    sheet = shift_view.moment_sheet(record, LINE)
    top = record.moments.head(len(sheet.rows))
    assert column(sheet, "at") == [f"{int(m // 60)}:{int(m % 60):02d}" for m in top["start_min"]]
    assert column(sheet, "what") == top["words"].to_list()
    assert_columns(sheet, {"minutes": top["minutes"], WORKS.currency: top["cost"]})
    assert f"priced at {record.price_per_minute[LINE]:.2f} {WORKS.currency}" in sheet.caption


@pytest.mark.parametrize("minute", [33.0, 200.0, 401.5])
def test_the_floor_at_a_moment_is_what_the_record_has_then(record: ShiftRecord, minute: float) -> None:
    picture = moment_view.floor_picture(record, LINE, minute)
    does, waiting, edges = picture.figure.data
    machines = labels(picture.figure)
    assert machines == column(picture.sheet, "machine")
    machines = list(map(key_of, machines))
    now = record.states[(record.states["start_min"] <= minute) & (record.states["end_min"] > minute)]
    states = now.set_index("machine")["state"].to_dict()
    assert list(does.text) == [SHOWN.get(states[name], states[name]) for name in machines]
    assert column(picture.sheet, "does") == list(does.text)
    before = record.stock[record.stock["minute"] <= minute].groupby("operation")["parts"].last()
    stocks = ["castings" if name == "Op 10" else str(before[name.split(" No. ")[0]]) for name in machines]
    assert column(picture.sheet, "parts before it") == stocks
    assert list(waiting.x) == [0 if text == "castings" else int(text) for text in stocks]
    last = record.edges[record.edges["minute"] <= minute].groupby(["machine", "cutter"])["life_share"].last()
    drawn = {(machines[row], re.split(": ", text)[0]): share
             for row, share, text in zip(edges.y, edges.x, edges.hovertext, strict=True)}  # fmt: skip
    assert drawn == last.to_dict()
    assert [mark == "x" for mark in edges.marker.symbol] == [share > 1.0 for share in edges.x]


def test_edges_are_drawn_as_they_dull_and_each_change_has_its_row(record: ShiftRecord) -> None:
    picture = moment_view.edge_picture(record, LINE, "Op 60")
    own = record.edges[record.edges["operation"] == "Op 60"]
    assert {trace.name for trace in picture.figure.data} == set(own["cutter"])
    for trace in picture.figure.data:
        rows = own[own["cutter"] == trace.name]
        assert list(trace.x) == rows["minute"].to_list()
        assert list(trace.y) == rows["life_share"].to_list()
    changes = record.changes[record.changes["operation"] == "Op 60"]
    assert column(picture.sheet, "cutter") == changes["cutter"].to_list()
    assert column(picture.sheet, "why") == changes["why"].to_list()
    assert_columns(picture.sheet, {"life share then": changes["life_share"], "parts made": changes["parts"]})


@pytest.mark.parametrize(("system", "unit", "factor"), [("metric", "µm", 1.0), ("inch", "µin", 1000.0 / 25.4)])
@pytest.mark.parametrize("value", ["error_um", "ra_um"])
def test_parts_pass_with_their_true_values_and_limits(
    record: ShiftRecord, value: str, system: System, unit: str, factor: float
) -> None:
    picture = moment_view.part_picture(record, LINE, "cylinder bores", value, system)
    own = record.parts[record.parts["operation"] == "Op 90"]
    for number, trace in enumerate(picture.figure.data, start=1):
        assert trace.name == f"cylinder bores {number}"
        assert list(trace.x) == own["minute"].to_list()
        wanted = (own[f"cylinder bores {number} {value}"] * factor).to_list()
        assert list(trace.y) == pytest.approx(wanted, nan_ok=True)
        assert_column(picture.sheet, trace.name, wanted)
    assert column(picture.sheet, "part") == [str(serial) for serial in own["serial"]]
    assert str(picture.figure.layout.yaxis.title.text).endswith(f", {unit}")
    feature = WORKS.lines[LINE].features["cylinder bores"]
    limits = [shape.y0 for shape in picture.figure.layout.shapes]
    if value == "ra_um":
        assert limits == pytest.approx([limit * factor for limit in feature.roughness.limits])  # type: ignore[union-attr]
    else:  # a bore's limits of size are those of its diameter, twice what stands per side
        low, high = feature.size.limits  # type: ignore[union-attr]
        assert limits[1] - limits[0] == pytest.approx((high - low) * 500.0 * factor)


@pytest.fixture(scope="module")
def desk() -> Desk:
    return desk_figures(WORKS, "full life")


def test_the_routing_has_the_desk_s_minutes_shared_by_like_machines(desk: Desk) -> None:
    picture = routing_picture(WORKS, desk, LINE)
    rows = desk.operations
    names = [re.sub(r"^<b>|</b>.*", "", label) for label in labels(picture.figure, "xaxis2")]
    assert names == rows["operation"].to_list()
    columns = {
        "loading and unloading": "handling_min",
        "cutting": "cutting_min",
        "gauging": "gauging_min",
        "changing cutters": "change_min",
        "checking edges": "look_min",
        "breakdowns": "breakdown_min",
        "first pieces": "first_piece_min",
    }
    bars = [trace for trace in picture.figure.data if trace.type == "bar"]
    assert {"cutting", "gauging", "changing cutters"} <= {trace.name for trace in bars} <= set(columns)
    for trace in bars:
        assert list(trace.y) == pytest.approx((rows[columns[trace.name]] / rows["machines"]).to_list())
    held = desk.constraints.set_index("line").at[LINE, "operation"]
    own = rows.set_index("operation").loc[held]
    height = next(shape.y0 for shape in picture.figure.layout.shapes)
    assert height == pytest.approx(own["minutes_per_part"] / own["machines"])
    (machines,) = [trace for trace in picture.figure.data if trace.name == "machines"]
    thick = [name for name, width in zip(machines.customdata, machines.marker.line.width, strict=True) if width > 2.0]
    assert thick == [held]
    assert list(machines.text) == ["2×" if name == "Op 20" else "" for name in names]


def test_the_table_of_the_routing_has_the_desk_s_columns(desk: Desk) -> None:
    sheet, rows = routing_picture(WORKS, desk, LINE).sheet, desk.operations
    assert_columns(
        sheet,
        {
            "machines": rows["machines"], "handling": rows["handling_min"], "cutting": rows["cutting_min"],
            "gauging": rows["gauging_min"], "changes": rows["change_min"] + rows["look_min"],
            "first pieces": rows["first_piece_min"],
            "breakdowns": rows["breakdown_min"], "together": rows["minutes_per_part"],
            "parts/h": rows["parts_per_hour"], "load %": rows["load_percent"],
        },
    )  # fmt: skip
    assert column(sheet, "room before") == ["castings", *(str(room) for room in rows["buffer"].iloc[1:])]


def test_the_constraint_is_told_with_its_rate_and_its_policy(desk: Desk) -> None:
    row = desk.constraints.iloc[0]
    words = constraint_words(WORKS, desk)
    assert f"{row['operation']} (bore cylinders) holds the line back" in words
    assert f"can do {row['parts_per_hour']:.2f} parts an hour" in words
    assert f"one every {row['minutes_per_part']:.1f} minutes" in words
    assert '"full life"' in words


def test_room_for_stock_and_cuts_are_drawn_as_many_as_there_are() -> None:
    figure = routing_picture(WORKS, desk_figures(WORKS, "full life"), LINE).figure
    traces = {trace.name: trace for trace in figure.data if trace.name}
    operations = WORKS.lines[LINE].operations
    room = [operation.buffer for operation in list(operations.values())[1:]]
    assert len(traces["room for a waiting part"].x) == sum(min(places, 8) for places in room)
    cuts = [cut for operation in operations.values() for stroke in operation.strokes.values() for cut in stroke.cuts]
    assert len(traces["a cut; cuts side by side are one stroke"].x) == len(cuts)
    assert pd.Series(traces["machines"].marker.symbol).eq("circle").all()
    others = {str(trace.marker.symbol) for trace in figure.data if trace.type == "scatter"} - {"circle"}
    assert not [name for name in others if "triangle" in name or "square" in name or "arrow" in name]
