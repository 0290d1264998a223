"""The routing drawn from left to right: stock before each operation, its cuts, its minutes, the constraint."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from textwrap import wrap
from typing import Any

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from linesim.desk import Desk
from linesim.desk.meeting import meeting_words
from linesim.plan.tally import State
from linesim.report.charts.frame import finish
from linesim.report.theme.colours import DAY, PALETTE, STATE_COLOURS, Light
from linesim.report.theme.picture import Picture
from linesim.report.theme.safe import in_picture, key_in_picture, short_labels
from linesim.report.theme.shown import number
from linesim.report.views.routing_crib import draw_presetting, presetting_words
from linesim.report.views.routing_meetings import draw_meetings
from linesim.report.views.routing_people import people_words
from linesim.report.views.routing_quality import draw_gauges, draw_repairs, quality_words
from linesim.report.views.routing_sheet import routing_sheet
from linesim.report.views.routing_signs import draw_branches, draw_changeovers, draw_magazines, draw_ways, drawn_words
from linesim.works import Works
from linesim.works.doing import called, called_at, what_it_does

__all__ = ["MINUTES", "constraint_words", "routing_picture"]

MINUTES = (
    ("handling_min", "loading and unloading", PALETTE["sky blue"], ""),
    ("cutting_min", "cutting", PALETTE["blue"], ""),
    ("gauging_min", "gauging", PALETTE["bluish green"], "x"),
    ("change_min", "changing cutters", PALETTE["orange"], "/"),
    ("look_min", "checking edges", PALETTE["yellow"], "\\"),
    ("changeover_min", "changing over", STATE_COLOURS[State.CHANGING_OVER.words], "|"),
    ("first_piece_min", "first pieces", STATE_COLOURS[State.FIRST_PIECE.words], "+"),
    ("breakdown_min", "breakdowns", PALETTE["vermilion"], "."),
)
"""Column, words, colour and hatching: never the colour alone."""

_MOST_PIPS = 8
_PIPS_HIGH = 4
_PITCH = 0.085
_UPRIGHT = 7
"""Signs of the longest name up to which names stand upright beneath their bars."""
_MOST_UPRIGHT = 14
_SIGNS_WIDE = 11
_LINES_BENEATH = 4


def constraint_words(works: Works, desk: Desk) -> str:
    """Which operation holds each line back, the bottleneck, in a sentence each."""
    under = "" if desk.policy is None else f' and cutters are changed by "{desk.policy}"'
    sentences = []
    for row in desk.constraints.to_dict(orient="records"):
        machines = works.lines[row["line"]].operations[row["operation"]].machines
        named = called_at(works, str(row["line"]), str(row["operation"]))
        at = "its machine" if machines == 1 else f"its {machines} machines"
        line = f"{row['line']}: " if len(works.lines) > 1 else ""
        sentences.append(
            f"{line}{'The way to ' if row['is_way'] else ''}{named} holds the line back: "
            f"{'it can bring' if row['is_way'] else f'{at} can do'} {number(row['parts_per_hour'], 2)} parts an "
            f"hour, one every {number(row['minutes_per_part'], 1)} minutes, if nothing stands in the way{under}."
        )
        sentences += [meeting_words(row).strip(), *_other_holds(works, desk, row)]
    return " ".join(filter(None, sentences))


def _other_holds(works: Works, desk: Desk, of_mix: dict[Hashable, Any]) -> list[str]:
    """Part types that another operation would hold back if the line made nothing else."""
    own = desk.types[desk.types["line"] == of_mix["line"]]
    other = own[own["operation"] != of_mix["operation"]]
    return [
        f"{kind} alone would be held back by {called_at(works, str(row['line']), str(row['operation']))}, at "
        f"{number(row['parts_per_hour'], 2)} parts an hour."
        for kind, row in zip(other["part_type"], other.to_dict(orient="records"), strict=True)
    ]


def routing_picture(works: Works, desk: Desk, line: str, light: Light = DAY) -> Picture:
    """The routing of a line, and under it the minutes that each operation takes of a part.

    Parameters
    ----------
    works : Works
        The checked scenario.
    desk : Desk
        Its figures on paper.
    line : str
        Which line.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Bars are minutes of one part on all like machines together, so that the tallest is the constraint. Clicking a
        machine or a bar gives the name of its operation as custom data.
    """
    rows = desk.operations[desk.operations["line"] == line].to_dict(orient="records")
    figure = make_subplots(rows=2, cols=1, shared_xaxes=True, row_heights=[0.42, 0.58], vertical_spacing=0.03)
    held = str(desk.constraints.set_index("line")["operation"].to_dict()[line])
    _draw_flow(figure, works, line, rows, held, light)
    _draw_minutes(figure, works, line, rows)
    _mark_constraint(figure, rows, held, light)
    is_slanted = len(rows) > _MOST_UPRIGHT or max(len(label) for label in _labels(rows)) > _UPRIGHT
    finish(figure, light, 610 if is_slanted else 530)
    figure.update_layout(margin={"b": 240 if is_slanted else 150})
    names = _beneath(works, line, rows, is_slanted)
    step = max(1, len(rows) // 40)
    at = list(range(0, len(rows), step))
    ticks = {"tickmode": "array", "tickvals": at, "ticktext": [names[spot] for spot in at], "showgrid": False}
    figure.update_xaxes(range=[-0.62, len(rows) - 0.4], zeroline=False, showticklabels=False, showgrid=False)
    figure.update_xaxes(**ticks, showticklabels=True, tickangle=-60 if is_slanted else 0, row=2, col=1)
    figure.update_yaxes(visible=False, range=[-0.75, 1.45], fixedrange=True, row=1, col=1)
    figure.update_yaxes(
        title="minutes of a part", automargin=True, rangemode="tozero", gridcolor=light.rule, row=2, col=1
    )
    figure.update_layout(barmode="stack", bargap=0.35, hovermode="closest", clickmode="event+select")
    words = (
        f"The routing of {line} from left to right, {len(rows)} operations. {constraint_words(works, desk)} The table "
        "behind the picture has the minutes of each operation."
    )
    return Picture(figure, words, routing_sheet(works, rows, line))


def _labels(rows: Sequence[dict[Hashable, Any]]) -> list[str]:
    """Short names of the operations, of which no two are alike."""
    return short_labels([str(row["operation"]) for row in rows], 10)


def _beneath(works: Works, line: str, rows: Sequence[dict[Hashable, Any]], is_slanted: bool) -> list[str]:
    """What stands beneath the bars: each operation with what it does; upright in lines of few signs."""
    operations = works.lines[line].operations
    if is_slanted:
        labels = short_labels([called(str(row["operation"]), operations[str(row["operation"])]) for row in rows], 26)
        return [in_picture(label, 52) for label in labels]
    answer = []
    for label, row in zip(_labels(rows), rows, strict=True):
        name = str(row["operation"])
        words = wrap(what_it_does(name, operations[name]), _SIGNS_WIDE, max_lines=_LINES_BENEATH, placeholder="…")
        lines = "".join(f"<br>{in_picture(line, 2 * _SIGNS_WIDE)}" for line in words)
        answer.append(f"<b>{in_picture(label, 40)}</b><span style='font-size:11px'>{lines}</span>")
    return answer


def _draw_flow(
    figure: go.Figure, works: Works, line: str, rows: Sequence[dict[Hashable, Any]], held: str, light: Light
) -> None:
    """Operations as circles on one line, room for stock before them as slots of a rack, their strokes as blades above.

    A circle is an operation in a flow process chart as well; its square (inspection), triangle (storage), arrow and D
    stand for nothing else here.
    """
    top: dict[str, int] = {"row": 1, "col": 1}
    figure.add_trace(
        go.Scatter(
            x=[-0.55, len(rows) - 0.45], y=[0, 0], mode="lines+markers", line={"color": light.ink, "width": 1.5},
            marker={"symbol": ["line-ns", "line-ns"], "size": [12, 12], "color": light.ink,
                    "line": {"width": 1.5, "color": light.ink}},
            hoverinfo="skip", showlegend=False,
        ), **top,
    )  # fmt: skip
    _draw_stock(figure, rows, light)
    _draw_cuts(figure, works, line, rows, light)
    operations = list(works.lines[line].operations.values())
    draw_branches(figure, works.lines[line], operations, light)
    draw_changeovers(figure, works.lines[line], operations, light)
    draw_magazines(figure, operations, light)
    draw_ways(figure, operations, light)
    draw_meetings(figure, operations, light)
    draw_presetting(figure, works, operations, light)
    draw_gauges(figure, operations, light)
    draw_repairs(figure, works.lines[line], operations, light)
    names = [str(row["operation"]) for row in rows]
    figure.add_trace(
        go.Scatter(
            x=list(range(len(rows))), y=[0.0] * len(rows), mode="markers+text",
            text=[_in_circle(works, line, row) for row in rows],
            marker={
                "size": 24, "symbol": "circle",
                "color": light.sheet,
                "line": {"width": [4.5 if name == held else 1.5 for name in names],
                         "color": [light.caution if name == held else light.ink for name in names]},
            },
            textfont={"size": 11, "color": light.ink}, customdata=[key_in_picture(name) for name in names],
            hovertext=[_hover(works, line, row) for row in rows], hovertemplate="%{hovertext}<extra></extra>",
            showlegend=False, name="machines",
        ), **top,
    )  # fmt: skip


def _in_circle(works: Works, line: str, row: dict[Hashable, Any]) -> str:
    """How many machines, and how many parts each takes at once."""
    most = works.lines[line].operations[str(row["operation"])].at_once
    machines = f"{row['machines']}×" if row["machines"] > 1 else ""
    return f"{machines}[{most}]" if most > 1 else machines


def _draw_stock(figure: go.Figure, rows: Sequence[dict[Hashable, Any]], light: Light) -> None:
    """Room for parts that wait, as the slots of a rack, in columns; of many the number says how many."""
    x: list[float] = []
    y: list[float] = []
    many: list[tuple[float, str]] = []
    for at, row in enumerate(rows):
        room = row["buffer"]
        if at == 0:
            continue
        if not isinstance(room, int) or room > _MOST_PIPS:
            many.append((at - 0.5, "no end" if not isinstance(room, int) else str(room)))
            room = _MOST_PIPS
        x += [at - 0.46 - _PITCH * (pip // _PIPS_HIGH) + _PITCH for pip in range(room)]
        y += [-0.2 - 0.13 * (pip % _PIPS_HIGH) for pip in range(room)]
    figure.add_trace(
        go.Scatter(
            x=x, y=y, mode="markers",
            marker={"size": 8, "symbol": "line-ew-open", "color": light.faint, "line": {"width": 2.5}},
            name="room for a waiting part", hoverinfo="skip",
        ), row=1, col=1,
    )  # fmt: skip
    for spot, text in many:
        figure.add_annotation(
            x=spot, y=0.22, text=text, showarrow=False, font={"size": 11, "color": light.faint}, row=1, col=1
        )


def _draw_cuts(figure: go.Figure, works: Works, line: str, rows: Sequence[dict[Hashable, Any]], light: Light) -> None:
    """One row for each stroke, bottom up; in it one blade for each cut made at the same time."""
    x: list[float] = []
    y: list[float] = []
    texts: list[str] = []
    for at, row in enumerate(rows):
        strokes = list(works.lines[line].operations[str(row["operation"])].strokes.values())
        for level, stroke in enumerate(strokes[:6]):
            for number_, (name, cut) in enumerate(stroke.cuts.items()):
                x.append(at + 0.13 * (number_ - (len(stroke.cuts) - 1) / 2.0))
                y.append(0.42 + 0.19 * level)
                words = f"{name}: {cut.process}, {cut.feature}, {cut.depth:g} mm by {cut.cutter}"
                texts.append(in_picture(words, 90))
    figure.add_trace(
        go.Scatter(
            x=x, y=y, mode="markers",
            marker={"size": 12, "symbol": "line-ns-open", "color": light.accent, "line": {"width": 4}},
            hovertext=texts, hovertemplate="%{hovertext}<extra></extra>",
            name="a cut; cuts side by side are one stroke",
        ), row=1, col=1,
    )  # fmt: skip


def _draw_minutes(figure: go.Figure, works: Works, line: str, rows: Sequence[dict[Hashable, Any]]) -> None:
    names = [str(row["operation"]) for row in rows]
    for column, words, colour, hatch in MINUTES:
        values = [row[column] / row["machines"] for row in rows]
        if max(values, default=0.0) > 0.0:
            figure.add_trace(
                go.Bar(
                    x=list(range(len(rows))), y=values, name=words, customdata=[key_in_picture(name) for name in names],
                    marker={"color": colour,
                            "pattern": {"shape": hatch, "bgcolor": colour, "fgcolor": "#1C2733", "size": 5}},
                    hovertext=[in_picture(called_at(works, line, name), 60) for name in names],
                    hovertemplate=f"%{{hovertext}}<br>{words}: %{{y:.2f}} min<extra></extra>",
                ), row=2, col=1,
            )  # fmt: skip


def _mark_constraint(figure: go.Figure, rows: Sequence[dict[Hashable, Any]], held: str, light: Light) -> None:
    """A line at the height of the constraint, with its name."""
    at = next(number_ for number_, row in enumerate(rows) if row["operation"] == held)
    height = rows[at]["minutes_per_part"] / rows[at]["machines"]
    figure.add_hline(y=height, line={"color": light.caution, "width": 1.5, "dash": "dash"}, row=2, col=1)
    is_right = at > len(rows) / 2
    figure.add_annotation(
        x=at, y=height, text=f"{in_picture(_labels(rows)[at], 40)} holds the line back: {height:.1f} min",
        showarrow=False, yshift=11,
        xanchor="right" if is_right else "left", font={"color": light.caution, "size": 13}, row=2, col=1,
    )  # fmt: skip


def _hover(works: Works, line: str, row: dict[Hashable, Any]) -> str:
    operation = works.lines[line].operations[str(row["operation"])]
    about = f"<br>{in_picture(operation.about, 80)}" if operation.about else ""
    sentences = [*drawn_words(works.lines[line], operation), *quality_words(operation)]
    beside = "".join(f"<br>{in_picture(words, 110)}" for words in sentences)
    beside += people_words(operation)
    preset = presetting_words(works, operation)
    beside += f"<br>{in_picture(preset, 90)}" if preset else ""
    if operation.branch is not None:
        beside += f"<br>only parts that take the branch {in_picture(operation.branch, 40)}"
    if operation.unlike:
        beside += f"<br>unlike machines: {in_picture(', '.join(operation.unlike), 80)}"
    rate = number(row["parts_per_hour"], 2)
    name = in_picture(called(str(row["operation"]), operation), 60)
    return f"<b>{name}</b>{about}{beside}<br>{rate} parts an hour by itself"
