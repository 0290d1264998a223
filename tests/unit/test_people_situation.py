"""One operator on three machines, no setter at night, breaks: a few lines over another file, and what is told."""

from __future__ import annotations

from pathlib import Path
from shutil import copy

import numpy as np
import pytest

from linesim.desk.people_remarks import on_operators
from linesim.plan.tally import State
from linesim.report.views.routing_people import people_words
from linesim.result import Result
from linesim.study import run
from linesim.study.search.numbers.answer import Circulation, Holding
from linesim.study.search.numbers.items import items_of, with_counts
from linesim.works import load_works

SMALLEST = Path(__file__).parents[2] / "scenarios" / "smallest.yaml"

OVERLAY = """
extends: smallest.yaml
name: Flanges by night
run: {length: 2 weeks, warm_up: 1 day}
calendar: {shift: 8 h, shifts_per_day: 3}
people:
  setters:
    by_shift: [1, 1, 0]
    by_day: {friday: [1, 0, 0]}
    at_bell: hands over
    paid: attendance
  operator:
    count: 1
    rate: 28 EUR/h
    breaks:
      - {after: 2 h, minutes: 15 min}
      - {after: 4.5 h, minutes: 30 min}
lines:
  flange:
    operations:
      Op 10: {unload: 12 s, machines: 2, attended: {by: operator, walk: 10 s}}
      Op 20: {unload: 12 s, attended: {by: operator, jobs: [load, unload, gauge], walk: 10 s}}
policies:
  every 60 parts: {default: {parts: 60}}
"""


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> Result:
    folder = tmp_path_factory.mktemp("people")
    copy(SMALLEST, folder)
    file = folder / "night.yaml"
    file.write_text(OVERLAY, encoding="utf-8")
    return run(load_works(file), "every 60 parts", seed=20261127)


def test_it_is_said_in_a_few_lines() -> None:
    assert len(OVERLAY.strip().splitlines()) <= 60


def test_every_shift_of_every_pool_adds_up(result: Result) -> None:
    table = result.staffing
    assert table[["pool", "shift"]].to_numpy().tolist() == [
        ["setters", 1], ["setters", 2], ["setters", 3], ["operator", 1], ["operator", 2], ["operator", 3],
    ]  # fmt: skip
    attended = table["attended_min"].tolist()
    # Two weeks from the second day on: ten mornings, eight afternoons without the two Fridays, no night.
    assert attended == pytest.approx([10 * 480.0, 8 * 480.0, 0.0, *[10 * 435.0] * 3])
    worked, free = table["worked_min"], table["free_min"]
    np.testing.assert_allclose(table["attended_min"] + table["beyond_min"], worked + free, rtol=1e-9)
    by_pool = table.groupby("pool", sort=False)["worked_min"].sum()
    busy = result.people.set_index("pool")["busy_min"]
    for pool in ("setters", "operator"):
        assert by_pool[pool] == pytest.approx(busy[pool])
    assert table["beyond_min"].tolist()[:3] == [0.0, 0.0, 0.0]  # who hands over does not stay
    assert table["worked_min"].tolist()[2] == 0.0


def test_nights_without_a_setter_and_breaks_are_told(result: Result) -> None:
    told = [finding.text for finding in result.findings]
    nobody = [text for text in told if text.startswith('Nobody attends "Op 20"')]
    assert len(nobody) == 1
    assert 'in shift 2 of Friday and in shift 3 ("setters"), and in breaks ("operator")' in nobody[0]
    stood = result.tally.nobody_min
    assert f"stood {stood[2]:.0f} minutes until somebody came" in nobody[0]
    waits = [text for text in told if text.startswith("Machines of")]
    assert any('for somebody of "operator"; they are called to "Op 20" as well' in text for text in waits)


def test_every_minute_of_every_machine_is_accounted_for(result: Result) -> None:
    tally = result.tally
    np.testing.assert_allclose(tally.state_min.sum(axis=1), tally.counted_min, rtol=1e-9)
    assert (tally.state_min[:3, State.WAITING_FOR_OPERATOR] > 0.0).all()
    assert tally.state_min[3, State.WAITING_FOR_OPERATOR] == 0.0


def test_attendance_is_paid_by_the_shifts(result: Result) -> None:
    ledger = result.ledger
    setters = ledger[(ledger["what"] == "setters") & (ledger["unit"] == "h")]
    assert float(setters["quantity"].sum()) == pytest.approx(18 * 8.0)


def test_numbers_of_people_are_counted_shift_by_shift(result: Result) -> None:
    works = result.works
    items = [item for item in items_of(works, Holding()) if item.kind == "setter"]
    assert [(item.label, item.now, item.least) for item in items] == [
        ("setters, shift 1", 1, 1), ("setters, shift 2", 1, 0), ("setters, shift 3", 0, 0), ("operator", 1, 1),
    ]  # fmt: skip
    counts = [2, 1, 1, 3]
    more = with_counts(works, items, counts)
    assert more.people["setters"].by_shift == [2, 1, 1]
    assert more.people["setters"].by_day == works.people["setters"].by_day
    assert more.people["operator"].count == 3
    answer = Circulation(works, "every 60 parts", Holding(), tuple(items), tuple(counts), "EUR/h", 0.95, 1)
    assert answer.changes == {"people": {"setters": {"by_shift": [2, 1, 1]}, "operator": {"count": 3}}}


def test_the_drawing_of_the_routing_says_who_is_called(result: Result) -> None:
    operations = result.works.lines["flange"].operations
    words = people_words(operations["Op 20"])
    assert words == "<br>operator loads, unloads, gauges; what is left it does unattended<br>calls setters"
    assert people_words(operations["Op 30"]) == ""


def test_who_is_paid_twice_or_called_too_often_is_told(result: Result) -> None:
    works = result.works
    assert list(on_operators(works, {"flange": 0.1})) == []
    # Op 10: 0.8 and 0.2 min and 10 s of walking; Op 20 besides 0.2 min of gauging: 2.533 min of each part.
    busy = '"operator": what they attend to keeps 1.01 of 1 busy at the pace of the constraint'
    assert list(on_operators(works, {"flange": 0.4})) == [f"{busy}; machines will wait for them."]
    line = works.lines["flange"]
    paid = line.operations["Op 10"].model_copy(update={"operators": 0.5})
    line = line.model_copy(update={"operations": line.operations | {"Op 10": paid}})
    told = list(on_operators(works.model_copy(update={"lines": {"flange": line}}), {"flange": 0.1}))
    assert len(told) == 1
    assert told[0].startswith('flange: "Op 10" is attended by "operator" and pays for 0.5 operators at each machine')
