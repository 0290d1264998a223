"""The result of a run: its tables fit the tally and one another, its findings are said in words, all of it is plain."""

from __future__ import annotations

import json
import math
from functools import cache
from typing import Any

import numpy as np
import pandas as pd
import pytest

from linesim.errors import RunError
from linesim.floor.run import run_floor
from linesim.ledger import total_minor_units
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State, empty_tally
from linesim.result import STATES_OF_TIME, Finding, Result
from linesim.result.arithmetic import per
from linesim.result.plain import TABLES
from linesim.study.one.tracing import Tracer
from linesim.works import Works, changed
from tests.builders import a_works, flow_line


def ran(works: Works, seed: int = 3) -> Result:
    """A real run of the works under its first policy."""
    plan = make_plan(works, next(iter(works.policies)))
    return Result(works, plan, run_floor(plan, seed, 0), seed, 0, "simpy")


@cache
def block() -> Result:
    """A run of the small block line, with parts scrapped, recut and gauged."""
    works = a_works(
        run={"length": "3 shifts"},
        cutters={"rough blade": {"lead_time": 20}},
        lines={
            "block": {
                "holding_rate": 0.1,
                "operations": {
                    "Op 10": {"scrap_chance": 0.03, "recut_chance": 0.1, "rate": 21, "operators": 1},
                    "Op 20": {"power": 25},
                    "Op 40": {"gauges": {"bore gauge": {"limits": [79.95, 79.97], "reject": "salvage", "error": 4}}},
                },
            }
        },
    )
    return ran(works)


def indicators(result: Result, **wanted: str) -> dict[str, float]:
    """Indicators of one line or machine, by name."""
    rows = result.indicators
    for column, value in wanted.items():
        rows = rows[rows[column] == value]
    return dict(zip(rows["indicator"], rows["value"], strict=True))


# --- floor -----------------------------------------------------------------------------------------------------------


def test_the_minutes_of_every_machine_add_up_to_the_counted_time() -> None:
    machines = block().machines
    minutes = machines[[f"{state.name.lower()}_min" for state in State]].sum(axis=1)
    shares = machines[[f"{state.name.lower()}_share" for state in State]].sum(axis=1)
    assert minutes.to_numpy() == pytest.approx(np.full(5, 1440.0))
    assert shares.to_numpy() == pytest.approx(np.ones(5))
    assert machines["machine"].tolist() == ["Op 10", "Op 20", "Op 40 No. 1", "Op 40 No. 2", "Op 50"]


def test_operations_sum_their_machines() -> None:
    result = block()
    for column in ("worked", "passed", "scrapped"):
        sums = result.machines.groupby("operation", sort=False)[column].sum()
        assert result.operations[column].tolist() == sums.tolist()
    assert result.operations["machines"].tolist() == [1, 1, 2, 1]
    assert result.operations["recut"].iloc[0] > 0
    assert result.operations["scrapped"].sum() == result.lines["scrapped"].iloc[0] > 0


def test_causes_add_up_to_the_operations() -> None:
    result = block()
    found = result.causes.groupby("operation")[["scrapped", "recut", "salvaged"]].sum()
    for row in result.operations.to_dict("records"):
        wanted = [row["scrapped"], row["recut"], row["salvaged"]]
        if any(wanted):
            assert found.loc[row["operation"]].tolist() == wanted
    assert set(result.causes["cause"]) <= {cause.words for cause in Cause}


def test_first_pass_share_leaves_out_what_was_recut_or_scrapped() -> None:
    result = block()
    wash = result.operations.iloc[0]
    assert wash["recut"] > 0
    # The part on the machine when counting begins may have been recut before, and is passed on after.
    faults = wash["recut"] + wash["scrapped"] + 1
    assert 1.0 - faults / (wash["passed"] + wash["scrapped"]) <= wash["first_pass_share"] < 1.0
    assert result.lines["rolled_yield"].iloc[0] == pytest.approx(result.operations["first_pass_share"].prod())


