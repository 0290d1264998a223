"""Every table of a result, cell by cell: a tally of figures that are all unlike each other, worked out by hand.

The figures of the tally come from no run; each stands in one place only, so that a column that shows another one's
figure, a mean taken over the wrong count, or a machine of another operation cannot go unseen.
"""

from __future__ import annotations

import math
from functools import cache

import pandas as pd
import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State, empty_tally
from linesim.result import Result
from linesim.result.plain import TABLES
from tests.builders import flow_line

HOURS = 10.0
MINUTES = 600.0


@cache
def made() -> Result:
    """Two operations, the second of two machines, a gauge with salvage at each, two kinds of set, three setters."""
    gauge = {"feature": "face", "limits": [9.9, 10.1], "reject": "salvage", "salvage_cost": 7.0, "cost": 0.5}
    drill = {"life": 60, "sets": 4, "price": 80, "renewal": {"reground": {"stock": 3, "minutes": 10, "cost": 2}}}
    tap = {"life": 90, "sets": 5, "price": 30, "renewal": {"indexed": {"edges": 4, "cost": 1}}}
    feature = {"size": {"limits": [9.9, 10.1], "loss_at_limit": 4}, "as_cast": {"stock": 3, "spread": 50}}
    works = flow_line(
        [2.0, 3.0],
        [5],
        [1, 2],
        {
            "Op 10": {"sets": ["drill"], "setters": "setters", "rate": 40, "gauges": {"ring": gauge}},
            "Op 20": {"sets": ["drill", "tap"], "setters": "setters", "rate": 60, "gauges": {"plug": gauge}},
        },
        {
            "people": {"setters": {"count": 3, "rate": 30}},
            "cutters": {"drill": drill, "tap": tap},
            "crib": {"grinders": 2, "rate": 24},
        },
        {"features": {"face": feature}, "worth": 100, "casting": {"price": 20}},
    )
    plan = make_plan(works, "run out")
    tally = empty_tally(plan)
    tally.counted_min = MINUTES
    spent = [
        [100, 20, 300, 11, 12, 13, 14, 15, 16, 17, 80, 2],
        [50, 30, 310, 21, 22, 23, 24, 25, 26, 27, 39, 3],
        [40, 35, 320, 31, 32, 33, 34, 28, 18, 19, 6, 4],
    ]
    tally.state_min[:, : len(spent[0])] = spent  # none of them gauges first pieces
    tally.worked[:], tally.passed[:], tally.first_pass[:] = [150, 70, 71], [145, 66, 67], [130, 60, 58]
    tally.scrapped_castings[:] = [5, 4, 2]
    tally.scrapped[0, Cause.BROKEN_CUTTER], tally.scrapped[1, Cause.ROUGH], tally.scrapped[2, Cause.CUT_AWAY] = 5, 4, 2
    tally.recut[0, Cause.METAL_LEFT], tally.recut[1, Cause.METAL_LEFT], tally.recut[2, Cause.METAL_LEFT] = 9, 6, 7
    tally.recut_min[:], tally.breakdowns[:], tally.stops[:] = [4.5, 3.0, 3.5], [1, 2, 3], [31, 32, 33]
    tally.batches_begun[1] = 14
    tally.moving_min[1] = 300.0
    tally.planned[:], tally.unplanned[:], tally.joined[:] = [10, 12, 4, 14, 6], [2, 1, 0, 3, 1], [0, 2, 5, 1, 8]
    tally.in_place[:], tally.looks[:] = [0, 0, 9, 0, 13], [41, 42, 43, 44, 45]
    tally.edge_parts[:], tally.edge_min[:] = [120, 150, 90, 180, 300], [240, 450, 270, 540, 900]
    tally.edge_life[:] = [6.0, 7.5, 4.5, 9.0, 12.0]
    tally.regrinds[:], tally.bought[:], tally.set_claims[:] = [22, 0], [7, 3], [40, 25]
    tally.set_waited_min[:], tally.sharp_min[:], tally.fewest_sharp[:] = [90.0, 36.0], [900.0, 1500.0], [0, 1]
    tally.busy_min[:], tally.jobs[:] = [360.0, 300.0], [48, 22]
    tally.waited_min[:], tally.queue_min[:] = [96.0, 11.0], [150.0, 66.0]
    tally.stock_min[:], tally.most_stock[:], tally.taken[:] = [0.0, 1200.0], [0, 5], [150, 144]
    tally.had_to_wait[:], tally.stood_min[:] = [0, 108], [0.0, 1152.0]
    tally.castings[:], tally.shipped[:], tally.shipped_first_pass[:], tally.scrapped_parts[:] = 151, 133, 99, 11
    tally.turned_away[:], tally.in_line_min[:], tally.in_line_at_end[:] = 8, 4200.0, 7
    tally.lead_min[:], tally.lead_square_min2[:], tally.parts_out[:] = 133 * 30.0, 133 * 900.0 + 132 * 16.0, 13
    tally.readings[:], tally.corrections[:] = [100, 90], [3, 4]
    tally.salvaged[0, Cause.ROUGH], tally.salvaged[1, Cause.METAL_LEFT] = 6, 5
    tally.judged[:] = [[[80, 8], [5, 7]], [[70, 9], [1, 10]]]
    tally.saved[:], tally.rubbed[:] = [51, 52, 53, 54, 55], [61, 62, 63, 64, 65]
    tally.sand_hits[:] = [71, 72, 73, 74, 75]
    tally.places[:], tally.total[0, 0], tally.square[0, 0] = 133, 133 * 10.0, 133 * 100.0 + 132 * 400.0
    tally.least[0, 0], tally.greatest[0, 0], tally.below[0, 0], tally.above[0, 0] = -40.0, 62.0, 19, 38
    tally.capped[0, 0] = 25_000.0
    return Result(works, plan, tally, 1, 0, "fast")


