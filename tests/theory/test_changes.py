"""Tool changes on isolated machines and in lines.

A change is made before the part after the last of an interval is cut, with that part already on the machine ("lazy").
Changing on the empty machine as soon as the last part has left ("eager") is no part of the model; of the cases that
tell both apart, the lazy figures are compared here. Sources with each case in tests/data/line_cases.json.

Deterministic cases are exact over whole cycles; the others are accepted as told in `tests.theory.evidence`, with the
minutes cut, the minutes of change and the failures against those to be expected as control variates.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, flat, replicate
from tests.theory.lines import case, exponential, line_of, scenario
from tests.theory.measures import LINE_FIGURES, cutting_controls, line_figures, repair_controls

LENGTH, WARM_UP = 8_000.0, 300.0
EXACT = 1e-9


def with_tool(operation: dict[str, Any], cutters: dict[str, Any], name: str, change: Any) -> None:
    """Give an operation a cutter set of its own, of which there are always sharp ones."""
    operation["sets"] = [*operation.get("sets", []), name]
    cutters[name] = {"sets": 2, "change": change, "renewal": {"bought": {}}}


def changing_controls(result: Result, change_min: list[float]) -> list[float]:
    """Minutes of changing at each operation less those that the stops should have taken; per minute."""
    table = result.machines.groupby("operation", sort=False)[["changing_min", "stops"]].sum().to_numpy()
    return [
        float(minutes - stops * mean) / result.tally.counted_min
        for (minutes, stops), mean in zip(table, change_min, strict=True)
    ]


def changing_line(stations: list[dict[str, Any]], buffers: list[int], length: float = LENGTH) -> str:
    """A line of exponential machines, some of which change a tool every so many parts."""
    operations = line_of([exponential(1.0 / station["mu"]) for station in stations], buffers)
    cutters: dict[str, Any] = {}
    rules: dict[str, Any] = {}
    for (name, operation), station in zip(operations.items(), stations, strict=True):
        if "toolN" in station:
            with_tool(operation, cutters, f"tool of {name}", exponential(1.0 / station["tool_rate"]))
            rules[f"tool of {name}"] = {"parts": station["toolN"]}
    return scenario(operations, length=length, warm_up=WARM_UP, cutters=cutters, exceptions=rules)


def run_line(stations: list[dict[str, Any]], buffers: list[int], seed: int) -> tuple[Any, Any]:
    means_min = [1.0 / station["mu"] for station in stations]
    change_min = [1.0 / station.get("tool_rate", 1.0) for station in stations]

    def controls(result: Result) -> list[float]:
        return [*cutting_controls(result, means_min), *changing_controls(result, change_min)]

    return replicate(changing_line(stations, buffers), seed, line_figures, controls)


def test_a_change_holds_up_the_part_on_the_machine() -> None:
    of = case("change_2_b2")
    agree(flat(of.expected, LINE_FIGURES), *run_line(of.parameters["stations"], of.parameters["buffers"], of.seed))


def test_a_change_in_the_middle_of_a_line() -> None:
    """Mean flow time is what tells a lazy change (7.79) from an eager one (6.75); throughput hardly differs."""
    of = case("change_modes_4")
    names = ("throughput", "mean_flow_time", "blocked", "starved")
    lazy = {name: of.expected[f"{name}_lazy"] for name in names}
    figures, known = run_line(of.parameters["stations"], of.parameters["buffers"], of.seed)
    agree(flat(lazy, names), figures, known)


@pytest.mark.parametrize("at", ["tool_first", "tool_last"])
def test_a_change_at_the_first_or_the_last_machine(at: str) -> None:
    of = case("change_modes_ends_4")
    given = of.parameters
    tool = {"mu": given["mu_tool"], "toolN": given["toolN"], "tool_rate": given["tool_rate"]}
    if at == "tool_first":
        buffer, rate = given["downstream"]
        stations = [tool, {"mu": rate}]
    else:
        rate, buffer = given["upstream"]
        stations = [{"mu": rate}, tool]
    figures, known = run_line(stations, [buffer], of.seed + 1000 * (at == "tool_last"))
    agree({"throughput": of.expected[f"throughput_{at}"]}, figures, known)


def rate_of(text: str) -> float:
    """Parts shipped per minute of one run in which nothing is left to chance."""
    result = run(works_from_text(text), engine="fast")
    return float(result.lines["shipped"].iloc[0]) / result.tally.counted_min


def isolated(minutes: float, tools: list[tuple[int, float]], length: float, warm_up: float, **operation: Any) -> str:
    """One machine that changes each of its tools every so many parts."""
    cutters: dict[str, Any] = {}
    entries = {"minutes": minutes, **operation}
    for number, (_, change_min) in enumerate(tools):
        with_tool(entries, cutters, f"tool {number}", change_min)
    rules = {f"tool {number}": {"parts": every} for number, (every, _) in enumerate(tools)}
    return scenario({"Op 10": entries}, length=length, warm_up=warm_up, cutters=cutters, exceptions=rules)


def test_a_change_every_so_many_parts_costs_its_minutes() -> None:
    of = case("count_40")
    cycle, change, every = of.parameters["cycle"], of.parameters["change"], of.parameters["every"]
    period = every * cycle + change
    # Begun half a part after a change, so that no part and no change falls on an edge of the counted time.
    text = isolated(cycle, [(every, change)], length=25 * period, warm_up=period + 0.5 * cycle)
    assert rate_of(text) == pytest.approx(of.expected["rate_per_minute"], abs=5e-9)
    assert rate_of(text) == pytest.approx(every / period, abs=EXACT)


def test_failures_add_their_repairs_to_the_changes() -> None:
    of = case("count_fail_40")
    given = of.parameters
    breakdowns = {"between": exponential(given["mttf_operating"]), "repair": exponential(given["mttr"])}
    tools = [(given["every"], given["change"])]
    text = isolated(given["cycle"], tools, length=20_000.0, warm_up=200.0, breakdowns=breakdowns)

    def figures(result: Result) -> dict[str, float]:
        return {"rate": line_figures(result)["throughput"]}

    def controls(result: Result) -> list[float]:
        return repair_controls(result, [given["mttf_operating"]], [given["mttr"]])

    agree(flat(of.expected, ("rate",)), *replicate(text, of.seed, figures, controls, replications=20))


@pytest.mark.parametrize("at", range(4))
def test_no_change_is_made_after_the_last_part(at: int) -> None:
    of = case("count_makespan_40")
    given, parts = of.parameters, of.parameters["parts"][at]
    cutters: dict[str, Any] = {}
    operation = {"minutes": given["cycle"]}
    with_tool(operation, cutters, "tool", given["change"])
    text = scenario(
        {"Op 10": operation},
        line={"casting": {"limit": parts}},
        length=1_000.0,
        cutters=cutters,
        rule={"parts": given["every"]},
    )
    trace = run(works_from_text(text), trace=True, engine="fast").trace
    assert trace is not None
    assert len(trace.parts) == parts
    assert trace.parts["left_min"].max() == pytest.approx(of.expected["finish_of_last_part"][at], abs=EXACT)


def test_two_tools_are_changed_one_after_the_other() -> None:
    of = case("two_tools_100_150")
    cycle, tools = of.parameters["cycle"], [(every, change) for every, change in of.parameters["tools"]]
    period = 300 * cycle + 3 * 6.0 + 2 * 10.0
    text = isolated(cycle, tools, length=10 * period, warm_up=period + 0.5 * cycle)
    assert rate_of(text) == pytest.approx(of.expected["rate_one_after_another"], abs=EXACT)


def test_what_two_tools_have_in_common_is_done_once_when_both_are_due() -> None:
    """The shorter change is all getting at the spindle, and the longer one takes four minutes more."""
    of = case("two_tools_100_150")
    cycle, tools = of.parameters["cycle"], of.parameters["tools"]
    (often, short), (seldom, long) = tools
    period = 300 * cycle + 2 * short + 2 * long
    text = isolated(
        cycle, [(often, 0.0), (seldom, long - short)], length=10 * period, warm_up=period + 0.5 * cycle, access=short
    )
    assert rate_of(text) == pytest.approx(of.expected["rate_done_together_when_coincident"], abs=EXACT)
