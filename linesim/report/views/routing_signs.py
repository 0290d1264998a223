"""Signs of the routing's drawing for how parts come to an operation, for which types it is, and its changeovers."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from linesim.plan.times import mean_minutes
from linesim.report.theme.colours import Light
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import number
from linesim.report.views.routing_meetings import meeting_words
from linesim.works.model import Line
from linesim.works.operations import Operation
from linesim.works.transport import Move
from linesim.works.types_of import names_for
from linesim.works.walks import cutters_of

__all__ = [
    "draw_branches",
    "draw_changeovers",
    "draw_magazines",
    "draw_ways",
    "drawn_words",
    "magazine_words",
    "way_words",
]

_MOST_NAMED = 3
_BYPASS = ((-0.36, 0.0), (-0.3, -0.68), (0.3, -0.68), (0.36, 0.0))
"""Corners of the line that leads past an operation."""


def way_words(move: Move | None) -> str:
    """How parts come to an operation; empty where the way takes no time."""
    if move is None:
        return ""
    if move.minutes is None:
        closes = "parts close up" if move.accumulates else "stops behind a part that waits"
        return f"conveyor of {move.places} parts, {number(move.transit_min, 2)} min, {closes}"
    there = f"{number(mean_minutes(move.minutes), 2)} min"
    if move.carriers is None:
        return f"{there} of way"
    back = "" if move.back is None else f", {number(mean_minutes(move.back), 2)} min back"
    return f"{move.carriers} {'carrier' if move.carriers == 1 else 'carriers'}, {there} there{back}"


def _changeover_words(line: Line, operation: Operation) -> str:
    """How long a changeover takes and who makes it; empty where there is none."""
    spec = operation.changeover
    if spec is None or len(line.parts) < 2:
        return ""
    each = {mean_minutes(spec.minutes), *(mean_minutes(to) for of in spec.from_to.values() for to in of.values())}
    least, most = (number(minutes, 1) for minutes in (min(each), max(each)))
    minutes = most if least == most else f"{least} to {most}"
    return f"changeover {minutes} min" + (f" by {spec.by}" if spec.by else "") + f", {operation.sequence}"


def _types_words(line: Line, operation: Operation) -> str:
    """For which part types an operation is; empty where it is for all."""
    here = names_for(line, operation.only)
    if len(here) == max(1, len(line.parts)):
        return ""
    more = len(here) - _MOST_NAMED
    return ", ".join(here[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "") + " only"


def drawn_words(line: Line, operation: Operation) -> list[str]:
    """What the drawing says of an operation beside its cuts and minutes, line by line."""
    most = operation.at_once
    batch = f"takes up to {most} parts at once" if most > 1 else ""
    if operation.batch is not None and operation.batch.waits > 0.0:
        batch += f", waits {number(operation.batch.waits, 1)} min for more"
    words = [batch, way_words(operation.move), _types_words(line, operation), _changeover_words(line, operation)]
    words += [magazine_words(operation), _probe_words(operation), *meeting_words(operation)]
    return [each for each in words if each]


def magazine_words(operation: Operation) -> str:
    """What the magazine of each machine holds; empty where there is none."""
    magazine = operation.magazine
    if magazine is None:
        return ""
    pockets = "magazine" if magazine.pockets is None else f"magazine of {magazine.pockets} pockets"
    kinds = list(dict.fromkeys(cutters_of(operation)))
    more = len(kinds) - _MOST_NAMED
    held = [f"{magazine.of_kind(kind)} of {kind}" for kind in kinds[:_MOST_NAMED]]
    return f"{pockets}: {', '.join(held)}" + (f" and {more} kinds more" if more > 0 else "")


def _probe_words(operation: Operation) -> str:
    """Gauges that read from the spindle, and the probe for broken cutters; empty where there is none."""
    probes = [name for name, gauge in operation.gauges.items() if gauge.where == "spindle"]
    words = [f"probes from the spindle: {', '.join(probes)}"] if probes else []
    probe = operation.breakage_probe
    if probe is not None:
        when = "every part" if probe.every == 1 else f"one part in {probe.every}"
        words.append(f"looks for broken cutters after {when}, {number(60.0 * mean_minutes(probe.minutes), 1)} s")
    return "; ".join(words)


def draw_magazines(figure: go.Figure, operations: Sequence[Operation], light: Light) -> None:
    """A hexagon under each operation whose machines hold sister cutters."""
    drawn = [(at, each) for at, each in enumerate(operations) if each.magazine is not None]
    if not drawn:
        return
    figure.add_trace(
        go.Scatter(
            x=[at - 0.2 for at, _ in drawn], y=[-0.2] * len(drawn), mode="markers",
            marker={"size": 12, "symbol": "hexagon-open", "color": light.ink, "line": {"width": 2}},
            hovertext=[in_picture(magazine_words(each), 90) for _, each in drawn],
            hovertemplate="%{hovertext}<extra></extra>", name="a magazine with sister cutters",
        ), row=1, col=1,
    )  # fmt: skip


def draw_ways(figure: go.Figure, operations: Sequence[Operation], light: Light) -> None:
    """An arrow, as transport has in a flow process chart, before each operation to which the way takes time."""
    drawn = [(at, operation.move) for at, operation in enumerate(operations) if operation.move is not None]
    if not drawn:
        return
    figure.add_trace(
        go.Scatter(
            x=[at - 0.5 for at, _ in drawn], y=[0.0] * len(drawn), mode="markers+text",
            text=[_short(move) for _, move in drawn], textposition="top center",
            textfont={"size": 10, "color": light.ink},
            marker={"size": 15, "color": light.sheet, "line": {"width": 1.5, "color": light.ink},
                    "symbol": ["square" if move.is_conveyor else "triangle-right" for _, move in drawn]},
            hovertext=[in_picture(way_words(move), 90) for _, move in drawn],
            hovertemplate="%{hovertext}<extra></extra>", name="a way (square: conveyor)",
        ), row=1, col=1,
    )  # fmt: skip


def _short(move: Move) -> str:
    """Parts on a conveyor, or carriers, and minutes."""
    if move.minutes is None:
        return f"{move.places} on it"
    minutes = f"{number(mean_minutes(move.minutes), 1)} min"
    return minutes if move.carriers is None else f"{move.carriers}× {minutes}"


def draw_branches(figure: go.Figure, line: Line, operations: Sequence[Operation], light: Light) -> None:
    """A dotted line past each operation to which not all types come, with those that do."""
    drawn = [(at, words) for at, each in enumerate(operations) if (words := _types_words(line, each))]
    if not drawn:
        return
    corners = [[(at + x, y) for x, y in _BYPASS] for at, _ in drawn]
    figure.add_trace(
        go.Scatter(
            x=[value for path in corners for value in (*(x for x, _ in path), None)],
            y=[value for path in corners for value in (*(y for _, y in path), None)],
            mode="lines", line={"color": light.ink, "width": 1.5, "dash": "dot"}, hoverinfo="skip",
            name="past it, for other part types",
        ), row=1, col=1,
    )  # fmt: skip
    for at, words in drawn:
        figure.add_annotation(
            x=at, y=-0.45, text=in_picture(words, 24), showarrow=False,
            font={"size": 10, "color": light.ink}, row=1, col=1,
        )  # fmt: skip


def draw_changeovers(figure: go.Figure, line: Line, operations: Sequence[Operation], light: Light) -> None:
    """A diamond under each operation whose machines change over from type to type."""
    drawn = [(at, words) for at, each in enumerate(operations) if (words := _changeover_words(line, each))]
    if not drawn:
        return
    figure.add_trace(
        go.Scatter(
            x=[at + 0.2 for at, _ in drawn], y=[-0.2] * len(drawn), mode="markers",
            marker={"size": 11, "symbol": "diamond-open", "color": light.caution, "line": {"width": 2}},
            hovertext=[in_picture(words, 90) for _, words in drawn], hovertemplate="%{hovertext}<extra></extra>",
            name="a changeover between part types",
        ), row=1, col=1,
    )  # fmt: skip