def cells(table: pd.DataFrame) -> dict[str, list[object]]:
    """Columns with their cells."""
    return {str(name): table[name].tolist() for name in table.columns}


def check(table: pd.DataFrame, expected: dict[str, list[object]]) -> None:
    """Every column of a table, and no other, with these cells."""
    assert list(table.columns) == list(expected)
    for name, column in cells(table).items():
        assert (
            column == pytest.approx(expected[name], nan_ok=True) if _is_number(column) else column == expected[name]
        ), name


def _is_number(column: list[object]) -> bool:
    return all(isinstance(each, (int, float)) for each in column)


def test_machines() -> None:
    table = made().machines
    states = {f"{state.name.lower()}_{kind}" for state in State for kind in ("min", "share")}
    check(
        table.drop(columns=list(states)),
        {
            "line": ["line"] * 3, "operation": ["Op 10", "Op 20", "Op 20"],
            "machine": ["Op 10", "Op 20 No. 1", "Op 20 No. 2"], "worked": [150, 70, 71], "passed": [145, 66, 67],
            "scrapped": [5, 4, 2], "breakdowns": [1, 2, 3], "overhauls": [0, 0, 0], "stops": [31, 32, 33],
            "recut_min": [4.5, 3.0, 3.5], "batches": [0, 14, 0], "mean_batch": [math.nan, 5.0, math.nan],
        },
    )  # fmt: skip
    minutes = {
        "waiting_for_part": [100, 50, 40], "loading": [20, 30, 35], "cutting": [300, 310, 320],
        "gauging": [11, 21, 31], "checking": [12, 22, 32], "waiting_for_set": [13, 23, 33],
        "waiting_for_setter": [14, 24, 34], "changing": [15, 25, 28], "waiting_for_fitter": [16, 26, 18],
        "under_repair": [17, 27, 19], "held_up": [80, 39, 6], "setting_right": [2, 3, 4],
        "first_piece": [0, 0, 0], "filling": [0, 0, 0], "overhaul": [0, 0, 0], "changing_over": [0, 0, 0],
        "waiting_for_result": [0, 0, 0], "waiting_for_operator": [0, 0, 0], "waiting_for_fellow": [0, 0, 0],
    }  # fmt: skip
    assert {f"{name}_{kind}" for name in minutes for kind in ("min", "share")} == states
    for name, spent in minutes.items():
        assert table[f"{name}_min"].tolist() == spent, name
        assert table[f"{name}_share"].tolist() == pytest.approx([each / 600 for each in spent]), name


