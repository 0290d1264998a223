"""Gauges on the floor: recuts, scrap and salvage, guard bands, one part in so many, and corrections of offsets."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.plan.tally import Cause, State
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

LIMIT_UM = 10.0
COPYING = 0.5
UNEVEN = {"face": {"size": {"limits": [99.99, 100.01]}, "as_cast": {"spread": "40 um", "stock": 2.0}}}
"""A face whose casting is uneven by 40 µm, of which a sharp cut leaves half; limits of 10 µm to either side."""

EVEN = {"face": {"size": {"limits": [99.9, 100.1]}}}


def gauged(gauge: dict[str, Any], parts: int = 200, length: float = 5_000.0, **works: Any) -> Seen:
    """Castings cut once by an edge that hardly dulls, and gauged."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(copying=COPYING)}}},
        "gauges": {"gauge": {"feature": "face", **gauge}},
    }
    cutters = {"blade": a_blade(life=1e9)}
    line = {"features": UNEVEN}
    return run_shop(a_shop({"Op 10": operation}, line=line, cutters=cutters, castings=parts, length=length, **works))


def found(seen: Seen) -> list[float]:
    """Unevenness of the castings, µm."""
    return seen.errors("Op 10", what="loaded")


def cuts_needed(error_um: float, limit_um: float) -> int:
    """How often a casting has to be cut until what is left on is within the limit, each cut leaving half."""
    count = 1
    while error_um * COPYING**count > limit_um:
        count += 1
    return count


def test_metal_left_on_is_cut_again_up_to_the_tries_allowed() -> None:
    """Each recut at the same setting halves what is left; what is cut away cannot be put back."""
    tries = 1
    seen = gauged({"tries": tries})
    recuts = scrap = 0
    for serial, error_um in enumerate(found(seen)):
        needed = cuts_needed(error_um, LIMIT_UM)
        is_good = error_um * COPYING >= -LIMIT_UM and needed <= 1 + tries
        assert (("line", serial) in seen.moments["complete", "Op 10"]) == is_good
        recuts += min(needed - 1, tries)
        scrap += not is_good
    assert (recuts, scrap) == (seen.tally.recut[0, Cause.METAL_LEFT], seen.tally.scrapped_castings[0])
    assert recuts > 20
    assert scrap > 20


def test_a_recut_takes_the_minutes_of_the_stroke_and_wears_the_edge() -> None:
    seen = gauged({"tries": 3, "minutes": 0.25}, rule={"parts": 1_000})
    loaded, left = seen.moments["loaded", "Op 10"], seen.moments["left", "Op 10"]
    for key in left:
        cuts = cuts_needed(seen.values["loaded", "Op 10"][key].error_um[0], LIMIT_UM)
        assert left[key] - loaded[key] == pytest.approx(1.25 * cuts)
    mount = seen.floor.machines[0].mounts[0]
    assert mount.edge.cut_min == pytest.approx(200 + seen.tally.recut.sum())
    assert mount.edge.parts == 200
    assert seen.tally.recut_min[0] == pytest.approx(seen.tally.recut.sum())


def test_a_recut_takes_only_what_is_left_standing() -> None:
    seen = gauged({"tries": 3}, rule={"parts": 1_000})
    for key, values in seen.values["complete", "Op 10"].items():
        error_um = seen.values["loaded", "Op 10"][key].error_um[0]
        expected = error_um * COPYING ** cuts_needed(error_um, LIMIT_UM)
        assert values.error_um[0] == pytest.approx(expected, abs=1e-4)


