"""What came of a shift that somebody ran, and how trainees get on, for the desk."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, name_rows
from linesim.report.files.run_files import write_table
from linesim.report.terminal.lesson import mark_words
from linesim.report.terminal.lesson_debrief import decision_line, progress_table
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture, short_labels
from linesim.report.theme.shown import System, converted, number, unit_shown
from linesim.store.progress import Attempt
from linesim.training.debrief import Debrief, Weighed
from linesim.training.lesson import FIGURES
from linesim.words import counted

__all__ = [
    "attempt_excel", "attempt_sheet", "compared_picture", "item_sheet", "mark_sheet", "progress_sheet",
    "progress_words", "undone_sheet", "verdict_words", "wear_picture", "wear_words", "weighed_sheet", "weighed_words",
]  # fmt: skip

_SHOWN = (
    ("earned", 0), ("good parts", 0), ("parts in limits", 0), ("scrapped", 0), ("quality loss per part", 2),
    ("cost per part", 2), ("changes", 0), ("broken edges", 0),
)  # fmt: skip
_MOST_WEIGHED = 12
_SYMBOLS = ("circle", "square", "diamond", "triangle-up", "cross", "star", "hexagon", "triangle-down")


def verdict_words(answer: Debrief) -> str:
    """Whether the mark is reached, and what the shift earned beside the same shift under other policies."""
    earned = {name: number(figures["earned"], 0) for name, figures in answer.figures.items()}
    return (
        f"{'Passed' if answer.is_passed else 'Not passed yet'}: you earned {earned['you']} {answer.currency}, quality "
        f"loss counted. On the same castings, edges and breakdowns the best policy found earns {earned['best']}, the "
        f"plan {earned['the plan']}, and running until it breaks {earned['run until it breaks']}. "
        f"{decision_line(answer)}"
    ).strip()


def mark_sheet(answer: Debrief) -> Sheet:
    """The pass mark and what was reached."""
    rows: list[list[Cell]] = []
    plain = []
    for mark, value, wanted, is_reached in answer.marks:
        relation = "at most" if mark.at_most is not None else "at least"
        verdict = "reached" if is_reached else "missed"
        cells = numbers(number(value, 2), f"{relation} {number(wanted, 2)}")
        rows.append([mark.called(answer.works), *cells, verdict, mark_words(mark, answer.works)])
        plain.append((mark.words, value, relation, wanted, verdict))
    frame = pd.DataFrame(plain, columns=["figure", "reached", "relation", "wanted", "verdict"])
    return Sheet("The pass mark", ["figure", *numbers("yours", "wanted"), "verdict", "the mark"], rows, frame)


def compared_picture(answer: Debrief, light: Light = DAY) -> Picture:
    """What was earned under each policy on the same shift; the table has the other figures."""
    names = list(answer.figures)
    colours = [PALETTE["blue"] if name == "you" else PALETTE["sky blue"] for name in names]
    figure = go.Figure(
        go.Bar(
            y=list(range(len(names))), x=[answer.figures[name]["earned"] for name in names], orientation="h",
            marker={"color": colours, "pattern": {"shape": ["" if name == "you" else "/" for name in names],
                                                  "bgcolor": light.sheet, "fgcolor": light.faint, "size": 6}},
            text=[number(answer.figures[name]["earned"], 0) for name in names], textposition="outside",
            cliponaxis=False,
            hovertext=names, hovertemplate="%{hovertext}<br>%{x:.0f}<extra></extra>",
        )
    )  # fmt: skip
    name_rows(figure, names)
    finish(figure, light, 90 + 34 * len(names))
    figure.update_xaxes(
        title=f"{in_picture(answer.currency)} earned in the shift", zeroline=True, zerolinecolor=light.ink
    )
    frame = pd.DataFrame(answer.figures).T.rename_axis("policy").reset_index()
    rows: list[list[Cell]] = [
        [name, *numbers(*(number(answer.figures[name][key], places) for key, places in _SHOWN))] for name in names
    ]
    caption = f"The same castings, edges and breakdowns under each policy; money in {answer.currency}"
    sheet = Sheet(caption, ["policy", *numbers(*(key for key, _ in _SHOWN))], rows, frame)
    return Picture(figure, verdict_words(answer), sheet)


def item_sheet(answer: Debrief) -> Sheet:
    """The ledger of the shift, quality loss and wear handed over with it, under each policy."""
    names = list(answer.items)
    frame = pd.DataFrame(answer.items)
    shown = [item for item in answer.items["you"] if max(abs(answer.items[name][item]) for name in names) >= 0.5]
    rows: list[list[Cell]] = [
        [item, *numbers(*(number(answer.items[name][item], 0) for name in names))] for item in shown
    ]
    foot: list[Cell] = ["all together", *numbers(*(number(sum(answer.items[name].values()), 0) for name in names))]
    caption = f"What the shift cost, {answer.currency}; less this, the good parts' worth is what was earned"
    return Sheet(caption, ["item", *numbers(*names)], rows, frame.rename_axis("item").reset_index(), foot)


def weighed_words(answer: Debrief) -> str:
    """How decisions are weighed."""
    words = "Each is weighed alone, by doing the shift again without it; so they do not add up."
    left_out = f" The last {answer.not_weighed} were not weighed." if answer.not_weighed else ""
    return words + left_out


def weighed_sheet(answer: Debrief) -> Sheet:
    """Decisions that cost or saved most, each with its figure and its reason."""
    caption = f"Your decisions that cost or saved most, {answer.currency}"
    return _weighed(caption, "what you decided", answer.weighed[:_MOST_WEIGHED], answer.weighed)


def undone_sheet(answer: Debrief) -> Sheet:
    """What the best policy found does and the trainee did not."""
    caption = f"What the best policy found does and you did not, each by itself, {answer.currency}"
    return _weighed(caption, "not done", answer.undone, answer.undone)


def _weighed(caption: str, what: str, shown: Sequence[Weighed], full: Sequence[Weighed]) -> Sheet:
    rows: list[list[Cell]] = [[entry.words, (_signed(entry.worth), "n"), entry.reason] for entry in shown]
    frame = pd.DataFrame([vars(entry) for entry in full], columns=["number", "words", "worth", "reason"])
    return Sheet(caption, [what, ("worth", "n"), "where the money went"], rows, frame)


def wear_picture(answer: Debrief, system: System = "metric", light: Light = DAY) -> Picture:
    """The true wear of every edge when it came off, or at the end, and what the last look at it read."""
    unit = unit_shown("mm", system)
    mounts = list(dict.fromkeys((edge.machine, edge.set) for edge in answer.edges))
    labels = [in_picture(label, 80) for label in short_labels([f"{machine}, {set_}" for machine, set_ in mounts], 40)]
    order = ("blue", "bluish green", "reddish purple", "orange")
    figure = go.Figure()
    for at, (mount, label) in enumerate(zip(mounts, labels, strict=True)):
        own = [edge for edge in answer.edges if (edge.machine, edge.set) == mount]
        colour = PALETTE[order[at % len(order)]]
        figure.add_trace(
            go.Scatter(
                x=[edge.parts for edge in own], y=[converted(edge.land_mm, "mm", system) for edge in own],
                mode="markers", name=f"{label}: true",
                marker={"symbol": _SYMBOLS[at % len(_SYMBOLS)], "size": 12, "color": colour},
                customdata=[[edge.life_share, edge.why] for edge in own],
                hovertemplate="%{x} parts, %{customdata[1]}<br>true land %{y:.3f} " + unit
                + "<br>life share %{customdata[0]:.2f}<extra></extra>",
            )
        )  # fmt: skip
        read = [edge for edge in own if edge.read_mm is not None]
        if read:
            figure.add_trace(
                go.Scatter(
                    x=[edge.parts for edge in read],
                    y=[converted(max(edge.read_mm or 0.0, 0.0), "mm", system) for edge in read],
                    mode="markers", name=f"{label}: last look",
                    marker={"symbol": f"{_SYMBOLS[at % len(_SYMBOLS)]}-open", "size": 12, "color": colour,
                            "line": {"width": 2}},
                    hovertemplate="%{x} parts<br>last look %{y:.3f} " + unit + "<extra></extra>",
                )
            )  # fmt: skip
    figure.update_xaxes(title="parts that the edge had made", rangemode="tozero")
    figure.update_yaxes(title=f"wear land, {unit}", rangemode="tozero")
    finish(figure, light, 330 + 22 * max(0, len(mounts) - 2))
    figure.update_layout(showlegend=True)
    return Picture(figure, wear_words(answer), _wear_sheet(answer, system))


def wear_words(answer: Debrief) -> str:
    """How many edges were in, and how many of them had passed their life."""
    dull = sum(edge.life_share >= 1.0 for edge in answer.edges)
    broken = sum(edge.why.startswith("broken") for edge in answer.edges)
    return (
        f"{counted(len(answer.edges), 'edge', 'edges')} "
        f"came off or were still in at the end; {dull} of them had truly passed their life, "
        f"{broken} broke."
    )


def _wear_sheet(answer: Debrief, system: System) -> Sheet:
    unit, places = unit_shown("mm", system), 3 if system == "metric" else 4
    rows: list[list[Cell]] = []
    for edge in answer.edges:
        minute = "at the end" if edge.changed_min is None else number(edge.changed_min, 0)
        read = None if edge.read_mm is None else converted(max(edge.read_mm, 0.0), "mm", system)
        cells = numbers(minute, str(edge.parts), number(edge.life_share, 2),
                        number(converted(edge.land_mm, "mm", system), places), number(read, places))  # fmt: skip
        rows.append([edge.machine, edge.set, edge.why, *cells])
    heads: list[Cell] = [
        "machine", "cutter set", "why",
        *numbers("off at min", "parts", "true life share", f"true land, {unit}", f"last look, {unit}"),
    ]  # fmt: skip
    frame = pd.DataFrame([vars(edge) for edge in answer.edges])
    return Sheet("The true wear behind what you saw", heads, rows, frame)


def _signed(value: float) -> str:
    return f"+{number(value, 0)}" if round(value) > 0 else number(value, 0)


# --- the instructor's table ------------------------------------------------------------------------------------------


def progress_words(attempts: Sequence[Attempt]) -> str:
    """How many have played how much, in a sentence."""
    if not attempts:
        return "No shift has been played to its end under a nickname yet."
    names = {attempt.nickname for attempt in attempts}
    passed = sum(attempt.is_passed for attempt in attempts)
    shifts = "1 shift has" if len(attempts) == 1 else f"{len(attempts)} shifts have"
    trainees = "1 trainee" if len(names) == 1 else f"{len(names)} trainees"
    return f"{shifts} been played to the end by {trainees}; {passed} of them passed."


def progress_sheet(attempts: Sequence[Attempt]) -> Sheet:
    """How each trainee gets on with each lesson."""
    table = progress_table(attempts)
    rows: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        share = "–" if pd.isna(row["best_share"]) else f"{number(100.0 * float(row['best_share']), 0)} %"
        cells = numbers(str(row["shifts"]), str(int(row["passed"])), share)
        rows.append([str(row["nickname"]), str(row["lesson"]), *cells, str(row["last_day"])])
    heads: list[Cell] = ["nickname", "lesson", *numbers("shifts", "passed", "best share"), "last day"]
    caption = "Progress of trainees; best share is the most that was earned over what the best policy found earns"
    return Sheet(caption, heads, rows, table)


def attempt_sheet(attempts: Sequence[Attempt]) -> Sheet:
    """Every shift that was played to its end, the last first."""
    rows: list[list[Cell]] = []
    for attempt in reversed(attempts):
        share = "–" if attempt.share_of_best is None else f"{number(100.0 * attempt.share_of_best, 0)} %"
        cells = numbers(str(attempt.shift), number(attempt.earned, 0), share, str(attempt.decisions),
                        str(attempt.steps_back))  # fmt: skip
        verdict = "passed" if attempt.is_passed else "not passed"
        rows.append([attempt.nickname, attempt.lesson, *cells, verdict, attempt.day.isoformat()])
    heads: list[Cell] = [
        "nickname", "lesson", *numbers("shift", "earned", "share of best", "decisions", "steps back"), "verdict", "day"
    ]  # fmt: skip
    frame = pd.DataFrame([vars(attempt) for attempt in attempts], columns=list(Attempt.__dataclass_fields__))
    return Sheet("Every shift played to its end, the last first", heads, rows, frame)


def attempt_excel(attempts: Sequence[Attempt]) -> bytes:
    """Every shift played as an Excel workbook; texts are no formulas."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "progress.xlsx"
        write_table(
            path, attempt_sheet(attempts).frame, {"what": "shifts played by trainees", "figures": FIGURES["earned"]}
        )
        return path.read_bytes()
