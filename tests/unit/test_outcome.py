"""A run in short says what its tables say, to the last bit and the last minor unit; and it can be written down."""

from __future__ import annotations

import math
import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest

from linesim.errors import StudyError
from linesim.ledger import ITEMS, Item, Ledger, total_minor_units
from linesim.plan.build import Planner, make_plan
from linesim.plan.tally import State
from linesim.result import Result
from linesim.store import open_store
from linesim.store.sums import SUM, run_sum
from linesim.study import WHOLE_WORKS, run
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import Outcome, Task, carry_out, outcome_of
from linesim.study.crew.parcels import jobs_of
from linesim.study.crew.summary import Ready, RunSummary, figures_in, summary_of
from linesim.study.one.runs import run_plan
from linesim.works import Works, changed, load_works
from tests.agree.works_at_random import random_works
from tests.floors import a_shop, a_tool

SCENARIOS = sorted((Path(__file__).resolve().parents[2] / "scenarios").glob("*.yaml"))
CASES = [(path, policy) for path in SCENARIOS for policy in load_works(path).policies]


@cache
def shortened(path: Path) -> Works:
    return changed(load_works(path), {"run": {"length": "1 week", "warm_up": "1 shift"}})


@pytest.fixture(scope="module", params=CASES, ids=lambda case: f"{case[0].stem}: {case[1]}")
def both(request: pytest.FixtureRequest) -> tuple[Result, Outcome]:
    path, policy = request.param
    works = shortened(path)
    return run(works, policy, seed=5, replication=2, engine="fast"), carry_out(Task(works, policy, 5, 2, (), "fast"))


def ready(result: Result) -> Ready:
    return Ready.of(result.works, result.plan)


def same(one: Any, other: Any) -> bool:
    return one == other or (isinstance(one, float) and math.isnan(one) and math.isnan(other))


