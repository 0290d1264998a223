"""First pieces and masterings on paper: what a person with a pencil and a table of the normal distribution gets."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.works import Works, changed
from tests.floors import a_blade, a_cut, a_shop, run_shop


def shop(
    first: dict[str, Any] | None, *, policy: Any = None, places: int = 1, cut: Any = None, **setting: Any
) -> Works:
    """One cut of a minute; the edge is changed after ten parts and does not wear."""
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut(**(cut or {}))}}}}
    operation |= {} if first is None else {"first_piece": first}
    features = {"face": {"places": places}}
    return a_shop({"Op 10": operation}, line={"features": features},
                   cutters={"blade": a_blade(life=1e9, setting=setting)}, length=12_000.0,
                   policies={"as stated": {"default": {"parts": 10}, **(policy or {})}})  # fmt: skip


def minutes(works: Works) -> float:
    """Minutes of first pieces for each part, which all tables agree upon."""
    desk = desk_figures(works, "as stated")
    row, part = desk.operations.iloc[0], desk.sets.iloc[0]
    assert row["first_piece_min"] == part["first_piece_min_per_part"]
    rest = row["cycle_min"] + row["change_min"] + row["look_min"] + row["breakdown_min"]
    assert row["minutes_per_part"] == pytest.approx(rest + row["first_piece_min"])
    return float(row["first_piece_min"])


@pytest.mark.parametrize(
    ("first", "more", "pieces"),
    [
        (None, {"error": 3}, 0.0),
        ({"accept": 3}, {}, 1.0),  # never off
        ({"accept": 3, "meanwhile": "runs on"}, {"error": 3}, 0.0),  # the machine does not stand
        ({"accept": 3}, {"error": 3}, 1.31731),  # P(|z| > 1), then right
        ({"accept": 3, "tries": 1}, {"error": 3}, 1.0),
        ({"accept": 3}, {"bias": 4}, 2.0),  # always off once
        ({"accept": 3}, {"error": 3, "bias": 3}, 1.52275),  # P(z > 0) + P(z < -2)
        # sd 5: P(|z| > 0.6) 0.54851; then 3 root 2: P(|z| > 0.70711) 0.47950; two tries more.
        ({"accept": 3, "error": 3}, {"error": 4}, 1.0 + 0.54851 * 1.47950),
        ({"accept": 3, "error": 3, "tries": 4}, {"error": 4}, 1.0 + 0.54851 * (1.47950 + 0.47950**2)),
        # Steps of 8: below 4 nothing is put on, sd 5: P(|z| > 0.8) 0.42371. Then 3, 8 / sqrt(12) and 3: sd 4.83046,
        # P(|z| > 0.82808) 0.40763; two tries more.
        ({"error": 3}, {"error": 4, "step": 8}, 1.0 + 0.42371 * 1.40763),
        # The mean of nine places reads with a third of 9, the repeatability within it.
        ({"accept": 3, "error": 0}, {"error": 4, "places": 9, "cut": {"repeatability": 9}}, 1.0 + 0.54851 * 1.47950),
    ],
)
def test_pieces_after_a_change(first: dict[str, Any] | None, more: dict[str, Any], pieces: float) -> None:
    """Two minutes each, after every ten parts."""
    given = None if first is None else first | {"minutes": 2}
    assert minutes(shop(given, **more)) == pytest.approx(2.0 * pieces / 10.0, abs=2e-6)


@pytest.mark.parametrize(("after", "pieces"), [(4, 2.0), (10, 1.0)])
def test_a_set_that_is_set_anew_within_its_interval_has_one_piece_more(after: int, pieces: float) -> None:
    works = shop({"accept": 3, "minutes": 2}, policy={"rezero": {"blade": after}})
    assert minutes(works) == pytest.approx(2.0 * pieces / 10.0)


def test_the_floor_gauges_as_many_pieces_as_the_desk_says() -> None:
    """1.8115 a change, of at most three pieces: the standard deviation is below one, and five errors are allowed."""
    works = shop({"accept": 3, "error": 3}, error=4)
    tally = run_shop(works).tally
    changes = int(tally.planned.sum())
    assert changes > 1000
    assert tally.first_gauged[0] / changes == pytest.approx(1.0 + 0.54851 * 1.47950, abs=5.0 / changes**0.5)


def test_masterings_are_minutes_of_gauging() -> None:
    """Two gauges: 4 min after every 20 readings of each fifth part; 3 min after 6 readings, each part read in 0.5."""
    gauges = {
        "one": {"feature": "face", "every": 5, "drift": {"mastered": {"every": 20, "minutes": 4}}},
        "two": {"feature": "face", "minutes": 0.5, "drift": {"mastered": {"every": 6, "minutes": 3}}},
    }
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": gauges}
    features = {"face": {"size": {"limits": [99.9, 100.1]}}}
    works = a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": a_blade(life=1e9)}, length=9.0)
    row = desk_figures(works, "as stated").operations.iloc[0]
    assert row["gauging_min"] == pytest.approx(0.5 + 4.0 / 100.0 + 3.0 / 6.0)
    assert row["minutes_per_part"] == pytest.approx(1.0 + 1.04)
    assert row["cycle_min"] == pytest.approx(2.04)
    by_shift = changed(works, {"policies": {"as stated": {"default": {"shift": 2}}}})
    assert desk_figures(by_shift, "as stated").sets["parts_between"].iloc[0] == pytest.approx(2 * 480.0 / 2.04)


def test_minutes_of_waiting_for_whoever_gauges_are_said_to_be_left_out() -> None:
    first = {"accept": 3, "minutes": 2, "by": "fitters"}
    said = 'first pieces of "Op 10" (0.2 min of each part) are gauged by "fitters"'
    for more, is_said in (({}, True), ({"by": None}, False), ({"meanwhile": "runs on"}, False)):
        own = {"lines": {"line": {"operations": {"Op 10": {"first_piece": first | more}}}}}
        works = changed(shop(None), {"people": {"fitters": {"count": 1}}, **own})
        desk = desk_figures(works, "as stated")
        assert (
            any(said in remark and "also stands until one of them has time" in remark for remark in desk.remarks)
            is is_said
        )
        assert "whoever gauges first pieces" in desk.basis
