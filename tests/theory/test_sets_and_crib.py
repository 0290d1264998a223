"""Cutter sets that go round between machines and grinders.

A dull set goes to the crib at once; the change begins when a sharp one is there. Sources with each case in
tests/data/line_cases.json. Cases with fixed times are exact over whole periods; the others are accepted as told in
`tests.theory.evidence`, with the minutes cut, of change and of grinding against those to be expected as control
variates.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.plan.tally import State
from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, flat, replicate
from tests.theory.lines import case, exponential, scenario
from tests.theory.measures import cutting_controls

WARM_UP = 1_000.0
LENGTH_OF = {"crib_2_3": 7_000.0, "crib_1_2_more": 17_000.0}
ENDLESS = 1e6
"""Stock for grinding that is never used up, mm."""


def circulating(
    machines: int, minutes: Any, sets: int, grinders: int, regrind: Any, change: Any, rule: Any, **run_plan: float
) -> str:
    """Machines of one operation that share the sets of one kind and the grinders."""
    tool = {"sets": sets, "change": change, "renewal": {"reground": {"stock": ENDLESS, "minutes": regrind}}}
    return scenario(
        {"Op 10": {"minutes": minutes, "machines": machines, "sets": ["tool"]}},
        crib={"grinders": grinders},
        cutters={"tool": tool},
        rule=rule,
        **run_plan,
    )


def grinding_control(result: Result, regrind_min: float) -> float:
    """Minutes of grinding less those that the regrinds begun should have taken; per minute."""
    grinders = result.people.iloc[-1]
    return float(grinders["busy_min"] - grinders["jobs"] * regrind_min) / result.tally.counted_min


def closed_figures(result: Result) -> dict[str, float]:
    """Figures of sets that are worn by one use each."""
    line, machines, counted = result.lines.iloc[0], result.machines, result.tally.counted_min
    return {
        "throughput": line["shipped"] / counted,
        "machine_utilisation": float(machines["cutting_share"].mean()),
        "repair_utilisation": result.people["busy_share"].iloc[-1],
        "mean_items_machine_side": float(machines["cutting_share"].sum()) + result.sets["mean_sharp"].iloc[0],
    }


@pytest.mark.parametrize(("name", "length"), [("sets_1_2_1", 40_000.0), ("sets_3_5_1", 20_000.0)])
def test_sets_of_exponential_use_and_regrind(name: str, length: float) -> None:
    of = case(name)
    given = of.parameters
    use_min, regrind_min = 1.0 / given["use_rate"], 1.0 / given["regrind_rate"]
    text = circulating(
        given["machines"], exponential(use_min), given["sets"], given["grinders"], exponential(regrind_min), 0.0,
        {"parts": 1}, length=length, warm_up=WARM_UP,
    )  # fmt: skip

    def controls(result: Result) -> list[float]:
        return [*cutting_controls(result, [use_min]), grinding_control(result, regrind_min)]

    names = ("throughput", "machine_utilisation", "repair_utilisation", "mean_items_machine_side")
    agree(flat(of.expected, names), *replicate(text, of.seed, closed_figures, controls))


@pytest.mark.parametrize(("name", "length"), [("sets_1_2_1", 10_000.0), ("sets_3_5_1", 6_000.0)])
def test_how_often_no_machine_has_a_set(name: str, length: float) -> None:
    """Read off the trace: minutes in which all machines wait for a sharp set."""
    of = case(name)
    given = of.parameters
    use_min, regrind_min = 1.0 / given["use_rate"], 1.0 / given["regrind_rate"]
    text = circulating(
        given["machines"], exponential(use_min), given["sets"], given["grinders"], exponential(regrind_min), 0.0,
        {"parts": 1}, length=length, warm_up=WARM_UP,
    )  # fmt: skip
    works = works_from_text(text)
    results = [
        run(works, seed=of.seed + 1000, replication=replication, trace=True, engine="fast") for replication in range(40)
    ]
    known = [[*cutting_controls(result, [use_min]), grinding_control(result, regrind_min)] for result in results]
    figures = [{"prob_no_item_at_machines": share_of_all_waiting(result)} for result in results]
    agree(flat(of.expected, ("prob_no_item_at_machines",)), figures, known)


def share_of_all_waiting(result: Result) -> float:
    """Share of the counted time in which every machine waits for a sharp set."""
    assert result.trace is not None
    states, machines = result.trace.states, len(result.machines)
    waits = states[states["state"] == State.WAITING_FOR_SET.words]
    steps = [(start, 1) for start in waits["start_min"]] + [(end, -1) for end in waits["end_min"]]
    total_min, waiting, since_min = 0.0, 0, WARM_UP
    for now_min, step in sorted(steps):
        if waiting == machines:
            total_min += max(0.0, now_min - max(since_min, WARM_UP))
        waiting += step
        since_min = now_min
    return total_min / result.tally.counted_min


@pytest.mark.parametrize("name", LENGTH_OF)
def test_machines_that_wear_a_set_in_so_many_parts(name: str) -> None:
    of = case(name)
    given = of.parameters
    cycle_min, regrind_min, change_min = (1.0 / given[rate] for rate in ("cycle_rate", "regrind_rate", "change_rate"))
    text = circulating(
        given["stations"], exponential(cycle_min), given["sets"], given["grinders"], exponential(regrind_min),
        exponential(change_min), {"parts": given["parts_per_edge"]}, length=LENGTH_OF[name], warm_up=WARM_UP,
    )  # fmt: skip

    def figures(result: Result) -> dict[str, float]:
        machines = result.machines
        return {
            "throughput": float(result.lines["shipped"].iloc[0]) / result.tally.counted_min,
            "frac_working": float(machines["cutting_share"].mean()),
            "frac_changing": float(machines["changing_share"].mean()),
            "frac_waiting_for_set": float(machines["waiting_for_set_share"].mean()),
            "mean_fresh_sets": float(result.sets["mean_sharp"].iloc[0]),
        }

    def controls(result: Result) -> list[float]:
        stops, changing = result.machines[["stops", "changing_min"]].sum()
        changed = float(changing - stops * change_min) / result.tally.counted_min
        return [*cutting_controls(result, [cycle_min]), grinding_control(result, regrind_min), changed]

    names = ("throughput", "frac_working", "frac_changing", "frac_waiting_for_set", "mean_fresh_sets")
    agree(flat(of.expected, names), *replicate(text, of.seed, figures, controls))


@pytest.mark.parametrize("regrind", ["fixed", "lognormal"])
def test_with_grinders_enough_the_law_of_the_regrind_does_not_matter(regrind: str) -> None:
    """Erlang's loss formula holds for any law with the same mean."""
    of = case("sets_ample_3")
    given = of.parameters
    use_min, regrind_min = given["use_mean_exponential"], given["regrind_mean_any_law"]
    law = regrind_min if regrind == "fixed" else {"lognormal": {"mean": regrind_min, "cv": 0.8}}
    text = circulating(
        1, exponential(use_min), given["sets"], given["sets"], law, 0.0, {"parts": 1}, length=100_000.0, warm_up=3_000.0
    )

    def controls(result: Result) -> list[float]:
        return [*cutting_controls(result, [use_min]), grinding_control(result, regrind_min)]

    seed = of.seed + 1000 * (regrind == "fixed")
    agree(flat(of.expected, ("machine_utilisation",)), *replicate(text, seed, closed_figures, controls))


