"""Caps and crankcase matched by number, pistons by class, in a few lines over the smallest scenario."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim import run
from linesim.desk import desk_figures
from linesim.desk.meeting import meeting_words
from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State
from linesim.result.joining import join_sentences, join_table
from linesim.works import Works, changed, load_works
from linesim.works.reading import read_text
from tests.agree.twins import assert_twins_agree

SMALLEST = Path(__file__).parents[2] / "scenarios" / "smallest.yaml"
MOST_LINES = 60
WIDTH_UM = 6.0

MEETING = """
run: {length: 2 days, warm_up: 0 min}
lines:
  flange:
    features:
      bores: {kind: bore, places: 3, size: {limits: [79.97 mm, 80.03 mm]}, as_cast: {spread: 5 um}}
    operations:
      Op 10: {takes_off: caps}
      Op 40:
        after: Op 30
        about: Caps are bolted on again, each to its own, and pistons put in that fit
        buffer: 6
        minutes: 2 min
        joins:
          caps: {stock: 8}
          pistons: {classes: {feature: bores, to: skirt, width: 6 um}}
  caps:
    material: EN-GJL-250
    operations:
      Op C1: {minutes: 1.5 min}
      Op C2: {minutes: 2 min, buffer: 4, scrap_chance: 2 %}
  pistons:
    material: EN-GJL-250
    casting: {price: 6 EUR}
    features:
      skirt: {kind: bore, size: {limits: [79.97 mm, 80.03 mm]}, as_cast: {spread: 4 um}}
    operations:
      Op P1: {minutes: 6 min}
"""


def over_the_base(text: str) -> Works:
    """The smallest scenario with a situation laid over it."""
    assert len(text.strip().splitlines()) <= MOST_LINES
    return changed(load_works(str(SMALLEST)), read_text(text, "the situation").plain())


def test_caps_come_back_by_number_and_pistons_by_class() -> None:
    plan = make_plan(over_the_base(MEETING), "run until it breaks")
    tally = assert_twins_agree(plan, 7)
    caps, pistons = join_table(plan, tally).to_dict(orient="records")
    flanges = plan.names.lines.index("flange")
    assert (caps["by"], pistons["by"]) == ("number", "class")
    # Every flange that comes out, or is at the last operation, has one of each.
    assert caps["joined"] == pistons["joined"] > 100
    at_last = plan.names.machines.index("Op 40")
    assert caps["joined"] - int(tally.worked[at_last]) in (0, 1)
    # A flange whose cap is scrap is scrap as well, and a cap whose flange is scrap is left over or still on its way.
    lost = int(tally.scrapped[at_last, Cause.OTHER])
    on_the_way = int(tally.in_line_at_end[flanges])
    scrapped_caps = int(tally.scrapped_parts[plan.names.lines.index("caps")])
    scrapped = int(tally.scrapped_parts[flanges])
    assert 0 < lost <= scrapped_caps <= scrapped + on_the_way
    assert 0 < caps["left_over"] <= scrapped - lost
    # Both of one class: they differ by less than its width.
    assert 0.0 < pistons["sd_fit_um"] < pistons["range_fit_um"] < 2.0 * WIDTH_UM
    assert tally.state_min[at_last, State.WAITING_FOR_FELLOW] > 0.0
    told = " ".join(join_sentences(plan, tally))
    assert 'for a fellow part of "caps" or "pistons"' in told
    assert 'of "caps" thrown out' in told


@pytest.mark.parametrize(
    ("entry", "better", "words"),
    [
        ("takes_off: caps", "takes_off: cap", '"cap" is not a line of this works'),
        ("takes_off: caps", "takes_off: pistons", "these by number; no classes were expected"),
        ("          caps: {stock: 8}\n", "", "an operation further down that joins caps was expected"),
        ("buffer: 6", "buffer: 0", "a buffer of one place was expected"),
        ("feature: bores", "feature: bore", '"bore" is not a feature of this line'),
        ("to: skirt", "to: shirt", '"shirt" is not a feature of the line "pistons"'),
        ("casting: {price: 6 EUR}", "worth: 6 EUR", 'joined to those of "flange", whose worth is that of both'),
        ("caps: {stock: 8}", "flange: {stock: 8}", "a line does not meet itself"),
        ("Op P1: {", "Op P1: {buffer: 1, joins: {flange: {}}, ", "lines that do not run in a ring were expected"),
        ("buffer: 6", "sequence: same type first", "no sequence was expected"),
    ],
)
def test_lines_that_cannot_meet_are_told(entry: str, better: str, words: str) -> None:
    assert entry in MEETING
    with pytest.raises(ScenarioError, match=r".") as caught:
        over_the_base(MEETING.replace(entry, better))
    assert words in str(caught.value)


def test_lines_that_meet_go_at_the_pace_of_the_slowest_on_paper_as_in_runs() -> None:
    """Pistons take 6 minutes each: 10 an hour, which flanges and their caps cannot outrun; a run ships no more.

    By themselves caps would come at 30 an hour, and the flange's finish cut lets more than 10 through.
    """
    works = over_the_base(MEETING)
    held = desk_figures(works).constraints.set_index("line")
    assert held["together_per_hour"].to_list() == pytest.approx([10.0, 10.0, 10.0])
    assert held["held_by_line"].to_list() == ["pistons"] * 3
    assert held["parts_per_hour"]["caps"] == pytest.approx(30.0)
    assert held["parts_per_hour"]["flange"] > 10.0
    rows = {row["line"]: meeting_words(row) for row in desk_figures(works).constraints.to_dict(orient="records")}
    assert rows["pistons"] == ""
    assert rows["flange"] == ' With the lines that it meets it makes 10.00: "pistons" gives no more.'
    result = run(works, seed=7)
    done = result.machines.set_index("machine")["worked"] / 32.0
    assert done["Op P1"] == pytest.approx(10.0, abs=0.1), "pistons never wait"
    assert 0.0 < done["Op 40"] < 10.0, "and some of them fit no flange"