def test_a_worn_edge_cannot_take_off_what_it_cannot_reach() -> None:
    """The edge draws back 3 um a minute: what the second part has left on, 3 um, stays through two recuts."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "limits": [99.998, 100.002], "tries": 2, "reject": "pass"}},
    }
    works = a_shop(
        {"Op 10": operation},
        line={"features": EVEN},
        cutters={"blade": a_blade(life=10)},
        castings=2,
        rule={"parts": 100},
    )
    seen = run_shop(works)
    assert seen.tally.recut.sum() == 2
    assert seen.errors("Op 10") == pytest.approx([0.0, 3.0])


def test_only_the_cutter_of_the_last_cut_wears_in_a_recut() -> None:
    """A roughing cut of 2 min stands before the finishing cut in the same stroke; only the latter is made again."""
    cuts = {"rough": a_cut("lead", depth=2.0, minutes=2.0, copying=0.9), "finish": a_cut("trail", copying=COPYING)}
    operation = {
        "strokes": {"stroke": {"cuts": cuts}},
        "gauges": {"gauge": {"feature": "face", "tries": 5}},
    }
    features = {"face": {"size": {"limits": [99.99, 100.01]}, "as_cast": {"spread": "40 um", "stock": 3.0}}}
    cutters = {name: a_blade(life=1e9) for name in ("lead", "trail")}
    works = a_shop(
        {"Op 10": operation}, line={"features": features}, cutters=cutters, castings=100, rule={"parts": 1_000}
    )
    seen = run_shop(works)
    lead, trail = seen.floor.machines[0].mounts
    assert seen.tally.recut.sum() > 10
    assert lead.edge.cut_min == pytest.approx(2.0 * 100)
    assert trail.edge.cut_min == pytest.approx(100 + seen.tally.recut.sum())


def test_what_cannot_be_mended_goes_to_the_salvage_bench() -> None:
    """The bench brings it to the middle of its limits; the part goes on, but not as one of the first pass."""
    seen = gauged({"tries": 0, "reject": "salvage"})
    turned_down = [abs(error_um * COPYING) > LIMIT_UM for error_um in found(seen)]
    assert seen.tally.salvaged.sum() == sum(turned_down)
    assert seen.tally.shipped.tolist() == [200]
    assert seen.tally.shipped_first_pass.tolist() == [200 - sum(turned_down)]
    assert seen.tally.first_pass.tolist() == [200 - sum(turned_down)]
    assert [error_um == 0.0 for error_um in seen.errors("Op 10")] == turned_down


def test_a_gauge_may_only_take_notice() -> None:
    seen = gauged({"tries": 0, "reject": "pass"})
    bad = sum(abs(error_um * COPYING) > LIMIT_UM for error_um in found(seen))
    assert seen.tally.shipped.tolist() == [200]
    assert seen.tally.first_pass.tolist() == [200]
    assert seen.tally.judged[0].tolist() == [[200 - bad, 0], [0, bad]]


def test_a_guard_band_narrows_the_limits_at_each_end() -> None:
    """With 4 µm off at each end, parts between 6 and 10 µm are good and turned down all the same."""
    seen = gauged({"tries": 0, "guard_band": 4.0})
    errors = [error_um * COPYING for error_um in found(seen)]
    turned_down = sum(abs(error_um) > 6.0 for error_um in errors)
    bad = sum(abs(error_um) > LIMIT_UM for error_um in errors)
    assert seen.tally.scrapped_castings.tolist() == [turned_down]
    assert seen.tally.judged[0].tolist() == [[200 - turned_down, turned_down - bad], [0, bad]]
    assert turned_down > bad > 0


def test_a_gauge_errs() -> None:
    """Error 6 µm on parts that are all 0: read past 10 µm with a chance of 2 (1 - Phi(10 / 6)) = 0.0956."""
    even = {"face": {"size": {"limits": [99.99, 100.01]}}}
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "error": 6.0, "tries": 0, "reject": "pass"}},
    }
    cutters = {"blade": a_blade(life=1e9)}
    works = a_shop({"Op 10": operation}, line={"features": even}, cutters=cutters, castings=4_000, length=4_001.0)
    judged = run_shop(works).tally.judged[0]
    chance = math.erfc(10.0 / 6.0 / math.sqrt(2.0))
    assert judged.sum() == 4_000
    assert abs(judged[0, 1] - 4_000 * chance) <= 4.0 * math.sqrt(4_000 * chance * (1.0 - chance))


def test_one_part_in_so_many_is_gauged() -> None:
    seen = gauged({"tries": 0, "every": 5, "minutes": 0.5})
    errors = found(seen)
    fifth = range(4, 200, 5)
    assert seen.tally.readings.tolist() == [40]
    assert seen.minutes_in("Op 10", State.GAUGING) == pytest.approx(20.0)
    scrapped = {serial for _, serial in seen.moments["scrapped", "Op 10"]}
    assert scrapped == {serial for serial in fifth if abs(errors[serial] * COPYING) > LIMIT_UM}


def test_the_time_of_gauging_says_nothing_about_the_reading() -> None:
    """Times above their median (0.894 min) go with errors above 0 in half of 2000 parts, to four deviations."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {
            "gauge": {
                "feature": "face",
                "error": 5.0,
                "minutes": {"lognormal": {"mean": 1.0, "cv": 0.5}},
                "reject": "pass",
                "corrects": {"cut": "cut"},
            }
        },
    }
    works = a_shop(
        {"Op 10": operation}, line={"features": EVEN}, cutters={"blade": a_blade(life=1e9)}, castings=2_000, length=1e4
    )
    seen = run_shop(works)
    spans = seen.spans_in("Op 10", State.GAUGING)
    minutes = [end - start for start, end in spans]
    # Corrected in full, each part is off by just the error of the reading before it, with its sign turned.
    errors_um = [-error_um for error_um in seen.errors("Op 10")[1:]]
    pairs = list(zip(minutes, errors_um, strict=False))
    high = sum((time > 0.894) == (error_um > 0.0) for time, error_um in pairs)
    assert abs(high - len(pairs) / 2) <= 4.0 * math.sqrt(len(pairs) / 4)