def test_changes_count_edges_and_their_lives() -> None:
    result, tally = block(), block().tally
    changes = result.changes
    edges = changes[["planned", "joined", "unplanned"]].sum(axis=1)
    assert edges.sum() > 20
    assert (changes["parts_per_edge"] * edges).sum() == pytest.approx(tally.edge_parts.sum())
    assert changes["cutter"].tolist() == [
        "brush", "face mill", "rough blade", "finish blade", "rough blade", "finish blade", "stones",
    ]  # fmt: skip


def test_sets_people_and_gauges_say_what_the_tally_holds() -> None:
    result, tally = block(), block().tally
    assert result.sets["bought"].tolist() == tally.bought.tolist()
    assert result.sets["machines"].tolist() == [1, 2, 2, 1, 1]
    assert (result.sets["mean_sharp"] + result.sets["mean_in_use"]).tolist() == pytest.approx([2, 3, 3, 2, 2])
    assert result.people[["pool", "kind"]].to_numpy().tolist() == [
        ["setters", "people"], ["fitters", "people"], ["grinders", "grinders"],
    ]  # fmt: skip
    assert result.people["busy_share"].tolist() == pytest.approx((tally.busy_min / 1440.0).tolist())
    verdicts = result.gauges[["good_passed", "good_turned_down", "bad_passed", "bad_turned_down"]]
    assert verdicts.to_numpy().sum() == result.gauges["readings"].sum() > 0
    assert result.gauges[["line", "operation", "gauge", "feature"]].to_numpy().tolist() == [
        ["block", "Op 40", "bore gauge", "bores"]
    ]


# --- lines and money -------------------------------------------------------------------------------------------------


def test_the_money_of_a_line_is_its_ledger() -> None:
    result = block()
    line = result.lines.iloc[0]
    total = total_minor_units(result.ledger) / 100.0
    assert line["cost_per_good_part"] * line["shipped"] == pytest.approx(total)
    assert line["contribution_per_good_part"] == pytest.approx(420.0 - line["cost_per_good_part"])
    assert line["contribution_per_hour"] == pytest.approx(line["contribution_per_good_part"] * line["good_per_hour"])
    loss = result.characteristics["loss_per_part"].sum()
    assert line["quality_loss_per_good_part"] == pytest.approx(loss, abs=0.01)
    assert 0.0 < line["quality_loss_per_good_part"] < line["cost_per_good_part"]


def test_output_yields_and_lead_times_of_a_line() -> None:
    works = flow_line([1.0])
    plan = make_plan(works, "run out")
    tally = empty_tally(plan)
    tally.counted_min = 600.0
    tally.castings[0], tally.shipped[0], tally.scrapped_parts[0] = 56, 40, 10
    tally.shipped_first_pass[0], tally.parts_out[0], tally.in_line_at_end[0] = 30, 4, 6
    tally.in_line_min[0] = 3000.0
    leads = np.linspace(50.0, 90.0, 40)
    tally.lead_min[0], tally.lead_square_min2[0] = leads.sum(), (leads**2).sum()
    tally.passed[0], tally.scrapped_castings[0], tally.first_pass[0] = 40, 10, 30
    result = Result(works, plan, tally, 1, 0, "simpy")
    assert result.operations["first_pass_share"].tolist() == [0.6]
    line = result.lines.iloc[0]
    wanted = {
        "good_per_hour": 4.0, "parts_in_limits_per_hour": 3.6, "first_pass_yield": 0.6, "scrap_share": 0.2,
        "mean_in_line": 5.0, "in_line_at_end": 6, "mean_lead_min": 70.0, "sd_lead_min": leads.std(ddof=1),
    }  # fmt: skip
    assert {name: line[name] for name in wanted} == pytest.approx(wanted)


def test_a_watched_run_lays_its_ledger_on_its_parts_to_the_minor_unit() -> None:
    plain = block()
    tracer = Tracer(plain.plan)
    tally = run_floor(plain.plan, 3, 0, [tracer])
    watched = Result(plain.works, plain.plan, tally, 3, 0, "simpy", tracer.trace())
    parts = watched.parts
    shipped = int(tally.shipped[0])
    assert len(parts) == shipped > 100
    assert int(parts["total"].sum()) == total_minor_units(plain.ledger)
    own = 100.0 * plain.lines["quality_loss_per_good_part"].iloc[0]
    assert parts["quality loss"].mean() == pytest.approx(own)
    assert parts["quality loss"].std() > 0.3 * own
    assert parts["machine hours"].max() - parts["machine hours"].min() == 1
    by_limits = tracer.trace().parts.query("outcome == 'shipped' and left_min >= 960")
    worst = by_limits["deck error_um"].abs().to_numpy().argmax()
    assert parts["quality loss"].iloc[worst] > 1.5 * own


