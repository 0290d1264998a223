"""What is read off the tables of a result to be compared with a case: lines, machines, and control variates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from linesim.result import Result

__all__ = ["LINE_FIGURES", "breaking_control", "cutting_controls", "line_figures", "repair_controls"]

LINE_FIGURES = (
    "throughput", "working", "blocked", "starved", "down", "tool_change", "mean_buffer", "mean_wip", "mean_flow_time",
)  # fmt: skip
"""Names of the figures that a case of a line states."""

_STATES = {
    "working": "cutting_share",
    "blocked": "held_up_share",
    "starved": "waiting_for_part_share",
    "down": "under_repair_share",
    "tool_change": "changing_share",
}


def line_figures(result: Result) -> dict[str, float]:
    """Figures of a line of single machines, with one entry for each machine or buffer."""
    line, machines = result.lines.iloc[0], result.machines
    found: dict[str, float] = {
        "throughput": float(line["shipped"]) / result.tally.counted_min,
        "mean_wip": float(line["mean_in_line"]),
        "mean_flow_time": float(line["mean_lead_min"]),
    }
    for name, column in _STATES.items():
        found |= {f"{name}[{at}]": float(share) for at, share in enumerate(machines[column])}
    stocks = result.operations["mean_stock"].iloc[1:]
    return found | {f"mean_buffer[{at}]": float(stock) for at, stock in enumerate(stocks)}


def _sums(result: Result, *columns: str) -> Any:
    """Sums over the machines of each operation, one array for each column."""
    return result.machines.groupby("operation", sort=False)[list(columns)].sum().to_numpy().T


def cutting_controls(result: Result, means_min: Sequence[float]) -> list[float]:
    """Minutes cut at each operation, less those that the parts done there should have taken; per minute."""
    cut, worked = _sums(result, "cutting_min", "worked")
    return [float(value) / result.tally.counted_min for value in cut - worked * list(means_min)]


def repair_controls(result: Result, between_min: Sequence[float], repair_min: Sequence[float]) -> list[float]:
    """Of each operation: failures less those due to the minutes cut, and repair less that due to the failures."""
    cut, down, failed = _sums(result, "cutting_min", "under_repair_min", "breakdowns")
    failures = failed - cut / list(between_min)
    repairs = down - failed * list(repair_min)
    return [float(value) / result.tally.counted_min for value in (*failures, *repairs)]


def breaking_control(result: Result, shape: float) -> float:
    """Edges broken, less the hazard that the edges changed have lived through; per change.

    An edge that breaks at a Weibull life share has lived through (life share)**shape when it is changed, in the mean as
    often as it breaks, whatever the rule that changes it. Needs a trace.
    """
    assert result.trace is not None
    changes = result.trace.changes
    counted = changes[changes["now_min"] >= result.plan.warm_up_min]
    broken = int((counted["why"] == "broken").sum())
    return (broken - float((counted["life_share"] ** shape).sum())) / len(counted)
