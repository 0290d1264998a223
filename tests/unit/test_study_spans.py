"""Warm-up and counted time: as the scenario says, as asked for, or by pilot runs."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.ask import compare
from linesim.errors import StudyError
from linesim.study import PolicyStudy, StudyOptions, policies_of
from linesim.study.comparing.pilot import LOSS, SHIPPED, pilots_of
from linesim.study.comparing.spans import spans_steps
from linesim.study.interim import last_of
from linesim.works import Works
from tests.builders import a_works, flow_line


def long_line(**run: Any) -> Works:
    """Eight stations with room between them: a line that takes a while to fill."""
    times = {"length": 9600, "warm_up": 480, "replications": 2} | run
    return flow_line([{"exponential": {"mean": 10.0}}] * 8, ["unlimited"] * 7, **times)


def test_a_scenario_has_its_way_and_says_where_it_has_none() -> None:
    found = compare(flow_line([2.0], length=600), replications=1)
    assert (found.lengths.warm_up.minutes, found.lengths.length.minutes) == (960.0, 600.0)
    assert found.provenance["counted_why"] == "as the scenario says"
    assert found.provenance["warm_up_why"] == "the usual value, as the scenario says nothing"


def test_what_is_asked_for_replaces_what_the_scenario_says() -> None:
    found = compare(long_line(), warm_up=0.0, length=1200.0, replications=1)
    assert (found.provenance["warm_up_min"], found.provenance["counted_min"]) == (0.0, 1200.0)
    assert found.provenance["warm_up_why"] == "as asked for"
    # Nothing has come through a line of eight ten-minute stations in the first hour, so that the start costs output.
    later = compare(long_line(), warm_up=960.0, length=1200.0, replications=1)
    assert found.mean("run out", "good_per_hour")[0] < later.mean("run out", "good_per_hour")[0]


@pytest.mark.parametrize(("options", "words"), [({"warm_up": -1.0}, "a warm-up of -1"), ({"length": 0.0}, "time of 0")])
def test_a_length_that_cannot_be_is_refused(options: dict[str, Any], words: str) -> None:
    with pytest.raises(StudyError, match=words):
        compare(long_line(), **options)


def test_a_line_that_has_to_fill_is_given_time_to() -> None:
    settled = last_of(spans_steps(policies_of(long_line()), 1, "auto", None))
    assert settled.warm_up.minutes >= 480.0
    assert settled.warm_up.minutes % 480.0 == 0.0
    assert "by MSER-5 (10 pilot runs" in settled.warm_up.why
    assert all(each.works.run.warm_up == settled.warm_up.minutes for each in settled.alternatives)
    assert settled.length.minutes == 9600.0
    series = settled.series
    assert set(series["series"]) == {SHIPPED}
    assert series["value"].iloc[0] < series["value"].iloc[-50:].mean()


def test_a_line_that_is_full_at_once_is_cut_off_by_nothing() -> None:
    settled = last_of(spans_steps(policies_of(flow_line([3.0], length=4800, warm_up=960)), 1, "auto", None))
    assert settled.warm_up.minutes <= 480.0


def test_quality_loss_has_a_series_where_the_drawing_prices_it() -> None:
    works = a_works(run={"length": "10 shifts", "warm_up": "1 shift"})
    (pilot,) = pilots_of(policies_of(works, ["by parts"]), 3, 4800.0, "fast")
    assert set(pilot.series) == {SHIPPED, LOSS}
    assert len(pilot.series[LOSS]) == len(pilot.series[SHIPPED])
    assert (pilot.changes_per_min > 0.0).any()


def test_both_engines_make_the_same_pilot_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("linesim.study.comparing.pilot._REPLICATIONS", {"fast": 2, "simpy": 2})
    works = a_works(run={"length": "4 shifts", "warm_up": 0})
    pilots = [next(pilots_of(policies_of(works, ["by parts"]), 5, 1920.0, engine)) for engine in ("fast", "simpy")]
    for kind in pilots[0].series:
        assert np.array_equal(pilots[0].series[kind], pilots[1].series[kind])
    assert np.array_equal(pilots[0].changes_per_min, pilots[1].changes_per_min)


def test_the_counted_time_lets_every_set_be_changed_five_times() -> None:
    blade = {"life": 300, "change": 4, "sets": 3, "renewal": {"bought": {}}, "breaking": "never"}
    works = flow_line(
        [3.0],
        operations={"Op 10": {"sets": ["blade"]}},
        works={"cutters": {"blade": blade}, "policies": {"run out": {"default": {"life": 1}}}},
        length=2400,
        warm_up=240,
    )
    settled = last_of(spans_steps(policies_of(works), 1, 240.0, "auto"))
    # A change every 300 cutting minutes and four of changing: five take 1520 minutes; a week has 4800.
    assert settled.length.minutes == 4800.0
    assert "whole weeks" in settled.length.why


def test_no_more_is_counted_than_four_times_what_the_scenario_says() -> None:
    settled = last_of(spans_steps(policies_of(long_line(length=4800)), 1, 96000.0, "auto"))
    assert settled.length.minutes == 4 * 4800.0
    assert settled.length.why.startswith("4 times the scenario's, which is too short")


def test_pilots_come_first_and_are_told_of() -> None:
    steps = list(PolicyStudy(long_line(length=960), None, StudyOptions.of(replications=1, warm_up="auto")).steps())
    assert steps[0].words == "pilot runs for the warm-up"
    assert steps[0].answer is None
    answer = steps[-1].answer
    assert answer is not None
    assert answer.works.run.warm_up == answer.lengths.warm_up.minutes
    assert len(answer.lengths.pilots) == 1