def test_the_parts_of_a_run_that_was_not_watched_are_not_known() -> None:
    with pytest.raises(RunError, match=r"^the parts of this run are not known one by one; run it with a trace$"):
        _ = block().parts


# --- indicators ------------------------------------------------------------------------------------------------------


def test_indicators_of_a_machine_follow_from_its_states() -> None:
    result = block()
    machine = result.machines.iloc[1]
    found = indicators(result, level="machine", machine="Op 20")
    minutes = {
        name: sum(machine[f"{state.name.lower()}_min"] for state in states) for name, states in STATES_OF_TIME.items()
    }
    busy = minutes["APT"] + minutes["ASUT"] + minutes["ADET"]
    assert found["availability"] == pytest.approx(minutes["APT"] / 1440.0)
    assert found["allocation efficiency"] == pytest.approx(busy / 1440.0)
    assert found["utilisation efficiency"] == pytest.approx(minutes["APT"] / busy)
    assert found["technical efficiency"] == pytest.approx(minutes["APT"] / (minutes["APT"] + minutes["ADET"]))
    assert found["setup ratio"] == pytest.approx(minutes["ASUT"] / (minutes["ASUT"] + minutes["APT"]))
    assert found["mean time to restoration"] == pytest.approx(
        (machine["waiting_for_fitter_min"] + machine["under_repair_min"]) / (machine["breakdowns"] + 1)
    )


def test_a_machine_that_is_never_held_back_is_as_effective_as_planned() -> None:
    """Cutting 6 min with half a minute of handling each way, no losses: OEE 1."""
    works = flow_line(
        [6], operations={"Op 10": {"load": 0.5, "unload": {"uniform": {"low": 0.5, "high": 0.5}}}}, length=700
    )
    result = ran(works)
    found = indicators(result, level="machine")
    assert found["effectiveness"] == pytest.approx(1.0)
    assert found["OEE index"] == pytest.approx(1.0)
    assert found["throughput rate"] == pytest.approx(60.0 / 7.0)
    assert indicators(result, level="line")["production process ratio"] == pytest.approx(1.0)


def test_the_work_in_a_part_is_never_more_than_its_time_in_the_line() -> None:
    found = indicators(block(), level="line")
    assert 0.0 < found["production process ratio"] < found["allocation ratio"] <= 1.0


def test_scrap_of_a_line_falls_off_from_what_its_first_operation_made() -> None:
    result = block()
    line, first = result.lines.iloc[0], result.operations.iloc[0]
    found = indicators(result, level="line")
    assert found["fall-off ratio"] == pytest.approx(line["scrapped"] / (first["passed"] + first["scrapped"]))
    assert found["scrap ratio"] == pytest.approx(line["scrap_share"])
    assert found["first pass yield"] == pytest.approx(line["first_pass_yield"])
    assert found["inventory turns"] == pytest.approx(line["shipped"] / line["mean_in_line"])


# --- findings --------------------------------------------------------------------------------------------------------


def test_a_line_that_works_gives_no_findings() -> None:
    assert ran(flow_line([2.0, 3.0], length=600)).findings == []


def test_castings_faster_than_the_line_can_work_are_told_with_both_rates() -> None:
    """One a minute into work of two minutes, 10,000 minutes after 1,000: half of what has come by then stands there."""
    every_minute = {"casting": {"arrivals": {"between": 1}}}
    result = ran(flow_line([2.0], ["unlimited"], line=every_minute, length=10_000, warm_up=1000))
    assert result.findings == [
        Finding(
            'Parts pile up before "Op 10" of line "line": 60 castings an hour come in and 30 parts an hour leave, good '
            "or scrapped; up to 5499 stood there, and its buffer has no limit.",
            False,
        )
    ]


