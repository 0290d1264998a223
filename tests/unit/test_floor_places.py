"""Several places and tries, errors of the gauge at each, chances between 0 and 1: worked out by hand, for both engines.

What is drawn is worked out here from the random numbers of the part and place, as `linesim.chance.addresses` says; the
other figures are chosen so that nothing else scatters.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.chance import Purpose, normal_from_uniform, normals, uniform_at, uniforms
from linesim.chance.addresses import try_draw
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, Tally
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

PLACES = 3
ERROR_UM = 5.0
PARTS = 60


def on_both_engines(works: Works) -> tuple[Seen, list[Tally]]:
    """What was seen of the floor, and the tallies of both engines."""
    seen = run_shop(works)
    return seen, [seen.tally, run_fast(make_plan(works, "as stated"), 1, 0)]


def gauged(gauge: dict[str, Any], rule: Any = "run out", **feature: Any) -> Works:
    """Castings without unevenness, cut to size by an edge that does not dull, and gauged with an error of 5 µm."""
    face = {"places": PLACES, "size": {"limits": [99.994, 100.006]}, "as_cast": {"spread": 0, "stock": 2.0}, **feature}
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(copying=0.5)}}},
        "gauges": {"gauge": {"feature": "face", "error": ERROR_UM, **gauge}},
    }
    return a_shop(
        {"Op 10": operation}, line={"features": {"face": face}}, cutters={"blade": a_blade(life=1e12)},
        castings=PARTS, length=5_000.0, rule=rule,
    )  # fmt: skip


def readings_um(serial: int, tries: int = 0) -> list[float]:
    """What the gauge reads at each place of a part whose true error is 0, at a try."""
    return [
        ERROR_UM * normals(1, 0, int(Purpose.GAUGE), 0, serial, try_draw(tries, place))[0] for place in range(PLACES)
    ]


def test_the_rule_by_the_gauge_acts_on_the_worst_place() -> None:
    """Its limit of 6 µm is passed by the worst of three places far more often than by their mean."""
    worst = [max(map(abs, readings_um(serial))) > 6.0 for serial in range(PARTS - 1)]
    mean = [abs(sum(readings_um(serial))) / PLACES > 6.0 for serial in range(PARTS - 1)]
    assert sum(worst) > 2 * sum(mean) > 0
    works = gauged({"reject": "pass", "tries": 0}, rule={"gauge": {"size": 6.0}})
    seen, tallies = on_both_engines(works)
    for tally in tallies:
        assert tally.planned.tolist() == [sum(worst)]
    since, parts = 0, []
    for is_past in worst:
        since += 1
        if is_past:
            parts.append(since)
            since = 0
    assert [change.parts for change in seen.changes] == parts


def test_each_try_is_read_anew_at_each_place() -> None:
    """A reading over 6 µm has the part cut again, which changes nothing; one under -6 µm is scrap, as is a third."""
    recuts = scrapped = 0
    causes = {Cause.CUT_AWAY: 0, Cause.METAL_LEFT: 0}
    for serial in range(PARTS):
        for tries in range(3):
            read = readings_um(serial, tries)
            if min(read) < -6.0 or (max(read) > 6.0 and tries == 2):
                scrapped += 1
                causes[Cause.CUT_AWAY if min(read) < -6.0 else Cause.METAL_LEFT] += 1
                break
            if max(read) <= 6.0:
                break
            recuts += 1
    assert recuts > 10
    assert min(causes.values()) > 0
    _, tallies = on_both_engines(gauged({"tries": 2}))
    for tally in tallies:
        assert tally.recut.sum() == tally.recut[0, Cause.METAL_LEFT] == recuts
        assert tally.scrapped_parts.tolist() == [scrapped]
        assert {cause: int(tally.scrapped[0, cause]) for cause in causes} == causes
        assert tally.shipped.tolist() == [PARTS - scrapped]
        assert tally.readings.tolist() == [PARTS + recuts]


def test_salvage_brings_every_place_to_its_aim_and_its_finish_to_the_limit() -> None:
    """The edge leaves Ra 1 and recedes by nothing; every part is too rough for a limit of 0.4."""
    works = gauged({"tries": 0, "reject": "salvage", "reads": ["size", "roughness"]}, roughness={"limit": 0.4})
    seen, tallies = on_both_engines(works)
    for values in seen.of_parts("left", "Op 10"):
        assert values.roughness_um == [0.4] * PLACES
        assert values.error_um == [0.0] * PLACES
    for tally in tallies:
        assert tally.salvaged.sum() == PARTS
        assert tally.greatest[0, 1] == tally.least[0, 1] == 0.4
        assert tally.total[0, 1] == pytest.approx(0.4 * PARTS * PLACES)


def test_salvage_takes_out_what_is_left_on_at_every_place() -> None:
    """Castings uneven by 20 µm keep half; what is read outside 6 µm at any place is brought to 0 at all of them."""
    works = gauged({"tries": 0, "reject": "salvage", "error": 0.0}, as_cast={"spread": "20 um", "stock": 2.0})
    seen, tallies = on_both_engines(works)
    left = np.array([values.error_um for values in seen.of_parts("loaded", "Op 10")]) / 2.0
    cast = [
        [
            20.0 * normal_from_uniform(uniform_at(1, 0, int(Purpose.CASTING), 0, serial, place))
            for place in range(PLACES)
        ]
        for serial in range(PARTS)
    ]
    assert left == pytest.approx(np.array(cast) / 2.0)
    is_bad = (np.abs(left) > 6.0).any(axis=1)
    assert 0 < is_bad.sum() < PARTS
    after = np.array([values.error_um for values in seen.of_parts("left", "Op 10")])
    assert after == pytest.approx(np.where(is_bad[:, None], 0.0, left))
    for tally in tallies:
        assert tally.salvaged.sum() == is_bad.sum()
        assert tally.square[0, 0] == pytest.approx(float((np.where(is_bad[:, None], 0.0, left) ** 2).sum()))


def test_chances_of_scrap_and_recut_are_drawn_at_every_try() -> None:
    """Of the numbers of a part's try the first decides on scrap (0.25), the second on doing it again (0.4)."""
    scrapped = recuts = first_pass = 0
    for serial in range(200):
        tries = 0
        while True:
            first, second, _, _ = uniforms(1, 0, int(Purpose.YIELD), 0, serial, tries)
            if first < 0.25:
                scrapped += 1
                break
            if second >= 0.4:
                first_pass += tries == 0
                break
            tries += 1
            recuts += 1
    works = a_shop({"Op 10": {"minutes": 2, "scrap_chance": 0.25, "recut_chance": 0.4}}, castings=200)
    _, tallies = on_both_engines(works)
    for tally in tallies:
        assert tally.scrapped_parts.tolist() == [scrapped]
        assert tally.recut.sum() == recuts
        assert tally.shipped_first_pass.tolist() == [first_pass]
        assert tally.recut_min[0] == pytest.approx(2.0 * recuts)


