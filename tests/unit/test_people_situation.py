"""One operator on three machines, no setter at night, breaks: a few lines over another file, and what is told."""

from __future__ import annotations

from pathlib import Path
from shutil import copy

import numpy as np
import pytest

from linesim.plan.tally import State
from linesim.result import Result
from linesim.study import run
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
