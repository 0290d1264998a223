"""Three situations of real works, each in a few lines over the smallest scenario: magazine, setting, measuring room."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.result.magazine_words import magazine_sentences
from linesim.result.measuring import measuring_sentences, measuring_table
from linesim.works import Works, load_works
from tests.floors import Seen, run_shop

SMALLEST = Path(__file__).parents[2] / "scenarios" / "smallest.yaml"
MOST_LINES = 60

MAGAZINE = """
people: {setters: {count: 1}, night watch: {count: 1}}
cutters:
  rough mill: {sets: 8}
  finish mill: {sets: 8, broken: spares the part}
lines:
  flange:
    operations:
      Op 10: {magazine: {pockets: 12, sisters: {rough mill: 4}, exchange: 5 s}}
      Op 20:
        access: 3 min
        magazine: {pockets: 12, sisters: {finish mill: 4}, exchange: 5 s, renewed: every shift, used_up: 2}
policies:
  by load:
    default: {parts: 40}
    exceptions:
      finish mill: {load: {past: 1.25, readings: 3, noise: 2 %}}
"""

SETTING = """
people: {setters: {count: 1}, inspectors: {count: 1, rate: 40 EUR/h}}
cutters:
  finish mill: {setting: {error: 30 um, bias: 20 um}}
lines:
  flange:
    operations:
      Op 20:
        first_piece: {after: [finish mill], by: inspectors, minutes: 6 min, error: 2 um, accept: 5 um, tries: 3}
policies:
  every 60 parts: {default: {parts: 60}}
"""

ROOM = """
run: {length: 4 weeks}
people: {setters: {count: 1}, inspectors: {count: 1, rate: 40 EUR/h}}
lines:
  flange:
    operations:
      Op 20:
        turns_bad: {chance: 0.4 %, shift: 80 um, minutes: 15 min}
        gauges:
          height gauge: null
          coordinate table:
            {feature: face, every: 20, error: 2 um, minutes: 10 min, where: measuring room, reject: scrap}
        measuring_room: {carry: 80 min, by: inspectors, meanwhile: sweep back}
      Op 30: {buffer: unlimited, minutes: 9 min}
"""


def _works(text: str, folder: Path) -> Works:
    """The scenario with a situation laid over it, as a works would keep it in a file."""
    assert text.count("\n") < MOST_LINES
    shutil.copy(SMALLEST, folder)
    (folder / "situation.yaml").write_text(f"extends: {SMALLEST.name}\n{text}", encoding="utf-8")
    return load_works(folder / "situation.yaml")


def _run(works: Works, policy: str) -> Seen:
    return run_shop(works.model_copy(update={"policies": {policy: works.policies[policy]}}))


def test_a_magazine_with_sisters_that_are_changed_in_the_cycle(tmp_path: Path) -> None:
    works = _works(MAGAZINE, tmp_path)
    seen = _run(works, "by load")
    tally = seen.tally
    ends = tally.planned + tally.unplanned + tally.joined
    assert (tally.taken_over > 0).all()
    assert tally.taken_over[0] < ends[0]
    assert ends[1] - 1 <= tally.taken_over[1] <= ends[1]  # the last edge may have ended as the run did
    assert tally.stops.sum() < 0.6 * ends.sum()
    assert tally.load_alarms[1] >= tally.planned[1] > 0
    assert len(list(magazine_sentences(works, make_plan(works, "by load"), tally))) == 2
    # Nobody is called for an exchange: the setter has been there once for each stop.
    assert tally.jobs[0] == pytest.approx(tally.stops.sum(), abs=2)


def test_a_setting_error_a_first_piece_and_what_is_scrapped_as_a_machine_starts(tmp_path: Path) -> None:
    seen = _run(_works(SETTING, tmp_path), "every 60 parts")
    tally = seen.tally
    changes = int(tally.planned[1] + tally.unplanned[1])
    assert changes > 30
    assert tally.first_gauged[1] > changes
    assert tally.first_corrected[1] > 0.5 * changes
    assert 0 < tally.first_scrapped.sum() < 0.5 * changes
    assert seen.minutes_in("Op 20", State.FIRST_PIECE) >= 6.0 * (tally.first_gauged[1] - 1)


def test_one_in_twenty_goes_to_the_measuring_room_and_what_was_made_meanwhile_is_swept_back(tmp_path: Path) -> None:
    """The answer comes after 80 minutes of carrying and ten of reading, if nobody is waited for."""
    works = _works(ROOM, tmp_path)
    seen = _run(works, "every 60 parts")
    [row] = measuring_table(works, seen.plan, seen.tally).to_dict(orient="records")
    assert row["answered"] == pytest.approx(seen.tally.worked[1] / 20, abs=10)
    assert row["min_to_answer"] >= 90.0
    assert seen.tally.faults_found[1] > 3
    # Parts that wait before the washer are found; those that have been shipped are gone.
    assert 0 < row["sorted_bad"] < seen.tally.made_bad[1]
    assert any(
        "were sorted in the measuring room" in each for each in measuring_sentences(works, seen.plan, seen.tally)
    )
