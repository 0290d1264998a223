"""Part types that share a machine: cycles with changeovers, orders of types, polling and setups with a queue.

Cycles and orders are arithmetic. Polling with Poisson arrivals: H. Takagi, "Analysis of Polling Systems" (1986), from
memory; the exhaustive value agrees with a simulation written by hand. Oldest first against same type first: the exact
stationary values of a Markov chain of 126 states, derived for this test.
"""

from __future__ import annotations

from itertools import permutations
from typing import Any

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario

SEED = 20261127
HALVES = {"one": {"share": 0.5}, "two": {"share": 0.5}}


@pytest.mark.parametrize(("order", "cycle_min"), [("ABC", 680.0), ("ACB", 695.0)])
def test_a_cycle_takes_its_parts_and_its_changeovers(order: str, cycle_min: float) -> None:
    """Output is the sum of the batches over parts times minutes and changeovers: 8.82353 and 8.63309 parts an hour."""
    batches = {"A": 40, "B": 20, "C": 40}
    table = {"A": {"B": 20, "C": 50}, "B": {"C": 45, "A": 30}, "C": {"A": 15, "B": 15}}
    operation = {"minutes": 6, "minutes_by_type": {"B": 8, "C": 5}, "changeover": {"from_to": table}}
    parts = {name: {"batch": batches[name]} for name in order}
    works = works_from_text(
        scenario({"Op 10": operation}, line={"parts": parts}, length=50.0 * cycle_min, warm_up=1360.0 * 695.0)
    )
    result = run(works, engine="fast")
    assert result.lines["good_per_hour"].iloc[0] == pytest.approx(6000.0 / cycle_min, rel=1e-3)


def test_of_all_orders_of_five_types_the_best_and_the_worst_are_known() -> None:
    """Round a cycle from A to A: 49 minutes at best (A B C D E), 143 at worst, 106 on the average."""
    rows = ([0, 12, 30, 25, 40], [15, 0, 10, 35, 20], [28, 14, 0, 8, 30], [22, 33, 12, 0, 9], [10, 26, 31, 14, 0])
    table = {
        before: {after: row[at] for at, after in enumerate("ABCDE") if after != before}
        for before, row in zip("ABCDE", rows, strict=True)
    }
    orders = ["A" + "".join(rest) for rest in permutations("BCDE")]
    parts = {name: {"batch": 1} for name in "ABCDE"}
    text = scenario(
        {"Op 10": {"minutes": 1, "changeover": {"from_to": table}}},
        line={"parts": parts, "casting": {"limit": 6}},
        length=1000.0,
    )
    works = works_from_text(text)
    policies = {
        order: works.policies["as stated"].model_copy(update={"batches": {"line": dict.fromkeys(order, 1)}})
        for order in orders
    }
    works = works.model_copy(update={"policies": policies})
    minutes = {
        order: float(run_fast(make_plan(works, order), 1, 0).state_min[0, State.CHANGING_OVER]) for order in orders
    }
    assert min(minutes, key=lambda order: minutes[order]) == "ABCDE"
    assert (minutes["ABCDE"], max(minutes.values()), sum(minutes.values()) / 24.0) == (49.0, 143.0, 106.0)
    # Of five castings that wait, the nearest is taken each time: the best order here, without the way back (10).
    nearest = scenario(
        {"Op 10": {"minutes": 1, "changeover": {"from_to": table}, "sequence": "least changeover"}},
        line={
            "parts": {name: {"batch": 1} for name in "AECDB"},
            "casting": {"limit": 5, "arrivals": {"between": 0.01}},
        },
        length=1000.0,
    )
    tally = run_fast(make_plan(works_from_text(nearest), "as stated"), 1, 0)
    assert tally.state_min[0, State.CHANGING_OVER] == 39.0


# --- polling ------------------------------------------------------------------------------------------------------


def polling(rate: float, turn: Any, length: float) -> str:
    """Two types alike that arrive at the same rate each; a setup of 2 minutes at every switch, part or no part."""
    operation = {"minutes": exponential(1.0), "changeover": {"minutes": 2}, "sequence": "in turn", "turn": turn}
    arrivals = {"between": exponential(0.5 / rate)}
    line = {"parts": HALVES, "casting": {"arrivals": arrivals}}
    return scenario({"Op 10": operation | {"buffer": "unlimited"}}, line=line, length=length, warm_up=2000.0)


def waits(result: Result) -> dict[str, float]:
    """Minutes that castings wait; parts of a type alike in all."""
    return {"wait": float(result.operations["mean_wait_min"].iloc[0])}


@pytest.mark.parametrize(
    ("rate", "turn", "wait_min"),
    [(0.2, "all", 10.0 / 3.0), (0.2, "those waiting", 14.0 / 3.0), (0.1, "all", 2.5), (0.1, 1, 6.0)],
)
def test_types_in_turn_wait_as_queues_of_a_polling_server_do(rate: float, turn: Any, wait_min: float) -> None:
    """Exhaustive, gated and one at a time; E[W] = (N l b2 + r (N -/+ rho)) / (2 (1 - rho [- N l r]))."""
    agree({"wait": wait_min}, *replicate(polling(rate, turn, 60_000.0), SEED + 5, waits))


def test_one_at_a_time_has_no_steady_state_where_setups_take_all_the_time() -> None:
    """Per part 1 minute and a setup of 2 for 0.4 parts a minute: 1.2 of every minute; the queue grows without end."""
    works = works_from_text(polling(0.2, 1, 20_000.0))
    result = run(works, seed=SEED, engine="fast")
    assert result.tally.in_line_at_end[0] > 500


# --- setups with a queue ------------------------------------------------------------------------------------------


def setups(result: Result) -> dict[str, float]:
    """As the chain counts them; a part on the machine during its setup no longer waits."""
    line, operation = result.lines.iloc[0], result.operations.iloc[0]
    return {
        "output": float(line["shipped"]) / result.tally.counted_min,
        "waiting": float(operation["mean_stock"]),
        "setups": float(result.tally.changeovers[0]) / float(line["shipped"]),
        "turned away": float(line["turned_away"]) / float(line["castings"] + line["turned_away"]),
    }


def controls(result: Result) -> list[float]:
    """Castings come, minutes cut and minutes of changeovers, each less what is due; per minute."""
    tally, counted = result.tally, result.tally.counted_min
    came = float(tally.castings[0] + tally.turned_away[0])
    cut = tally.state_min[0, State.CUTTING] - tally.worked[0]
    set_up = tally.state_min[0, State.CHANGING_OVER] - tally.changeovers[0]
    return [came / counted - 0.6, float(cut) / counted, float(set_up) / counted]


@pytest.mark.parametrize(
    ("sequence", "expected"),
    [
        ("oldest first", {"output": 0.531249, "waiting": 1.3931, "setups": 0.5, "turned away": 0.114584}),
        ("same type first", {"output": 0.557479, "waiting": 1.08753, "setups": 0.355373, "turned away": 0.0708681}),
    ],
)
def test_taking_the_same_type_first_saves_setups(sequence: str, expected: dict[str, float]) -> None:
    """Poisson 0.6 a minute, two types half each, four places, cutting and setup exponential of mean 1."""
    operation = {"minutes": exponential(1.0), "changeover": {"minutes": exponential(1.0)}, "sequence": sequence}
    casting = {"arrivals": {"between": exponential(1.0 / 0.6), "when_full": "turn away"}}
    line = {"parts": HALVES, "casting": casting}
    text = scenario({"Op 10": operation | {"buffer": 4}}, line=line, length=60_000.0, warm_up=200.0)
    agree(expected, *replicate(text, SEED + 6, setups, controls))