def test_figures_are_those_of_the_table_of_lines(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    for row, figures in zip(result.lines.to_dict("records"), outcome.figures, strict=False):
        assert all(same(value, figures[str(name)]) for name, value in row.items())


def test_the_whole_works_costs_what_the_ledger_says(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    whole = outcome.figures[-1]
    assert whole["line"] == WHOLE_WORKS
    assert round(whole["cost_per_good_part"] * whole["shipped"] * 100) == total_minor_units(result.ledger)
    loss = result.ledger[result.ledger["item"] == Item.QUALITY_LOSS.value]
    assert whole["quality_loss_per_good_part"] == total_minor_units(loss) / 100.0 / int(result.tally.shipped.sum())
    changes = result.changes
    planned = 100.0 * int((changes["planned"] + changes["joined"]).sum()) / whole["shipped"]
    unplanned = 100.0 * int(changes["unplanned"].sum()) / whole["shipped"]
    assert (whole["planned_per_100"], whole["unplanned_per_100"]) == (planned, unplanned)


def test_money_is_that_of_the_ledger_to_the_minor_unit(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    sums = Ledger(result.works, result.plan).sums(result.tally)
    for number, line in enumerate(result.works.lines):
        for at, item in enumerate(ITEMS):
            rows = result.ledger[(result.ledger["line"] == line) & (result.ledger["item"] == item)]
            assert sums[number, at] == total_minor_units(rows), (line, item)
    assert sum(len(result.works.lines) + 1 for _ in ITEMS) == len(outcome.ledger)
    shipped = dict(zip(result.works.lines, result.tally.shipped.tolist(), strict=True))
    for row in outcome.ledger:
        if row["line"] in shipped:
            rows = result.ledger[(result.ledger["line"] == row["line"]) & (result.ledger["item"] == row["item"])]
            assert row["per_good_part"] == total_minor_units(rows) / 100.0 / shipped[row["line"]]


def test_shares_of_time_are_those_of_the_machines(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    states = {state.words: f"{state.name.lower()}_share" for state in State}
    machines = {(row["line"], row["machine"]): row for row in result.machines.to_dict("records")}
    assert len(outcome.times) == len(machines) * len(State)
    for row in outcome.times:
        assert row["share"] == machines[row["line"], row["machine"]][states[row["state"]]]


def test_findings_are_those_of_the_result(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    assert [row["text"] for row in outcome.findings] == [finding.text for finding in result.findings]


def test_a_run_in_short_comes_back_from_its_text_to_the_last_bit(both: tuple[Result, Outcome]) -> None:
    result, outcome = both
    summary = summary_of(ready(result), result.tally)
    read = RunSummary.from_text(summary.as_text())
    assert read is not None
    again = outcome_of(read, Task(result.works, result.plan.policy, 5, 2, (), "fast"))
    assert again == outcome


def test_what_is_no_number_comes_back_as_it_was() -> None:
    works = changed(load_works(SCENARIOS[0]), {"run": {"length": "1 min", "warm_up": "0 min"}})
    result = run(works, engine="fast")
    summary = summary_of(ready(result), result.tally)
    again = RunSummary.from_text(summary.as_text())
    assert again is not None
    assert math.isnan(summary.figures[0]["cost_per_good_part"])
    assert math.isnan(again.figures[0]["cost_per_good_part"])
    assert again.findings == summary.findings
    assert summary.findings[0][1]


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"writing": 3}', '{"writing": 4, "figures": []}', "null"])
def test_a_damaged_text_is_told_and_not_taken(text: str) -> None:
    with pytest.raises(StudyError, match="cannot be read"):
        RunSummary.from_text(text)
    with pytest.raises(StudyError, match="cannot be read"):
        figures_in(text)


FIRST_WRITING = '{"writing":1,"figures":[{"line":"block","shipped":3,"mean_lead_min":null}],"machines":[],"shares":[]}'


def test_what_an_earlier_version_wrote_still_gives_its_figures_but_is_run_anew() -> None:
    assert RunSummary.from_text(FIRST_WRITING) is None
    (row,) = figures_in(FIRST_WRITING)
    assert (row["line"], row["shipped"]) == ("block", 3)
    assert math.isnan(row["mean_lead_min"])


def test_a_run_of_an_earlier_version_in_the_store_is_carried_out_again(tmp_path: Path) -> None:
    task = Task(shortened(SCENARIOS[0]), next(iter(load_works(SCENARIOS[0]).policies)), 5, 0, (), "fast")
    ((_, expected),) = Crew(1).runs([task])
    with open_store(tmp_path / "runs.sqlite") as store:
        list(Crew(1, store).runs([task]))
        (job,) = jobs_of([task])
        checksum = run_sum(job.key, FIRST_WRITING)
        with closing(sqlite3.connect(tmp_path / "runs.sqlite")) as database, database:
            database.execute(
                f"update linesim_runs set outcome = ?, checksum = ?, {SUM} = null", (FIRST_WRITING, checksum)
            )
        ((_, again),) = Crew(1, store).runs([task])
    assert again == expected
    assert len(again.details) > 400


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_plans_that_share_all_but_the_rules_run_as_those_made_one_by_one(path: Path) -> None:
    works = shortened(path)
    planner = Planner(works)
    for name, policy in works.policies.items():
        ran = run_plan(planner.plan(name, policy), 5, 1, engine="fast")
        alone = run_plan(make_plan(works, name), 5, 1, engine="fast")
        for field, value in vars(alone).items():
            assert np.array_equal(value, getattr(ran, field)), (name, field)


def test_rows_can_be_counted_sliced_and_compared(both: tuple[Result, Outcome]) -> None:
    _, outcome = both
    times = list(outcome.times)
    assert [outcome.times[at] for at in range(len(times))] == times
    assert outcome.times[-1] == times[-1]
    assert outcome.times[2:5] == times[2:5]
    with pytest.raises(IndexError):
        outcome.times[len(times)]


@pytest.mark.parametrize("seed", range(25))
def test_prices_agree_with_the_ledger_on_drawn_works_to_the_minor_unit(seed: int) -> None:
    drawn = random_works(Random(seed))
    priced = {"prices": {"labour_rate": 31.7}, "crib": {"rate": 23.9}}
    lines = {
        name: {
            "casting": {"price": 41.3, "scrap_value": 3.17},
            "holding_rate": 0.0713,
            "operations": {operation: {"rate": 61.9, "operators": 0.45} for operation in line.operations},
        }
        for name, line in drawn.lines.items()
    }
    people = {name: {"rate": 37.77} for name in drawn.people}
    works = changed(drawn, {**priced, "lines": lines, "people": people})
    for policy in works.policies:
        result = run(works, policy, seed=seed, engine="fast")
        sums = Ledger(works, result.plan).sums(result.tally)
        table = result.ledger.groupby(["line", "item"])["minor_units"].sum()
        expected = [[int(table.get((line, item), 0)) for item in ITEMS] for line in works.lines]
        assert sums.tolist() == expected, policy


def test_the_setters_hours_are_those_of_their_jobs() -> None:
    """Five parts of 10 min, then 10 min of changing: changes at 50, 110, 170 and 230 min of two shifts of 120 min."""
    works = a_shop(
        {"Op 10": {"minutes": 10, "sets": ["tool"], "setters": "setters"}}, rule={"parts": 5}, length=240.0,
        cutters={"tool": a_tool(change=10, sets=9)}, people={"setters": {"count": 2}},
        calendar={"shift": 120, "shifts_per_day": 2},
    )  # fmt: skip
    ((_, outcome),) = Crew(1).runs([Task(works, next(iter(works.policies)), 1, 0, (), "fast")])
    whole = next(row for row in outcome.figures if row["line"] == WHOLE_WORKS)
    assert whole["setters_hours_per_shift"] == pytest.approx(40.0 / 60.0 / 2.0)
