"""Chips under the part, clamping that moves other features, scratches on the way from machine to machine."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.tally import State
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

SCRATCHED = {"limit": 5.0, "chance_per_move": 1.0, "depth": 20.0, "depth_cv": 0.0}


def cut_of(feature: str, **entries: Any) -> dict[str, Any]:
    """An operation that cuts one feature."""
    return {"strokes": {"stroke": {"cuts": {"cut": a_cut(feature=feature, **entries)}}}}


def shop(operations: dict[str, Any], features: dict[str, Any], castings: int = 3, length: float = 1_000.0) -> Seen:
    cutters = {"blade": a_blade(life=1e9)}
    return run_shop(a_shop(operations, line={"features": features}, cutters=cutters, castings=castings, length=length))


def chips(**entries: Any) -> dict[str, Any]:
    """Chips of 50 um that scratch by 20 um, always the same."""
    return {"located_on": "pads", "thickness": 50.0, "thickness_cv": 0.0, "scratch": 20.0, "scratch_cv": 0.0, **entries}


PADS = {"face": {"size": {"limits": [99.0, 101.0]}}, "pads": {"scratch": {"limit": 5.0}}}


def test_a_chip_lifts_the_part_into_the_cut_by_a_third_and_scratches_the_located_face() -> None:
    seen = shop({"Op 10": cut_of("face") | {"chips": chips(chance=1.0)}}, PADS)
    for values in seen.of_parts("complete", "Op 10"):
        assert values.error_um == pytest.approx([-50.0 / 3.0, 0.0], abs=1e-4)
        assert values.scratch_um == pytest.approx([0.0, 20.0])
    assert seen.tally.above[1].tolist()[:3] == [0, 0, 3]


def test_a_chip_shifts_all_faces_of_the_operation_no_bore_and_nothing_of_the_next() -> None:
    features = PADS | {"bore": {"kind": "bore", "diameter": 80.0}, "slot": {}}
    first = {
        "strokes": {
            "one": {"cuts": {"cut": a_cut()}},
            "two": {"cuts": {"bore cut": a_cut(feature="bore")}},
        },
        "chips": chips(chance=1.0),
    }
    seen = shop({"Op 10": first, "Op 20": cut_of("slot")}, features)
    assert seen.of_parts("complete", "Op 20")[0].error_um == pytest.approx([-50.0 / 3.0, 0.0, 0.0, 0.0], abs=1e-4)


def test_cleaning_takes_minutes_and_leaves_fewer_chips() -> None:
    """Cleaned, no chip is left; each part is a minute of cutting after 0.5 of cleaning and 0.75 of loading."""
    cleaned = chips(chance=1.0, clean=True, clean_minutes=0.5, chance_when_cleaned=0.0)
    seen = shop({"Op 10": cut_of("face") | {"chips": cleaned, "load": 0.75, "unload": 0.25}}, PADS)
    assert seen.errors("Op 10") == pytest.approx([0.0] * 3, abs=1e-4)
    assert seen.when("left", "Op 10") == [2.5, 5.0, 7.5]
    assert seen.minutes_in("Op 10", State.LOADING) == pytest.approx(3 * 1.5)


def test_what_is_not_cleaned_takes_no_minutes_for_it() -> None:
    seen = shop({"Op 10": cut_of("face") | {"chips": chips(chance=0.0, clean_minutes=0.5)}}, PADS)
    assert seen.when("left", "Op 10") == [1.0, 2.0, 3.0]


def test_chips_lie_there_with_their_chance_on_any_of_the_places() -> None:
    """Chance 0.3 over 2000 parts, each of four pads alike: to four standard deviations."""
    pads = PADS | {"pads": {"places": 4, "scratch": {"limit": 5.0}}}
    seen = shop({"Op 10": cut_of("face") | {"chips": chips(chance=0.3)}}, pads, castings=2_000, length=2_001.0)
    hit = [sum(values.scratch_um[1 + pad] > 0.0 for values in seen.of_parts("complete", "Op 10")) for pad in range(4)]
    assert abs(sum(hit) - 600) <= 4.0 * (2_000 * 0.3 * 0.7) ** 0.5
    for count in hit:
        assert abs(count - 150) <= 4.0 * (2_000 * 0.075 * 0.925) ** 0.5


def test_a_move_scratches_faces_that_are_machined_and_no_others() -> None:
    features = {"face": {"scratch": SCRATCHED}, "later": {"scratch": SCRATCHED}}
    seen = shop({"Op 10": cut_of("face"), "Op 20": cut_of("later"), "Op 30": {"minutes": 1}}, features)
    assert seen.of_parts("loaded", "Op 20")[0].scratch_um == pytest.approx([20.0, 0.0])
    assert seen.of_parts("loaded", "Op 30")[0].scratch_um == pytest.approx([20.0, 20.0])


def test_the_last_operation_ships_without_another_move() -> None:
    seen = shop({"Op 10": cut_of("face")}, {"face": {"scratch": SCRATCHED}})
    assert seen.of_parts("left", "Op 10")[0].scratch_um == [0.0]


@pytest.mark.parametrize(("depth_mm", "left_um"), [(0.015, 5.0), (0.02, 0.0), (0.5, 0.0)])
def test_a_later_cut_takes_out_a_scratch_as_deep_as_itself(depth_mm: float, left_um: float) -> None:
    operations = {"Op 10": cut_of("face"), "Op 20": cut_of("face", depth=depth_mm)}
    seen = shop(operations, {"face": {"scratch": SCRATCHED, "as_cast": {"stock": 2.0}}})
    assert seen.of_parts("left", "Op 20")[0].scratch_um == pytest.approx([left_um], abs=1e-9)


def test_only_the_deepest_scratch_of_a_place_counts() -> None:
    """Two moves of one depth leave a scratch of that depth, not of twice as much."""
    operations = {"Op 10": cut_of("face"), "Op 20": {"minutes": 1}, "Op 30": {"minutes": 1}}
    seen = shop(operations, {"face": {"scratch": SCRATCHED}})
    assert seen.of_parts("left", "Op 30")[0].scratch_um == pytest.approx([20.0])


BORES = {"bores": {"kind": "bore", "places": 3, "diameter": 60.0, "as_cast": {"stock": 3.0}}}
CAPS_ON = {"minutes": 2, "disturbs": {"bores": 15.0}}
"""Drawing down the bearing caps moves the bores."""


def test_boring_after_the_caps_are_on_takes_their_movement_out() -> None:
    seen = shop({"Op 10": CAPS_ON, "Op 20": cut_of("bores")}, BORES)
    moved = seen.of_parts("complete", "Op 10")[0].error_um
    assert all(abs(error_um) > 0.01 for error_um in moved)
    assert seen.of_parts("left", "Op 20")[0].error_um == pytest.approx([0.0, 0.0, 0.0], abs=1e-4)


def test_boring_before_the_caps_are_on_leaves_it_in() -> None:
    seen = shop({"Op 10": cut_of("bores"), "Op 20": CAPS_ON}, BORES, castings=1_500, length=5_000.0)
    errors = [error_um for values in seen.of_parts("left", "Op 20") for error_um in values.error_um]
    assert len(errors) == 4_500
    mean_square = sum(error_um**2 for error_um in errors) / len(errors)
    assert abs(mean_square - 225.0) <= 4.0 * 225.0 * (2.0 / len(errors)) ** 0.5


def test_every_place_is_moved_by_itself() -> None:
    seen = shop({"Op 10": CAPS_ON}, BORES)
    moved = [error_um for values in seen.of_parts("left", "Op 10") for error_um in values.error_um]
    assert len(set(moved)) == 9