def drifting(corrects: dict[str, Any], parts: int = 12, **gauge: Any) -> list[float]:
    """Errors of parts cut by an edge that recedes 3 µm for each part, and corrected by the gauge."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "corrects": {"cut": "cut", **corrects}, **gauge}},
    }
    works = a_shop({"Op 10": operation}, line={"features": EVEN}, cutters={"blade": a_blade(life=10)}, castings=parts)
    return run_shop(works).errors("Op 10")


@pytest.mark.parametrize("share", [1.0, 0.5])
def test_a_correction_moves_the_next_part_by_its_share(share: float) -> None:
    expected, offset = [], 0.0
    for part in range(12):
        expected.append(3.0 * part - offset)
        offset += share * expected[-1]
    assert drifting({"share": share}) == pytest.approx(expected)


def test_small_errors_are_left_alone() -> None:
    """Within 7 µm nothing is corrected; the part that reads 9 µm brings the next one back to 3 µm."""
    found_um = drifting({"dead_band": 7.0}, parts=8)
    assert found_um == pytest.approx([0.0, 3.0, 6.0, 9.0, 3.0, 6.0, 9.0, 3.0])


def test_a_gauge_on_one_part_in_three_corrects_with_what_it_reads() -> None:
    assert drifting({}, parts=7, every=3) == pytest.approx([0.0, 3.0, 6.0, 3.0, 6.0, 9.0, 3.0])


def test_a_sharp_edge_starts_without_the_old_offset() -> None:
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "corrects": {"cut": "cut"}}},
    }
    works = a_shop(
        {"Op 10": operation},
        line={"features": EVEN},
        cutters={"blade": a_blade(life=10)},
        rule={"parts": 3},
        castings=7,
    )
    assert run_shop(works).errors("Op 10") == pytest.approx([0.0, 3.0, 3.0, 0.0, 3.0, 3.0, 0.0])


def test_a_later_gauge_reaches_the_machine_that_made_the_part() -> None:
    """Op 10 moves the face it has cut by chance; only machine No. 2, which made part 1, is told of part 1."""
    operations = {
        "Op 10": {
            "machines": 2,
            "strokes": {"stroke": {"cuts": {"cut": a_cut(minutes=5.0)}}},
            "disturbs": {"face": 20.0},
        },
        "Op 20": {
            "minutes": 1,
            "buffer": 5,
            "gauges": {
                "gauge": {"feature": "face", "every": 2, "corrects": {"operation": "Op 10", "cut": "cut", "share": 0.5}}
            },
        },
    }
    cutters = {"blade": a_blade(life=1e9)}
    seen = run_shop(a_shop(operations, line={"features": EVEN}, cutters=cutters, castings=2, length=30.0))
    assert seen.machine_of["Op 10", "line", 1] == "Op 10 No. 2"
    first, second = (seen.floor.machines[machine].mounts[0].offsets for machine in (0, 1))
    assert first == {0: 0.0}
    assert list(second.values()) == pytest.approx([0.5 * seen.errors("Op 20")[1]])


def test_a_reading_of_an_edge_that_has_been_changed_since_says_nothing() -> None:
    """Gauged 3 min after it left Op 10, where the edge is changed after each part: no offset is ever moved."""
    operations = {
        "Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut(minutes=2.0)}}}, "disturbs": {"face": 20.0}},
        "Op 20": {
            "minutes": 3,
            "buffer": 50,
            "gauges": {"gauge": {"feature": "face", "corrects": {"operation": "Op 10", "cut": "cut"}}},
        },
    }
    cutters = {"blade": a_blade()}
    works = a_shop(operations, line={"features": EVEN}, cutters=cutters, castings=8, rule={"parts": 1}, length=100.0)
    seen = run_shop(works)
    assert seen.tally.readings.tolist() == [8]
    # The last part's edge stays where it is.
    assert seen.tally.corrections.tolist() == [1]


def test_an_operation_may_have_two_gauges_each_with_its_own_tries() -> None:
    """The second feature is never out, so what the first gauge recuts is all that is recut."""
    features = UNEVEN | {"bore": {"kind": "bore", "size": {"limits": [79.9, 80.1]}}}
    cuts = {"cut": a_cut(copying=COPYING), "bore cut": a_cut(feature="bore")}
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": cuts["cut"]}}, "other": {"cuts": {"bore cut": cuts["bore cut"]}}},
        "gauges": {"one": {"feature": "face", "tries": 2}, "two": {"feature": "bore", "tries": 2}},
    }
    works = a_shop(
        {"Op 10": operation}, line={"features": features}, cutters={"blade": a_blade(life=1e9)}, castings=100
    )
    seen = run_shop(works)
    needed = [cuts_needed(error_um, LIMIT_UM) for error_um in found(seen)]
    assert seen.tally.recut.sum() == sum(min(count - 1, 2) for count in needed)
    assert seen.tally.readings[1] == seen.tally.judged[0, :, 0].sum()