def test_operations() -> None:
    check(
        made().operations,
        {
            "line": ["line", "line"], "operation": ["Op 10", "Op 20"], "machines": [1, 2], "worked": [150, 141],
            "passed": [145, 133], "scrapped": [5, 6], "recut": [9, 13], "salvaged": [6, 5],
            "first_pass_share": [130 / 150, 118 / 139], "mean_stock": [0.0, 2.0], "most_stock": [0, 5],
            "taken": [150, 144], "mean_wait_min": [0.0, 8.0], "share_waited": [0.0, 0.75],
            "mean_moving": [0.0, 0.5], "carriers_busy_share": [math.nan, math.nan],
        },
    )  # fmt: skip


def test_causes() -> None:
    assert made().causes.to_numpy().tolist() == [
        ["line", "Op 10", "cutter broke", 5, 0, 0],
        ["line", "Op 10", "metal left on", 0, 9, 0],
        ["line", "Op 10", "too rough", 0, 0, 6],
        ["line", "Op 20", "cut away too much", 2, 0, 0],
        ["line", "Op 20", "metal left on", 0, 13, 5],
        ["line", "Op 20", "too rough", 4, 0, 0],
    ]
    assert list(made().causes.columns) == ["line", "operation", "cause", "scrapped", "recut", "salvaged"]


def test_changes() -> None:
    check(
        made().changes,
        {
            "line": ["line"] * 5, "operation": ["Op 10", *["Op 20"] * 4],
            "machine": ["Op 10", *["Op 20 No. 1"] * 2, *["Op 20 No. 2"] * 2],
            "cutter": ["drill", "drill", "tap", "drill", "tap"], "planned": [10, 12, 4, 14, 6],
            "joined": [0, 2, 5, 1, 8], "unplanned": [2, 1, 0, 3, 1], "in_place": [0, 0, 9, 0, 13],
            "taken_over": [0] * 5,
            "looks": [41, 42, 43, 44, 45], "load_alarms": [0] * 5, "load_false": [0] * 5,
            "load_missed": [0] * 5, "parts_per_edge": [10.0, 10.0, 10.0, 10.0, 20.0],
            "life_share_at_change": [0.5, 0.5, 0.5, 0.5, 0.8], "cut_min_per_edge": [20.0, 30.0, 30.0, 30.0, 60.0],
            "saved": [51, 52, 53, 54, 55], "rubbed": [61, 62, 63, 64, 65], "sand_hits": [71, 72, 73, 74, 75],
            "broke_unseen": [0] * 5, "cut_unseen": [0] * 5, "probe_found": [0] * 5,
        },
    )  # fmt: skip


def test_sets() -> None:
    check(
        made().sets,
        {
            "cutter": ["drill", "tap"], "sets": [4, 5], "machines": [3, 2], "bought": [7, 3], "regrinds": [22, 0],
            "claims": [40, 25], "mean_wait_min": [2.25, 1.44], "wait_share": [90 / 1800, 36 / 1200],
            "mean_sharp": [1.5, 2.5], "fewest_sharp": [0, 1], "mean_in_use": [2.5, 2.5],
        },
    )  # fmt: skip


def test_people_share_their_time_among_all_of_the_pool() -> None:
    check(
        made().people,
        {
            "pool": ["setters", "grinders"], "kind": ["people", "grinders"], "count": [3, 2],
            "busy_share": [0.2, 0.25], "busy_min": [360.0, 300.0], "jobs": [48, 22], "mean_wait_min": [2.0, 0.5],
            "mean_queue": [0.25, 0.11],
        },
    )  # fmt: skip


def test_gauges() -> None:
    check(
        made().gauges,
        {
            "line": ["line", "line"], "operation": ["Op 10", "Op 20"], "gauge": ["ring", "plug"],
            "feature": ["face", "face"], "readings": [100, 90], "good_passed": [80, 70], "good_turned_down": [8, 9],
            "bad_passed": [5, 1], "bad_turned_down": [7, 10], "corrections": [3, 4],
            "masterings": [0, 0], "mastering_min": [0.0, 0.0], "faults_found": [0, 0],
        },
    )  # fmt: skip


