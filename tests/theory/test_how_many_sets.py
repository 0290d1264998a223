"""How many sets and grinders, against the exact closed loop of cutter sets and against every combination.

One machine wears each set for an exponential time, the grinders take an exponential time: a birth and death process
(Gordon and Newell 1967; Buzen 1973; the cases sets_1_2_1 and sets_3_5_1 of tests/data/line_cases.json), whose worth
less what sets and grinders cost is reckoned exactly for every combination. Seeds fixed before any run was looked at;
a combination passes if it is within a hundredth of the best.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from linesim.ask import sets
from linesim.errors import StudyError
from linesim.study import StudyOptions
from linesim.study.search import Circulation, Holding, NumberStudy
from linesim.study.search.numbers.items import items_of, with_counts
from linesim.works import Works, changed, load_works, works_from_dict
from tests.theory.lines import case, exponential

WORTH, HOURS_A_YEAR = 20.0, 48 * 5 * 2 * 8.0


def loop(sets: int, grinders: int, length: float, price: float = 0.0, rate: float = 0.0, machines: int = 1) -> Works:
    """Machines that wear a set with each part, and grinders."""
    tool = {"sets": sets, "price": price, "renewal": {"reground": {"stock": 1e6, "minutes": exponential(1 / 0.12)}}}
    operation = {"minutes": exponential(10.0), "sets": ["tool"], "machines": machines}
    return works_from_dict(
        {
            "name": "sets that go round",
            "run": {"length": length, "warm_up": 1000, "seed": 20261125},
            "crib": {"grinders": grinders, "rate": rate},
            "cutters": {"tool": tool},
            "lines": {"line": {"worth": WORTH, "operations": {"Op 10": operation}}},
            "policies": {"each part": {"default": {"parts": 1}}},
        }
    )


def busy_share(sets: int, grinders: int, use_rate: float = 0.1, grind_rate: float = 0.12, machines: int = 1) -> float:
    """Parts per minute of the closed loop: balance of flow over the number of sharp sets."""
    weights = [1.0]
    for sharp in range(sets):
        up = grind_rate * min(sets - sharp, grinders)
        weights.append(weights[-1] * up / (use_rate * min(sharp + 1, machines)))
    served = sum(weight * use_rate * min(sharp, machines) for sharp, weight in enumerate(weights))
    return served / sum(weights)


@pytest.mark.parametrize("name", ["sets_1_2_1", "sets_3_5_1"])
def test_the_reckoning_agrees_with_the_cases(name: str) -> None:
    given, expected = case(name).parameters, case(name).expected
    found = busy_share(
        given["sets"], given["grinders"], given["use_rate"], given["regrind_rate"], given["machines"]
    )  # fmt: skip
    assert found == pytest.approx(expected["throughput"], rel=1e-6)


def net_worth(sets: int, grinders: int, hourly_set: float, hourly_grinder: float) -> float:
    """Contribution per hour, all counted, as the study counts it."""
    return 60.0 * WORTH * busy_share(sets, grinders) - hourly_set * sets - hourly_grinder * grinders


@pytest.mark.parametrize(("hourly_set", "hourly_grinder"), [(3.0, 30.0), (3.0, 8.0), (9.0, 60.0)])
def test_the_cheapest_combination_is_found(hourly_set: float, hourly_grinder: float) -> None:
    every = list(product(range(1, 9), range(1, 5)))
    worths = {counts: net_worth(*counts, hourly_set, hourly_grinder) for counts in every}
    best = max(worths.values())
    # The sets are never used up, so that their price is in what they cost to hold alone.
    works = loop(2, 1, 60_000.0, price=hourly_set * HOURS_A_YEAR / 10.0)
    found = sets(works, holding=Holding(10.0, hourly_grinder), replications=10, fresh=10)
    assert worths[2, 1] < 0.99 * best
    assert worths[found.counts] >= 0.99 * best
    assert found.is_settled


def test_one_more_set_is_worth_what_the_closed_loop_says() -> None:
    works = loop(3, 1, 60_000.0)
    found = sets(works, holding=Holding(0.0, 1e4), replications=10, fresh=4, most_runs=1)
    assert isinstance(found, Circulation)
    assert not found.is_settled
    # The steps go from the numbers that the answer names.
    best = found.counts[0]
    exact = 60.0 * WORTH * (busy_share(best + 1, 1) - busy_share(best, 1))
    more = next(step for step in found.steps if step.item.kind == "set" and step.change == 1)
    # Four standard errors of a mean of ten, by Student's t: fails by chance in some 3 of 1,000 runs.
    assert abs(more.gain.mean - exact) <= 4.0 * more.gain.half_width / 2.262


def test_what_is_never_waited_for_goes() -> None:
    """Spare sets that no machine waits for cost their keep and nothing else, to the penny."""
    works = loop(8, 4, 20_000.0, price=9600.0)
    found = sets(works, holding=Holding(0.25, 0.0), replications=6, fresh=6)
    assert found.counts[0] < 8
    assert found.verdict is not None
    assert found.verdict.mean > 0.0


def test_numbers_stay_at_least_what_is_mounted() -> None:
    works = load_works("scenarios/smallest.yaml")
    short = changed(works, {"run": {"length": "2 days"}})
    found = sets(short, "every 60 parts", replications=3, fresh=2)
    assert all(count >= item.least for count, item in zip(found.counts, found.items, strict=True))
    assert changed(short, found.changes)


def test_changes_say_what_was_counted() -> None:
    works = load_works("scenarios/block-line.yaml")
    items = items_of(works, Holding())
    counts = [item.now + 1 for item in items]
    more = with_counts(works, items, counts)
    assert more.crib.grinders == works.crib.grinders + 1
    assert more.people["setters"].count == works.people["setters"].count + 1
    assert all(more.cutters[name].sets == works.cutters[name].sets + 1 for name in works.cutters)
    hourly = {item.name: item.hourly for item in items if item.kind == "set"}
    year = works.calendar.minutes_per()["year"] / 60.0
    assert hourly["bore reamer"] == pytest.approx(0.25 * 310.0 / year)


@pytest.mark.parametrize("wrong", [{"set_share": -0.1}, {"grinder_rate": -1.0}, {"idle_share": 1.5}])
def test_holding_costs_that_cannot_be_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(StudyError, match="cannot be"):
        Holding(**wrong)


def test_there_is_an_answer_from_the_first_run_on() -> None:
    steps = NumberStudy(loop(2, 1, 2_000.0), None, Holding(0.0, 5.0), 2, options=StudyOptions(3)).steps()
    first = next(iter(steps))
    assert first.answer is not None
    assert first.answer.counts == (2, 1)
    last = list(steps)[-1]
    assert last.is_final
