"""Lines in which nothing is left to chance: every moment of every part, exactly.

The times of each part are given in order; the cases give when a part comes onto a machine, when it is complete there,
and when it leaves it. A part comes onto the machine before a tool change that is due (the trace's "loaded" is the
moment after it), so the moment of coming is read off the states that end with the loading. Of the cases with an eager
change, which the model does not have, the same line without changes is compared. Values by the max-plus recursion
(sources in tests/data/line_cases.json), to 1e-9 minutes.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

from linesim.result import Trace
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.lines import case, line_of, scenario

EXACT = 1e-9
LAZY = ("fixed_times_0", "fixed_times_1", "fixed_times_2", "fixed_times_3", "fixed_times_4", "fixed_tool_1")
WITH_AND_WITHOUT = ("fixed_tool_0", "fixed_tool_1", "fixed_tool_2")
SEEING_TO_CUTTERS = {"waiting for a sharp cutter", "waiting for a setter", "changing cutters"}


def text_of(minutes: list[Any], buffers: list[int], tools: list[Any], parts: int, length: float) -> str:
    """A line of single machines with so many castings; tools are changed every N parts for t minutes."""
    operations = line_of(minutes, buffers)
    cutters: dict[str, Any] = {}
    rules: dict[str, Any] = {}
    for (name, operation), tool in zip(operations.items(), tools, strict=True):
        if tool is not None:
            assert tool["mode"] == "lazy"
            operation["sets"] = [f"tool of {name}"]
            cutters[f"tool of {name}"] = {"sets": 2, "change": tool["t"], "renewal": {"bought": {}}}
            rules[f"tool of {name}"] = {"parts": tool["N"]}
    line = {"casting": {"limit": parts}}
    return scenario(operations, length=length, line=line, cutters=cutters, exceptions=rules)


def trace_of(text: str) -> Trace:
    trace = run(works_from_text(text), trace=True, engine="fast").trace
    assert trace is not None
    return trace


def came_min(trace: Trace, machine: str, loaded_min: float) -> float:
    """When a part came onto a machine: before the changing of cutters that ended with its being loaded."""
    states = trace.states[trace.states["machine"] == machine]
    for row in states.sort_values("end_min", ascending=False).itertuples():
        if row.end_min == loaded_min and row.state in SEEING_TO_CUTTERS:
            loaded_min = row.start_min
    return loaded_min


def moments(trace: Trace) -> dict[str, list[list[float]]]:
    """Moments of coming, completion and departure, machine by machine and part by part."""
    found: dict[str, list[list[float]]] = {"load": [], "complete": [], "depart": []}
    for machine, rows in trace.parts.groupby("machine", sort=True):
        parts: pd.DataFrame = rows.sort_values("serial")
        found["load"].append([came_min(trace, str(machine), loaded) for loaded in parts["loaded_min"]])
        found["complete"].append(parts["complete_min"].tolist())
        found["depart"].append(parts["left_min"].tolist())
    return found


def tools_of(parameters: dict[str, Any]) -> list[Any]:
    """The tools of a case, one entry for each machine."""
    given = parameters.get("tool") or parameters.get("change_before_part_after_every")
    return given or [None] * len(parameters["service"])


@pytest.mark.parametrize("name", LAZY)
def test_every_moment_of_every_part(name: str) -> None:
    of = case(name)
    service = of.parameters["service"]
    minutes = [{"in_order": times} for times in service]
    text = text_of(minutes, of.parameters["buffers"], tools_of(of.parameters), len(service[0]), length=200.0)
    found = moments(trace_of(text))
    for name_of, values in found.items():
        np.testing.assert_allclose(values, of.expected[name_of], rtol=0.0, atol=EXACT, err_msg=name_of)


@pytest.mark.parametrize("name", WITH_AND_WITHOUT)
def test_departures_without_changes(name: str) -> None:
    of = case(name)
    service = of.parameters["service"]
    minutes = [{"in_order": times} for times in service]
    text = text_of(minutes, of.parameters["buffers"], [None] * len(service), len(service[0]), length=200.0)
    departures = moments(trace_of(text))["depart"]
    np.testing.assert_allclose(departures, of.expected["depart_without_changes"], rtol=0.0, atol=EXACT)


def test_a_long_run_with_two_tools() -> None:
    of = case("fixed_long_3")
    given, expected = of.parameters, of.expected
    parts = given["parts"]
    text = text_of(given["cycles"], given["buffers"], given["tool"], parts, length=expected["makespan"] + 1.0)
    rows = trace_of(text).parts
    left_min = rows[rows["operation"] == "Op 30"].sort_values("serial")["left_min"].to_numpy()
    assert len(left_min) == parts
    assert left_min[-1] == pytest.approx(expected["makespan"], rel=EXACT)
    for number, moment in expected["departure_of_part"].items():
        assert left_min[int(number) - 1] == pytest.approx(moment, rel=EXACT)
    half = parts // 2
    rate = (parts - half) / (left_min[-1] - left_min[half - 1])
    assert rate == pytest.approx(expected["rate_second_half"], rel=1e-9)
