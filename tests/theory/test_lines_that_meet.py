"""Lines that meet: two streams joined as they come, and parts matched by the classes of their sizes."""

from __future__ import annotations

import math

import pytest

from linesim.study import run
from linesim.works import works_from_text
from tests.floors import PLAIN, a_blade, a_cut
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario_of_lines

SEED = 20261127

WIDTH_UM = 12.0
PARTS = {"cases": 90, "pistons": 93}
"""Parts in which the sizes of either line run evenly through that width, and begin anew: 30 and 31 in each class."""


@pytest.mark.parametrize(
    ("between", "rooms", "kits"), [(1.0, (3, 3), 0.857143), (1.0 / 1.2, (3, 3), 0.922576), (1.0, (1, 2), 0.75)]
)
def test_two_streams_are_joined_at_once(between: float, rooms: tuple[int, int], kits: float) -> None:
    """So many of either kind may wait, a further one is turned away. The difference of the two is a walk from -3 to 3,
    so that 6/7 find a fellow of as many that come (exact chain); from -1 to 2 it is 3/4.

    De Cuypere and others, Journal of Applied Mathematics 2013, 843184 has such kits with the same reasoning.
    """

    def stream(mean_min: float, name: str, **entries: object) -> dict[str, object]:
        arrivals = {"between": exponential(mean_min), "when_full": "turn away"}
        return {"casting": {"arrivals": arrivals}, "operations": {name: {"minutes": 0, **entries}}}

    lines = {
        "cases": stream(1.0, "join", buffer=rooms[0], joins={"caps": {"stock": rooms[1] - 1}}),
        # The last of them stands on the machine.
        "caps": stream(between, "hand over", buffer=0),
    }
    text = scenario_of_lines(lines, length=3000.0, warm_up=100.0)
    figures, controls = replicate(
        text, SEED, lambda result: {"kits": result.joins["joined"].iloc[0] / result.tally.counted_min}
    )
    agree({"kits": kits}, figures, controls)


@pytest.mark.parametrize("classes", [1, 3])
def test_classes_divide_the_spread_of_a_clearance(classes: int) -> None:
    """Of two even spreads of 12 µm the difference has 12/sqrt(6) µm and ranges over 24; by three classes a third.

    Sizes run evenly through the spread as the edge wears, without any chance, over eleven rounds of all pairs; they
    move in steps of 12/90 and 12/93 µm.
    """
    lines, cutters = {}, {}
    for name, parts in PARTS.items():
        # The edge recedes 30 µm in its 100 minutes.
        minutes = WIDTH_UM / (0.3 * parts)
        lines[name] = {
            "material": "EN-GJL-250",
            "features": {f"{name} size": {"size": {"limits": ["9.9 mm", "10.1 mm"]}}},
            "operations": {
                f"cut {name}": {
                    "strokes": {"s": {"cuts": {"c": a_cut(f"{name} blade", feature=f"{name} size", minutes=minutes)}}}
                }
            },
        }
        cutters[f"{name} blade"] = a_blade()
    matched = {"feature": "cases size", "to": "pistons size", "width": WIDTH_UM / classes}
    join = {"minutes": 0.2, "buffer": 1000, "joins": {"pistons": {"classes": matched}}}
    lines["cases"]["operations"]["join"] = join
    text = scenario_of_lines(
        lines,
        length=30000.0,
        policies={
            "as stated": {
                "default": "run out",
                "exceptions": {f"{name} blade": {"parts": parts} for name, parts in PARTS.items()},
                # Half a step aside of the bounds of the classes.
                "aims": {f"{name} blade": f"{WIDTH_UM / 2 - 0.06} um" for name in PARTS},
            }
        },
        handbook=PLAIN,
        cutters=cutters,
    )
    row = run(works_from_text(text), seed=SEED, engine="fast").joins.iloc[0]
    assert row["joined"] > 45000
    assert row["sd_fit_um"] == pytest.approx(WIDTH_UM / math.sqrt(6.0) / classes, rel=0.005)
    steps_um = sum(WIDTH_UM / parts for parts in PARTS.values())
    most_um = 2.0 * WIDTH_UM / classes - steps_um  # reached where the largest of a class meets the smallest
    assert 0.97 * most_um < row["range_fit_um"] < most_um + 0.01
    assert row["mean_fit_um"] == pytest.approx(0.0, abs=0.1)