FIXED = ("sets_det_2_150", "sets_det_3_100", "sets_fixed_1_3_1", "sets_fixed_2_4_1", "sets_fixed_2_5_2")


@pytest.mark.parametrize("name", FIXED)
def test_sets_with_fixed_times_settle_into_a_cycle(name: str) -> None:
    """Counted over 3000 changes after the start has been forgotten; where none is named, each set has its grinder."""
    of = case(name)
    given = of.parameters
    machines, grinders = given.get("machines", 1), given.get("grinders", given["sets"])
    cutting_min = given.get("cutting_per_edge", given.get("cutting_minutes_per_edge"))
    share = of.expected["cutting_share"]
    rate = machines * share / cutting_min
    text = circulating(
        machines, cutting_min, given["sets"], grinders, given["regrind"], given["change"], {"parts": 1},
        length=3_000.0 / rate, warm_up=200.0 / rate + 0.123,
    )  # fmt: skip
    result = run(works_from_text(text), engine="fast")
    changes = float(result.changes["planned"].sum())
    assert changes >= 2_000
    assert float(result.machines["cutting_share"].mean()) == pytest.approx(share, rel=1e-4)
    assert changes / result.tally.counted_min == pytest.approx(rate, rel=5e-4)
    assert float(result.machines[f"{State.WAITING_FOR_SETTER.name.lower()}_min"].sum()) == 0.0


def test_sets_go_round_from_machines_to_the_grinder_and_the_presetter() -> None:
    """Six sets, three machines, one grinder, one presetter, all times exponential: a closed network of product form.

    With visits by each set in turn the weight of n sets at the grinder is 1.5^n, at the presetter 1.8^n, and at the
    machines, of which three work, 4^n / (1, 1, 2, 6, 18, 54, 162 ...); the output is G(5) / G(6) of their sums (Jackson
    1963, Gordon and Newell 1967, from memory; summed here).
    """
    sets, machines, means = 6, 3, {"use": 4.0, "grind": 1.5, "preset": 1.8}

    def weight(used: int) -> float:
        return means["use"] ** used / math.prod(min(at, machines) for at in range(1, used + 1))

    def sum_over(n: int, preset: int = 0) -> float:
        """Over all ways in which n sets stand, those with at least so many at the presetter."""
        return sum(
            weight(n - ground - waiting) * means["grind"] ** ground * means["preset"] ** waiting
            for ground in range(n + 1)
            for waiting in range(preset, n - ground + 1)
        )

    expected = {
        "throughput": sum_over(sets - 1) / sum_over(sets),
        "busy": sum_over(sets, 1) / sum_over(sets),
        "at the presetter": sum(sum_over(sets, least) for least in range(1, sets + 1)) / sum_over(sets),
    }
    stone = {"stock": ENDLESS, "minutes": exponential(means["grind"])}
    tool = {"sets": sets, "renewal": {"reground": stone}, "presetting": exponential(means["preset"])}
    text = scenario(
        {"Op 10": {"minutes": exponential(means["use"]), "machines": machines, "sets": ["tool"]}},
        crib={"presetters": "tool room"},
        people={"tool room": {"count": 1}},
        cutters={"tool": tool},
        rule={"parts": 1},
        length=8_000.0,
        warm_up=WARM_UP,
    )

    def figures(result: Result) -> dict[str, float]:
        line, people, counted = result.lines.iloc[0], result.people.iloc[0], result.tally.counted_min
        inside = float(people["busy_share"]) + float(people["mean_queue"])
        return {
            "throughput": line["shipped"] / counted,
            "busy": float(people["busy_share"]),
            "at the presetter": inside,
        }

    agree(expected, *replicate(text, 20261127, figures))
