"""Situations that a works has, said in the language over a demonstration line: types in batches, heats, Monday.

What is asked of each follows from its words alone; seed and run lengths were fixed before the runs were looked at.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from linesim.desk import desk_figures
from linesim.result import Trace
from linesim.study import run
from linesim.works import Works, changed, load_works
from linesim.works.reading import read_text

BASE = "scenarios/smallest.yaml"
MOST_LINES = 60
SEED = 1907

LEFT_AND_RIGHT = """
run: {length: 2 days, warm_up: 1 shift}
lines:
  flange:
    parts:
      left: {batch: 24}
      right: {batch: 12, worth: 44 EUR}
    features:
      pad: {size: {limits: [9.9 mm, 10.1 mm]}, as_cast: {stock: 1 mm}, only: [right]}
    operations:
      Op 10: {changeover: {minutes: 18 min, by: setters}}
      Op 20:
        changeover:
          from_to: {left: {right: 20 min}, right: {left: 14 min}}
          by: setters
      Op 25:
        after: Op 20
        about: The pad, which only the right one has
        only: [right]
        buffer: 4
        strokes: {pad: {cuts: {pad: {feature: pad, cutter: finish mill, process: milling, depth: 1 mm,
          speed: 130 m/min, feed: 0.12 mm, length: 60 mm, width: 40 mm}}}}
policies:
  long batches: {default: {parts: 60}, batches: {flange: {left: 96, right: 48}}}
"""

HEATS = """
run: {length: 2 weeks, warm_up: 0 min}
cutters:
  rough mill: {life_cv: 0, breaking: never}
  finish mill: {life_cv: 0, breaking: never}
lines:
  flange:
    casting: {heats: {of: 120, life: 25 %}}
"""

MONDAY = """
run: {length: 4 weeks, warm_up: 0 min}
calendar: {shift: 8 h, shifts_per_day: 2, days_per_week: 5, weeks_per_year: 48}
lines:
  flange:
    operations:
      Op 20: {warm_up: {rise: 40 um, minutes: 45 min, cools: 90 min, cold: every week}}
"""


def over_the_base(text: str) -> Works:
    """The demonstration line with a situation laid over it."""
    assert len(text.strip().splitlines()) <= MOST_LINES
    return changed(load_works(BASE), read_text(text, "the situation").plain())


def traced(works: Works, policy: str) -> Trace:
    answer = run(works, policy, seed=SEED, trace=True).trace
    assert answer is not None
    return answer


def test_left_and_right_come_in_batches_with_a_changeover_between_them() -> None:
    """36 parts a cycle, in which Op 10 changes over twice and Op 20 once each way; 144 with long batches."""
    works = over_the_base(LEFT_AND_RIGHT)
    rows = desk_figures(works, "every 60 parts").operations.set_index("operation")
    assert rows.at["Op 10", "changeover_min"] == pytest.approx(2 * 18 / 36)
    assert rows.at["Op 20", "changeover_min"] == pytest.approx((20 + 14) / 36)
    assert rows.at["Op 25", "share_of_parts"] == pytest.approx(1 / 3)
    usual, long = (run(works, policy, seed=SEED) for policy in ("every 60 parts", "long batches"))
    made = usual.types.set_index("part_type")["castings"]
    assert made["left"] == pytest.approx(2 * made["right"], abs=24)
    over = usual.changeovers.set_index("operation")
    assert over.at["Op 10", "parts_per_changeover"] == pytest.approx(18, rel=0.1)
    assert over.at["Op 10", "min_per_changeover"] == pytest.approx(18.0, rel=0.15)  # one may be under way at an end
    assert float(long.lines["good_per_hour"].iloc[0]) > 1.05 * float(usual.lines["good_per_hour"].iloc[0])
    right = traced(works, "every 60 parts").parts
    assert set(right[right["operation"] == "Op 25"]["part_type"]) == {"right"}


def shares_at_change(trace: Trace, cutter: str) -> list[float]:
    """Life shares of planned changes of a cutter, in order."""
    changes: pd.DataFrame = trace.changes
    return [float(value) for value in changes[changes["cutter"] == cutter]["life_share"]]


def test_a_hard_heat_wears_every_cutter_that_cuts_it() -> None:
    """Changed after 60 parts: the same wear each time without heats; with them both mills wear by the same factors.

    A heat of 120 castings spans two intervals of each mill but for the parts between them, so that the shares of two
    mills in turn must go together: correlation over 0.9, of some forty changes; without heats nothing varies at all.
    """
    works = over_the_base(HEATS)
    trace = traced(works, "every 60 parts")
    rough, finish = (shares_at_change(trace, name) for name in ("rough mill", "finish mill"))
    count = min(len(rough), len(finish))
    assert count > 10
    assert float(np.std(np.log(rough))) > 0.1
    assert float(np.corrcoef(np.log(rough[:count]), np.log(finish[:count]))[0, 1]) > 0.9
    alike = changed(works, {"lines": {"flange": {"casting": {"heats": None}}}})
    assert float(np.std(shares_at_change(traced(alike, "every 60 parts"), "rough mill"))) < 1e-9


def test_on_monday_the_first_parts_are_too_large_until_the_machine_is_warm() -> None:
    """Cold, it cuts up to 40 µm less deep than it was set; that goes within some time constants of 45 min of cutting.

    Against the same parts on a machine that does not grow, so that wear and scatter fall out: over 30 µm in the first
    20 minutes, and under 20 µm after five hours. Tuesday begins as warm as Monday ended, as nights are not worked.
    """
    works = over_the_base(MONDAY)
    rigid = changed(works, {"lines": {"flange": {"operations": {"Op 20": {"warm_up": None}}}}})
    cut, other = (
        answer[(answer["operation"] == "Op 20") & answer["complete_min"].notna()].set_index("serial")
        for answer in (traced(each, "every 60 parts").parts for each in (works, rigid))
    )
    growth = (cut["face error_um"] - other["face error_um"]).dropna()
    minute = cut.loc[growth.index, "complete_min"] % (5 * 960.0)
    monday, later = growth[minute < 20.0], growth[(minute > 300.0) & (minute < 320.0)]
    tuesday = growth[(minute >= 960.0) & (minute < 980.0)]
    assert min(len(monday), len(later), len(tuesday)) > 8
    assert monday.mean() > 30.0
    assert later.mean() < 20.0
    assert abs(tuesday.mean() - later.mean()) < 5.0