def test_castings_that_wait_outside_without_end_are_told_whatever_the_buffer() -> None:
    """One a minute into work of two minutes, for 10,000 minutes: the buffer holds three, pallets five parts."""
    every_minute = {"casting": {"arrivals": {"between": 1}}}
    for line in (every_minute, every_minute | {"pallets": 5}):
        result = ran(flow_line([2.0], [3], line=line, length=10_000, warm_up=1000))
        (finding,) = result.findings
        assert finding.text == (
            'Parts pile up before "Op 10" of line "line": 60 castings an hour come in and 30 parts an hour leave, good '
            "or scrapped; up to 5499 stood there, and castings that find no room wait outside."
        )


def test_parts_pile_up_before_the_slower_of_two_operations_and_scrap_has_left() -> None:
    result = ran(
        flow_line([2.0, 3.0], ["unlimited"], operations={"Op 20": {"scrap_chance": 0.5}}, length=6000, warm_up=300)
    )
    piling = [finding.text for finding in result.findings if "pile up" in finding.text]
    assert len(piling) == 1
    assert 'before "Op 20" of line "line"' in piling[0]
    assert "30 castings an hour come in and 20 parts an hour leave, good or scrapped" in piling[0]


@pytest.mark.parametrize(
    "works",
    [
        flow_line(
            [2.0], [40], length=6000, warm_up=0,
            line={"casting": {"arrivals": {"between": 1, "when_full": "turn away"}}},
        ),
        flow_line([2.0, 3.0], [200], length=6000, warm_up=0),
        flow_line(
            [{"exponential": {"mean": 1.9}}], ["unlimited"], length=6000, warm_up=0,
            line={"casting": {"arrivals": {"between": {"exponential": {"mean": 2.0}}}}},
        ),
    ],
    ids=["castings turned away", "a long buffer that fills", "a line that just keeps pace"],
)  # fmt: skip
def test_a_queue_that_ends_is_no_finding(works: Works) -> None:
    """Chance alone fills a line that keeps pace so far less than once in 10,000 seeds; this one is fixed."""
    assert not any("pile up" in finding.text for finding in ran(works).findings)


def test_a_line_without_grinders_says_why_nothing_moves() -> None:
    reamer = {"renewal": {"reground": {"stock": 5, "minutes": 10}}, "sets": 1, "life": 100}
    works = flow_line(
        [2.0, 3.0],
        works={
            "cutters": {"reamer": reamer},
            "crib": {"grinders": 1},
            "policies": {"run out": {"default": {"parts": 20}}},
        },
        operations={"Op 20": {"sets": ["reamer"]}},
        length=2000,
        warm_up=10,
    )
    works = works.model_copy(update={"crib": works.crib.model_copy(update={"grinders": 0})})
    result = ran(works)
    result.tally.is_stuck, result.tally.stuck_at_min = True, 62.0
    assert result.summary["stuck_at_min"] == 62.0
    first, chain, second = (finding.text for finding in result.findings if finding.is_problem)
    assert chain.startswith('Who waits for whom: "Op 20" waits for a sharp "reamer" that never comes')
    assert first == (
        "Nothing moves any more from minute 62 on: 1 machine held up; 1 machine waiting for a sharp cutter."
    )
    assert second == '"reamer" is reground, but the crib has no grinders; give it one, or buy the sets new.'


def test_where_the_minutes_do_not_tell_why_nothing_moves_it_is_said_so() -> None:
    result = ran(flow_line([2.0, 3.0], length=600, warm_up=0))
    result.tally.is_stuck, result.tally.stuck_at_min = True, 500.0
    result.tally.state_min[:] = 0.0
    result.tally.state_min[0, [State.WAITING_FOR_PART, State.CUTTING, State.HELD_UP]] = 110.0, 380.0, 110.0
    result.tally.state_min[1] = 600.0 / len(State)
    assert result.findings[0].text == "Nothing moves any more from minute 500 on: the reason cannot be told."


