"""How far beyond its limit a part is better sold than rejected: worked by hand at 5 % at the limit, 50 % at twice.

The strength has mean 2 and spread 0.607957 then (2 - 1/1.644854). Figures of the normal distribution are those of its
printed tables: 14.5 % lie below -1.0581, 10 % below -1.2816.
"""

from __future__ import annotations

import re
from statistics import NormalDist
from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.desk.concession_remarks import on_concessions
from linesim.quality.consequences import chance_of_reject, deviation_at_chance, strength_of
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop

CLAIM = {"weights": {"face": {"form": 1}}, "at_limit": 0.05, "at_twice": 0.5, "cost": 600}
SALVAGED = {"reject": "salvage", "salvage_cost": 127}


def shop(field: dict[str, Any], gauge: dict[str, Any] | None = None, more: Any = (), **line: Any) -> Works:
    """One gauged face; a part is worth 147 and 20 as scrap, so that 127 are lost with one; 107 at a concession."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"plate": {"feature": "face", "reads": ["form"], **(gauge or {})}},
    }
    values = {
        "features": {"face": {"size": {"limits": [97.0, 103.0]}, "form": {"limit": 20}}},
        "casting": {"price": 100, "scrap_value": 20},
        "worth": 147,
        "worth_out_of_drawing": 107,
        "later": {"field": field},
        **line,
    }
    return a_shop({"Op 10": operation, **dict(more)}, line=values, cutters={"blade": a_blade(life=1e9)})


def times(works: Works) -> float:
    """As the only remark has it."""
    (said,) = on_concessions(works)
    matched = re.search(r"up to ([\d.]+) times", said)
    assert matched is not None, said
    return float(matched[1])


def test_how_far_it_pays_is_said_with_all_it_rests_on() -> None:
    """127 less 40 over 600 is a chance of 14.5 %: 2 - 1.0581 x 0.607957 = 1.3567 times the limit."""
    works = shop({"claim": CLAIM})
    wanted = (
        'line: by money alone, and if the customer agrees, a part that "plate" turns down for the form of "face" is '
        "better sold at the concession's price of 107 than rejected, up to 1.36 times the deviation that its limit "
        "allows. Rejecting costs 127; selling gives up 40, and at that deviation 87 more for what fails later "
        '("claim" costs 600).'
    )
    assert list(on_concessions(works)) == [wanted]
    assert wanted in desk_figures(works).remarks


@pytest.mark.parametrize(
    ("claim", "gauge", "wanted"),
    [
        # Half the weight: twice as far.
        ({"weights": {"face": {"form": 0.5}}}, {}, 2.71),
        # (14.5 - 5) / 95 is 10 %: 2 - 1.2816 x 0.607957.
        ({"floor": 0.05}, {}, 1.22),
        # A salvaged part fails by 5.05 % as well (0.05 % of good ones lie below a strength of 0): 14.5 more of that is
        # 19.55 %, over the floor 15.31 %, below -1.0232.
        ({"floor": 0.05}, SALVAGED, 1.38),
    ],
)
def test_weight_floor_and_salvage_by_hand(claim: dict[str, Any], gauge: dict[str, Any], wanted: float) -> None:
    assert times(shop({"claim": {**CLAIM, **claim}}, gauge)) == wanted


def test_at_full_worth_nothing_is_given_up() -> None:
    """127 over 600 is 21.17 %, below -0.8006: 1.5133 times."""
    works = shop({"claim": CLAIM}, worth_out_of_drawing="full")
    assert times(works) == 1.51
    assert "sold at its full worth than" in next(on_concessions(works))


def test_two_alike_count_as_one_and_one_that_weighs_something_else_not_at_all() -> None:
    half = {**CLAIM, "cost": 300}
    assert times(shop({"one": half, "other": half})) == 1.36
    size = {**CLAIM, "weights": {"face": {"size": 1}}}
    assert times(shop({"claim": CLAIM, "size": size})) == 1.36


def test_two_unlike_cost_what_is_left_together() -> None:
    """At the deviation said, 700 and 200 with their chances come to 87, within what its two decimals can move."""
    rows = {
        "one": {**CLAIM, "cost": 700},
        "other": {**CLAIM, "weights": {"face": {"form": 0.4}}, "at_limit": 0.2, "at_twice": 0.9, "cost": 200},
    }
    at, normal = times(shop(rows)), NormalDist()

    def cost(deviation: float) -> float:
        expected = 0.0
        for row in rows.values():
            first, second = (normal.inv_cdf(row[name]) for name in ("at_limit", "at_twice"))
            weighted = row["weights"]["face"]["form"] * deviation
            expected += row["cost"] * normal.cdf(first + (second - first) * (weighted - 1.0))
        return expected

    assert cost(at - 0.005) < 87.0 < cost(at + 0.005)


@pytest.mark.parametrize(
    ("claim", "line", "gives_up", "expected"),
    [
        # 5 % of 3000 at the limit is more than 87; a discount of 127 leaves nothing, and 5 % of 600 comes to it.
        ({"cost": 3000}, {}, "40", "150"),
        ({}, {"worth_out_of_drawing": 20}, "127", "30"),
    ],
)
def test_where_it_never_pays_this_is_said(
    claim: dict[str, Any], line: dict[str, Any], gives_up: str, expected: str
) -> None:
    (said,) = on_concessions(shop({"claim": {**CLAIM, **claim}}, **line))
    assert "is never better sold at the concession's price" in said
    assert f"gives up {gives_up}, and just beyond the limit {expected} more for" in said


def test_where_it_always_pays_this_is_said() -> None:
    """A failure of 80 costs less than the 87 that selling saves, whenever it comes."""
    (said,) = on_concessions(shop({"claim": {**CLAIM, "cost": 80}}))
    assert "is always better sold" in said
    assert "at most 80 more for" in said


@pytest.mark.parametrize(
    ("claim", "gauge", "line"),
    [
        ({}, {}, {"worth_out_of_drawing": "nothing"}),
        ({}, {}, {"worth_out_of_drawing": 0}),
        ({}, {}, {"worth": 0}),
        ({"cost": 0}, {}, {}),
        ({"weights": {"face": {"form": 0}}}, {}, {}),
        ({"weights": {"face": {"size": 1}}}, {}, {}),
        ({}, {"reject": "pass"}, {}),
    ],
)
def test_where_nothing_is_sold_claimed_or_turned_down_nothing_is_said(
    claim: dict[str, Any], gauge: dict[str, Any], line: dict[str, Any]
) -> None:
    assert list(on_concessions(shop({"claim": {**CLAIM, **claim}}, gauge, **line))) == []


def test_a_test_behind_the_gauge_counts_beside_the_field_and_one_before_it_does_not() -> None:
    """Of the same 600, 100 are a repair behind: as one claim of 600. The parts are scrapped at the second of three.

    Casting 100, worth 147: two thirds of 47 in it, less the scrap value: 111.33; less 40 over 600: 11.89 %, below
    -1.1806, so 2 - 0.7178 = 1.2822.
    """
    test = {"weights": {"face": {"form": 1}}, "at_limit": 0.05, "at_twice": 0.5}
    repaired = {**test, "rejected": {"repair": {"cost": 100}}}
    operation = {"gauges": {"plate": {"feature": "face", "reads": ["form"]}}}
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}

    def with_tests(before: dict[str, Any], behind: dict[str, Any]) -> Works:
        more = {"Op 10": cut | before, "Op 20": operation | {"minutes": 1}, "Op 30": {"minutes": 1} | behind}
        return shop({"claim": {**CLAIM, "cost": 500}}, more=more)

    assert times(with_tests({}, {"test": repaired})) == 1.28
    # 71.33 over 500: 14.27 %, below -1.0683, so 2 - 0.6495.
    assert times(with_tests({"test": test}, {})) == 1.35


@pytest.mark.parametrize("floor", [0.0, 0.03])
def test_the_inverse_of_the_chance_of_a_reject(floor: float) -> None:
    mean, spread = strength_of(0.02, 0.4)
    for deviation in (0.3, 1.0, 1.7, 3.0):
        chance = chance_of_reject(deviation, mean, spread, floor)
        assert deviation_at_chance(chance, mean, spread, floor) == pytest.approx(deviation, abs=1e-8)
    assert deviation_at_chance(1.0, mean, spread, floor) == float("inf")
    on_aim = chance_of_reject(0.0, mean, spread, floor)
    assert deviation_at_chance(0.99 * on_aim, mean, spread, floor) == 0.0
    assert deviation_at_chance(-0.1, mean, spread, floor) == 0.0