def test_lines() -> None:
    """Cost and contribution: the ledger is worked out item by item below."""
    result = made()
    cost = sum(LEDGER.values())
    check(
        result.lines,
        {
            "line": ["line"], "castings": [151], "shipped": [133], "scrapped": [11], "turned_away": [8],
            "good_per_hour": [13.3], "parts_in_limits_per_hour": [12.0], "first_pass_yield": [99 / 144],
            "rolled_yield": [130 / 150 * 118 / 139], "scrap_share": [11 / 144], "mean_in_line": [7.0],
            "in_line_at_end": [7], "mean_lead_min": [30.0], "sd_lead_min": [4.0],
            "cost_per_good_part": [pytest.approx(cost / 133, abs=0.001)],
            "quality_loss_per_good_part": [pytest.approx(10.0 / 133)],
            "contribution_per_good_part": [pytest.approx(100 - cost / 133, abs=0.001)],
            "contribution_per_hour": [pytest.approx((13_300 - cost) / 10, abs=0.02)],
        },
    )  # fmt: skip


LEDGER = {
    "castings": (151 - 11) * 20.0,
    # Ten hours of one machine at 40 and of two at 60, less recuts and gauging; no minutes of scrapped parts are known.
    "machine hours": 10 * 40 + 20 * 60 - (4.5 * 40 + 6.5 * 60) / 60 - (11 * 40 + 52 * 60) / 60,
    "setters": 6.0 * 30,
    "new cutters": 7 * 80 + 3 * 30.0,
    "regrinds": 22 * 2 + 5 * 24.0,
    "dressings and indexing": (9 + 13) * 1.0,
    "scrap": 11 * 20.0,
    "recuts": (4.5 * 40 + 6.5 * 60) / 60,
    "salvage": 11 * 7.0,
    "gauging": (11 * 40 + 52 * 60) / 60 + 190 * 0.5,
    "quality loss": 25_000 * 4.0 / 100**2,
}
"""Money by item, from prices and figures of the tally."""


def test_ledger_by_item() -> None:
    sums = made().ledger.groupby("item", sort=False)["minor_units"].sum() / 100
    assert list(sums.index) == list(LEDGER)
    for item, amount in LEDGER.items():
        # Each row is rounded by itself to a hundredth.
        assert sums[item] == pytest.approx(amount, abs=0.005 * 40), item


def test_characteristics() -> None:
    """The mean error of 10 µm on a face makes it 10 µm longer; 20 µm of spread in ± 100 µm."""
    row = made().characteristics.iloc[0].to_dict()
    loss = 10.0 / 133
    expected = {
        "line": "line", "feature": "face", "characteristic": "size", "places": 133, "unit": "mm", "lower": 9.9,
        "upper": 10.1, "aim": 10.0, "mean": 10.01, "sd": 0.02, "least": 9.96, "greatest": 10.062,
        "cp": 0.2 / 0.12, "cpk": 0.09 / 0.06, "cpm": 0.2 / 6 / math.hypot(0.02, 0.01), "share_below": 19 / 133,
        "share_above": 38 / 133, "share_not_cleaned_up": 0.0, "loss_per_part": loss,
    }  # fmt: skip
    assert list(row) == list(expected)
    for name, value in expected.items():
        assert row[name] == (value if isinstance(value, str) else pytest.approx(value)), name


def test_every_table_is_among_these() -> None:
    checked = {
        "machines", "operations", "causes", "changes", "sets", "people", "gauges", "lines", "ledger", "characteristics",
    }  # fmt: skip
    # In modules of their own.
    checked |= {"blame", "faults", "first_pieces", "later", "types", "changeovers", "measuring", "staffing", "joins"}
    assert checked | {"indicators"} == set(TABLES)


def test_a_result_prints_itself_in_a_line_and_as_a_small_page_that_obeys_no_name() -> None:
    result = made()
    assert repr(result).startswith(
        '<Result of "flow line" under "run out" (seed 1, replication 0, fast engine); line: 13.3 good'
    )
    assert len(repr(result)) < 250
    works = result.works.model_copy(update={"name": "<b>bold</b>"})
    page = Result(works, result.plan, result.tally, 1, 0, "fast")._repr_html_()
    assert "&lt;b&gt;bold" in page
    assert "<b>" not in page
    assert "13.3" in page