def test_two_setters_serve_three_machines_first_come_first_served() -> None:
    """Each needs a change of 4 after every part of 3, 4 or 5; the third waits for the first setter to be free."""
    tool = {"sets": 9, "change": 4, "renewal": {"indexed": {"edges": 1000}}, "life": 1e9, "breaking": "never"}
    operation = {"minutes": 1, "sets": ["tool"], "setters": "setters"}
    operations = {f"Op {10 * n}": operation | {"minutes": 2 + n, "buffer": "unlimited"} for n in (1, 2, 3)}
    lines = {f"line {n}": {"operations": {name: spec}, "casting": {"limit": 2}}
             for n, (name, spec) in enumerate(operations.items())}  # fmt: skip
    works = a_shop(
        lines=lines, people={"setters": {"count": 2}}, cutters={"tool": tool}, rule={"parts": 1}, length=100.0
    )
    seen, tallies = on_both_engines(works)
    # Due at 3, 4 and 5, when the second parts ask; setters from 3 to 7, 4 to 8, and the third from 7 to 11.
    assert [seen.when("left", f"Op {10 * n}", f"line {n - 1}") for n in (1, 2, 3)] == [
        [3.0, 10.0], [4.0, 12.0], [5.0, 16.0],
    ]  # fmt: skip
    for tally in tallies:
        assert tally.busy_min[0] == 12.0
        assert tally.waited_min[0] == 2.0
        assert tally.jobs[0] == 3
