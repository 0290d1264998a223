"""Gauges that wander at random between masterings: the steps of a walk added up by hand, and both engines alike."""

from __future__ import annotations

import math
from itertools import accumulate
from typing import Any

import pytest

from linesim.chance import Purpose, normals
from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

SEED = 5
BORE = {"kind": "bore", "diameter": 80.0, "size": {"limits": [79.0, 81.0]}}


def shop(drift: dict[str, Any] | None, length: float, feature: dict[str, Any] | None = None, **more: Any) -> Works:
    """Cuts of a minute, not a trace of chance in them; the gauge puts all that it reads on the offset.

    So each part is off by what the gauge was off when it read the one before, with the sign turned round.
    """
    gauge = {"feature": "face", "corrects": {"cut": "cut"}, "drift": drift, **more.pop("gauge", {})}
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": {"gauge": gauge}, **more}
    face = feature or {"size": {"limits": [99.0, 101.0]}}
    return a_shop({"Op 10": operation}, line={"features": {"face": face}}, cutters={"blade": a_blade(life=1e9)},
                  length=length, people={"inspectors": {}})  # fmt: skip


def seen_of(works: Works) -> Seen:
    """What the floor did, which the compiled engine does as well, part by part."""
    assert_twins_agree(make_plan(works, "as stated"), SEED)
    return run_shop(works, SEED)


def steps(count: int, mastered: int = 0, spot: int = 0) -> list[float]:
    """Normal numbers of the readings since a mastering."""
    return [normals(SEED, 0, Purpose.GAUGE_WALK, spot, mastered, draw)[0] for draw in range(count)]


def test_each_reading_walks_on_by_the_root_of_the_time_since_the_one_before() -> None:
    """3 µm after an hour: 3 / sqrt(60) from minute to minute."""
    errors = seen_of(shop({"wanders": 3}, 8.5)).errors("Op 10")
    walk = list(accumulate(step * 3.0 / math.sqrt(60.0) for step in steps(7)))
    assert errors == pytest.approx([0.0, *(-off for off in walk)])


def test_readings_that_are_further_apart_walk_further() -> None:
    """One part in four is read: from reading to reading 3 / sqrt(15)."""
    errors = seen_of(shop({"wanders": 3}, 12.5, gauge={"every": 4})).errors("Op 10")
    walk = list(accumulate(step * 3.0 / math.sqrt(15.0) for step in steps(2)))
    assert errors == pytest.approx([0.0] * 4 + [-walk[0]] * 4 + [-walk[1]] * 4, abs=1e-6)


def test_mastering_sets_it_back_and_it_sets_out_anew() -> None:
    """After three readings, for two minutes: the fourth follows at once and finds the gauge as it was set.

    The fifth is a minute later, the sixth one more. The fourth takes a draw of its own, which moves it by nothing.
    """
    drift = {"wanders": 3, "mastered": {"every": 3, "minutes": 2}}
    seen = seen_of(shop(drift, 11.5))
    step = 3.0 / math.sqrt(60.0)
    walk = list(accumulate(each * step for each in steps(3)))
    again = list(accumulate(each * step for each in steps(3, mastered=1)[1:]))
    assert seen.errors("Op 10") == pytest.approx([0.0, *(-off for off in walk), 0.0, -again[0], -again[1]], abs=1e-6)
    assert seen.tally.masterings.tolist() == [2]


def test_it_walks_beside_bias_and_drift() -> None:
    """Off by 2, and by 6 an hour, 0.1 a minute."""
    errors = seen_of(shop({"wanders": 3, "per_hour": 6}, 4.5, gauge={"bias": 2})).errors("Op 10")
    walk = list(accumulate(step * 3.0 / math.sqrt(60.0) for step in steps(3)))
    assert errors == pytest.approx([0.0, *(-2.0 - 0.1 * (at + 1) - off for at, off in enumerate(walk))])


def test_how_far_it_wanders_is_as_the_drawing_reads_it() -> None:
    """A bore of which 6 µm are read too much has 3 µm on a side."""
    assert make_plan(shop({"wanders": 6}, 1.0, BORE), "as stated").gauges.wanders_um.tolist() == [3.0]
    assert make_plan(shop({"wanders": 6}, 1.0), "as stated").gauges.wanders_um.tolist() == [6.0]


def test_each_gauge_at_each_machine_wanders_by_itself() -> None:
    """Two machines, each with the gauge's own walk: spots 0 and 1."""
    works = shop({"wanders": 3}, 5.5, machines=2)
    seen = seen_of(works)
    step = 3.0 / math.sqrt(60.0)
    for machine, name in enumerate(sorted(set(seen.machine_of.values()))):
        serials = [serial for (_, _, serial), at in sorted(seen.machine_of.items()) if at == name]
        values = seen.values["complete", "Op 10"]
        errors = [values["line", serial].error_um[0] for serial in serials if ("line", serial) in values]
        walk = list(accumulate(each * step for each in steps(len(errors) - 1, spot=machine)))
        assert len(errors) == 5
        assert errors == pytest.approx([0.0, *(-off for off in walk)])


@pytest.mark.parametrize(
    "more",
    [
        {"gauge": {"where": "spindle"}},
        {"attended": {"by": "inspectors", "jobs": ["gauge"]}},
        {"gauge": {"minutes": {"exponential": {"mean": 0.4}}, "error": 2}},
    ],
    ids=["spindle", "attended", "minutes by chance"],
)
def test_the_engines_agree_wherever_a_gauge_is_read(more: dict[str, Any]) -> None:
    drift = {"wanders": 40, "mastered": {"every": 7, "minutes": 0.5}}
    tally = assert_twins_agree(make_plan(shop(drift, 200.0, **more), "as stated"), SEED)
    assert tally.masterings.sum() > 5


def test_a_gauge_that_does_not_wander_draws_nothing() -> None:
    """0 is the same as not to say it, to the last bit."""
    runs = [seen_of(shop({"per_hour": 1, **more}, 9.5)).errors("Op 10") for more in ({}, {"wanders": 0})]
    assert runs[0] == runs[1]


def test_a_gauge_cannot_wander_by_less_than_nothing_nor_in_the_measuring_room() -> None:
    with pytest.raises(ScenarioError, match="wanders"):
        shop({"wanders": -1}, 1.0)
    with pytest.raises(ScenarioError, match="leave drift out"):
        shop({"wanders": 1}, 1.0, gauge={"where": "measuring room"}, measuring_room={"carry": 1})


def test_the_desk_says_how_far_it_is_off_between_masterings() -> None:
    """Each of two machines cuts 60 an hour, one in five is read: 48 in 4 h. 0.5 an hour: 4/3; 1 walked: 2; 1.826.

    Never mastered, over a run of 12 h: 12 + 6, 4.243. A gauge that stands still is not worth a word.
    """
    mastered = {"mastered": {"every": 48, "minutes": 0}}
    known = (
        'line, Op 10: at the pace of the constraint "gauge" is mastered every 4 h; between two masterings drift and '
        "wandering put it off by about 1.83 µm rms, as the drawing reads it."
    )
    never = (
        'line, Op 10: "gauge" is never mastered; over the 12 h of a run drift and wandering put it off by about '
        "4.24 µm rms, as the drawing reads it."
    )
    off = {"per_hour": 0.5, "wanders": 1}
    for drift, said in ((off | mastered, [known]), (off, [never]), (mastered, []), (None, [])):
        desk = desk_figures(shop(drift, 720.0, gauge={"every": 5}, machines=2), "as stated")
        assert [each for each in desk.remarks if "wandering" in each] == said
