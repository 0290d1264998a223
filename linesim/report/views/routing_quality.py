"""Signs of the routing's drawing for gauges, measuring rooms, tests and repairs, and for machines that make errors."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from linesim.plan.times import mean_minutes
from linesim.report.theme.colours import Light
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import number
from linesim.works.model import Line
from linesim.works.operations import Operation

__all__ = ["draw_gauges", "draw_repairs", "quality_words"]

_MOST_NAMED = 3
_LOOP = ((-0.12, -0.16), (-0.12, -0.6), (0.12, -0.6), (0.12, -0.16))
"""Corners of the line on which repaired parts come back to the operation that tests them."""


def quality_words(operation: Operation) -> list[str]:
    """What an operation has of gauges, tests and errors of its own, line by line."""
    words = [_gauge_words(operation), _room_words(operation), _test_words(operation)]
    bad, warm, fixtures = operation.turns_bad, operation.warm_up, operation.fixtures
    if bad is not None:
        words.append(f"turns bad unseen with {number(100.0 * bad.chance, 2)} % of parts")
    if warm is not None:
        words.append(f"grows {warm.rise:g} µm as it warms")
    if fixtures is not None:
        count = len(fixtures.measured) or fixtures.count
        words.append(f"{count} fixtures with errors of their own" if count != "pallets" else "pallets with own errors")
    return [each for each in words if each]


def _gauge_words(operation: Operation) -> str:
    """Gauges beside the machine or in the measuring room; those in the spindle are said as probes."""
    gauges = [
        f"{name} ({gauge.feature}{'' if gauge.every == 1 else f', one in {gauge.every}'})"
        for name, gauge in operation.gauges.items()
        if gauge.where != "spindle"
    ]
    more = len(gauges) - _MOST_NAMED
    return f"gauges: {', '.join(gauges[:_MOST_NAMED])}" + (f" and {more} more" if more > 0 else "") if gauges else ""


def _room_words(operation: Operation) -> str:
    """How gauges read that stand in the measuring room."""
    room = operation.measuring_room
    if room is None or not any(gauge.where == "measuring room" for gauge in operation.gauges.values()):
        return ""
    by = "" if room.by is None else f" by {room.by}"
    return f"measuring room{by}, {number(mean_minutes(room.carry), 1)} min of way; meanwhile: {room.meanwhile}"


def _test_words(operation: Operation) -> str:
    """What parts are tested for, and what becomes of those turned down."""
    test = operation.test
    if test is None:
        return ""
    repair = test.repair
    if repair is None:
        return f"tests for {test.cause}; what fails is scrap"
    to = "" if repair.back_to is None else f", back to {repair.back_to}"
    times = "once" if repair.tries == 1 else f"{repair.tries} times at most"
    return (
        f"tests for {test.cause}; what fails is repaired in {number(mean_minutes(repair.minutes), 1)} min, {times}{to}"
    )


def draw_gauges(figure: go.Figure, operations: Sequence[Operation], light: Light) -> None:
    """A cross, as one that is ticked off, behind each operation that gauges or tests parts."""
    words = [[_gauge_words(each), _room_words(each), _test_words(each)] for each in operations]
    drawn = [(at, [text for text in each if text]) for at, each in enumerate(words) if any(each)]
    if not drawn:
        return
    figure.add_trace(
        go.Scatter(
            x=[at + 0.3 for at, _ in drawn], y=[0.16] * len(drawn), mode="markers",
            marker={"size": 10, "symbol": "x-thin-open", "color": light.ink, "line": {"width": 1.5}},
            hovertext=["<br>".join(in_picture(text, 110) for text in each) for _, each in drawn],
            hovertemplate="%{hovertext}<extra></extra>", name="gauged or tested",
        ), row=1, col=1,
    )  # fmt: skip


def draw_repairs(figure: go.Figure, line: Line, operations: Sequence[Operation], light: Light) -> None:
    """A dashed line below, from each test that sends parts to be repaired to where they come back."""
    names = list(line.operations)
    corners: list[tuple[float | None, float | None]] = []
    for at, operation in enumerate(operations):
        repair = None if operation.test is None else operation.test.repair
        if repair is None:
            continue
        to = at if repair.back_to is None else names.index(repair.back_to)
        shape = [(to + _LOOP[0][0], y) for _, y in _LOOP[:2]] + [(at + _LOOP[2][0], y) for _, y in _LOOP[2:]]
        corners += [*reversed(shape), (None, None)]
    if not corners:
        return
    figure.add_trace(
        go.Scatter(
            x=[x for x, _ in corners], y=[y for _, y in corners], mode="lines",
            line={"color": light.caution, "width": 1.5, "dash": "dash"},
            hoverinfo="skip", name="back after a repair",
        ), row=1, col=1,
    )  # fmt: skip