def test_a_line_that_ships_nothing_and_one_that_scraps_more_than_it_ships_are_problems() -> None:
    works = flow_line(
        [5.0, 300.0], operations={"Op 10": {"scrap_chance": 0.8}}, buffers=["unlimited"], length=250, warm_up=0
    )
    nothing = ran(works)
    assert nothing.findings[0].is_problem
    assert nothing.findings[0].text.startswith('Line "line" shipped nothing in 250 counted minutes; ')
    poor = ran(flow_line([5.0], operations={"Op 10": {"scrap_chance": 0.8}}, length=2000))
    scrapped, shipped = int(poor.tally.scrapped_parts[0]), int(poor.tally.shipped[0])
    assert poor.findings == [Finding(f'Line "line" scrapped {scrapped} parts and shipped {shipped}.', True)]


def test_waiting_for_cutters_and_people_that_are_always_busy_are_remarks() -> None:
    reamer = {"renewal": {"reground": {"stock": 500, "minutes": 40}}, "sets": 2, "life": 1000, "change": 30}
    works = flow_line(
        [2.0],
        works={
            "cutters": {"reamer": reamer},
            "people": {"setters": {"count": 1}},
            "policies": {"run out": {"default": {"parts": 1}}},
        },
        operations={"Op 10": {"sets": ["reamer"], "setters": "setters"}},
        length=2000,
    )
    result = ran(works)
    assert [finding.is_problem for finding in result.findings] == [False, False]
    share = 100.0 * result.sets["wait_share"].iloc[0]
    assert result.findings[0].text == (
        f'Machines waited {share:.0f} % of their time for a sharp "reamer"; '
        "more sets, another grinder or a shorter lead time would shorten that."
    )
    assert result.findings[1].text == (
        "The tool grinders are busy 100 % of the time; a job waits 8.0 min for them on average."
    )


def test_a_pool_below_the_mark_is_not_remarked_upon() -> None:
    result = block()
    busy = result.people.loc[result.people["kind"] == "people", "busy_share"]
    assert busy.max() < 0.9
    assert not any("people of" in finding.text for finding in result.findings)


# --- plain values ----------------------------------------------------------------------------------------------------


def numbers(value: Any) -> list[float]:
    """All floats in a plain structure."""
    if isinstance(value, dict):
        return [number for each in value.values() for number in numbers(each)]
    if isinstance(value, list):
        return [number for each in value for number in numbers(each)]
    return [value] if isinstance(value, float) else []


def test_everything_goes_through_json_and_comes_back_the_same() -> None:
    content = block().as_dict()
    assert set(content) == {"summary", *TABLES}
    text = json.dumps(content, allow_nan=False)
    assert json.loads(text) == content
    assert all(math.isfinite(number) for number in numbers(content))
    assert len(content["ledger"]) == len(block().ledger)


def test_the_summary_says_what_was_run_and_how() -> None:
    result = block()
    summary = result.summary
    assert (summary["policy"], summary["engine"], summary["seed"], summary["replication"]) == (
        "by parts",
        "simpy",
        3,
        0,
    )
    assert (summary["warm_up_min"], summary["warm_up_from"]) == (960.0, "the scenario")
    assert summary["digest"] == result.plan.digest
    assert sum(summary["ledger"].values()) == pytest.approx(summary["ledger_total"])
    assert summary["lines"][0]["shipped"] == int(result.tally.shipped[0])
    assert summary["stuck_at_min"] is None


def test_a_works_without_features_cutters_or_prices_has_all_tables_too() -> None:
    content = ran(changed(flow_line([2.0], length=100), {})).as_dict()
    assert content["characteristics"] == content["ledger"] == content["sets"] == content["gauges"] == []
    assert content["summary"]["ledger"] == {}
    assert content["lines"][0]["cost_per_good_part"] == 0.0


def test_each_table_is_made_once() -> None:
    result = block()
    assert result.lines is result.lines
    assert result.ledger is result.ledger


def test_a_quotient_over_nothing_is_not_a_number() -> None:
    assert per(3, 0).item() != per(3, 0).item()
    assert per(np.array([2.0, 1.0]), np.array([4.0, 0.0]))[0] == 0.5
    assert isinstance(block().lines, pd.DataFrame)
