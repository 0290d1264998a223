"""A debrief and trainees' progress for the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import pandas as pd
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.lesson import mark_words, wrapped
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import number
from linesim.store.progress import Attempt
from linesim.training.debrief import Debrief, Weighed

__all__ = ["debrief_text", "decision_line", "progress_table", "progress_text"]

_SHOWN = (
    ("earned", "earned", 0),
    ("good parts", "good parts", 0),
    ("parts in limits", "in limits", 0),
    ("scrapped", "scrap", 0),
    ("quality loss per part", "loss /part", 2),
    ("cost per part", "cost /part", 2),
    ("changes", "changes", 0),
    ("broken edges", "broke", 0),
)
_MOST_DECISIONS = 8
_MOST_EDGES = 24
_FOLD = 82


def debrief_text(answer: Debrief) -> Group:
    """What a shift came to, and what is to be learnt from it."""
    parts: list[RenderableType] = [Text(f"{plain(answer.lesson)}: shift {answer.number} looked back on", style="bold")]
    parts += [_marks(answer), _compared(answer), *_decisions(answer), *_undone(answer), _edges(answer)]
    texts = [f"Try next: {answer.try_next}", answer.text, f"Best found policy: {answer.best_words}"]
    parts += [Text(wrapped(text)) for text in texts]
    for ask, worked in answer.answers:
        parts.append(Text(f"{wrapped(ask, '   ', 'Q: ')}\n{wrapped(worked, '   ', 'A: ')}"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _marks(answer: Debrief) -> RenderableType:
    """The pass mark and what was reached."""
    lines = ["PASSED" if answer.is_passed else "NOT PASSED"]
    if answer.decision:
        lines.append(wrapped(decision_line(answer), "    ", "  "))
    for mark, value, wanted, is_reached in answer.marks:
        places = 2 if mark.is_sign else 1
        relation = "at most" if mark.at_most is not None else "at least"
        sentence = f"{mark.called(answer.works)} {value:.{places}f}, {relation} {wanted:.{places}f} was wanted"
        lines.append(
            wrapped(
                f"{'reached' if is_reached else 'missed'}: {sentence} ({mark_words(mark, answer.works)})",
                "    ",
                "  ",
            )
        )
    return Text("\n".join(lines))


def decision_line(answer: Debrief) -> str:
    """Whether the lesson's own decision was taken; empty where the lesson names none."""
    if not answer.decision:
        return ""
    return f"The lesson's own decision was {'taken' if answer.is_decided else 'not taken'}: {answer.decision}"


def _compared(answer: Debrief) -> RenderableType:
    """The shift beside the same shift under other policies."""
    columns = [Column("same castings, edges, breakdowns", True), *number_columns(*(head for _, head, _ in _SHOWN))]
    rows = [
        [name, *(number(figures[key], decimals) for key, _, decimals in _SHOWN)]
        for name, figures in answer.figures.items()
    ]
    return grid(f"The same shift under other policies, {answer.currency}", columns, rows)


def _decisions(answer: Debrief) -> list[RenderableType]:
    """Decisions that cost or saved most."""
    if not answer.weighed:
        return [Text("You decided nothing that the plan does not do by itself.")]
    columns = [Column(f"worth, {answer.currency}"), Column("decision, and where the money went", True)]
    shown = answer.weighed[:_MOST_DECISIONS]
    rows = [[_worth(entry), textwrap.fill(f"{entry.words}: {entry.reason}", _FOLD)] for entry in shown]
    note = "Each is weighed alone, by doing the shift again without it; they do not add up."
    if answer.not_weighed:
        note += f" The last {answer.not_weighed} were not weighed."
    return [grid("Your decisions that cost or earned most", columns, rows), Text(note)]


def _undone(answer: Debrief) -> list[RenderableType]:
    """What the trainee did not do."""
    if not answer.undone:
        return []
    columns = [Column(f"worth, {answer.currency}"), Column("not done, and where the money would have come from", True)]
    rows = [[_worth(entry), textwrap.fill(f"{entry.words}: {entry.reason}", _FOLD)] for entry in answer.undone]
    return [grid("What the best found policy does and you did not, each by itself", columns, rows)]


def _worth(entry: Weighed) -> str:
    return f"{'+' if entry.worth >= 0 else '−'}{abs(entry.worth):.0f}"


def _edges(answer: Debrief) -> RenderableType:
    """The wear that nobody saw."""
    columns = [Column("machine", True, 12), Column("cutter set", True, 20)]
    columns += [
        *number_columns("minute", "parts", "true life share", "true land mm", "last look mm"),
        Column("why", True),
    ]
    rows = [
        [
            edge.machine,
            edge.set,
            number(edge.changed_min, 0),
            str(edge.parts),
            number(edge.life_share, 2),
            number(edge.land_mm, 2),
            number(None if edge.read_mm is None else max(edge.read_mm, 0.0), 2),
            edge.why,
        ]
        for edge in answer.edges[-_MOST_EDGES:]
    ]
    return grid("The true wear behind what you saw", columns, rows)


def progress_table(attempts: Sequence[Attempt]) -> pd.DataFrame:
    """One row per trainee and lesson: shifts played, passed, best share of what the best found policy earned."""
    names = list(Attempt.__dataclass_fields__)
    table = pd.DataFrame([vars(attempt) for attempt in attempts], columns=names)
    if table.empty:
        return pd.DataFrame(columns=["nickname", "lesson", "shifts", "passed", "best_share", "last_day"])
    grouped = table.groupby(["nickname", "lesson"], sort=True)
    return grouped.agg(
        shifts=("shift", "size"),
        passed=("is_passed", "sum"),
        best_share=("share_of_best", "max"),
        last_day=("day", "max"),
    ).reset_index()


def progress_text(attempts: Sequence[Attempt]) -> RenderableType:
    """The instructor's table."""
    columns = [Column("nickname", True, 24), Column("lesson", True, 34)]
    columns += [*number_columns("shifts", "passed", "best share %"), Column("last day", True)]
    rows = [
        [
            str(row["nickname"]),
            str(row["lesson"]),
            str(row["shifts"]),
            str(int(row["passed"])),
            number(None if pd.isna(row["best_share"]) else 100 * float(row["best_share"]), 0),
            str(row["last_day"]),
        ]
        for row in progress_table(attempts).to_dict(orient="records")
    ]
    return grid("Progress of trainees", columns, rows) if rows else Text("No shift has been played to its end yet.")
