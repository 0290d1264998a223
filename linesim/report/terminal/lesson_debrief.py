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

__all__ = ["debrief_text", "progress_table", "progress_text"]

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


def debrief_text(found: Debrief) -> Group:
    """What a shift came to, and what is to be learnt from it."""
    parts: list[RenderableType] = [Text(f"{plain(found.lesson)}: shift {found.number} looked back on", style="bold")]
    parts += [_marks(found), _compared(found), *_decisions(found), *_undone(found), _edges(found)]
    texts = [f"Try next: {found.try_next}", found.text, f"Best found policy: {found.best_words}"]
    parts += [Text(wrapped(text)) for text in texts]
    for ask, worked in found.answers:
        parts.append(Text(f"{wrapped(ask, '   ', 'Q: ')}\n{wrapped(worked, '   ', 'A: ')}"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _marks(found: Debrief) -> RenderableType:
    """The pass mark and what was reached."""
    lines = ["PASSED" if found.is_passed else "NOT PASSED"]
    for mark, value, wanted, is_reached in found.marks:
        relation = "at most" if mark.at_most is not None else "at least"
        told = f"{mark.figure} {value:.1f}, {relation} {wanted:.1f} was wanted"
        lines.append(
            wrapped(
                f"{'reached' if is_reached else 'missed'}: {told} ({mark_words(mark, found.currency)})", "    ", "  "
            )
        )
    return Text("\n".join(lines))


def _compared(found: Debrief) -> RenderableType:
    """The shift beside the same shift under other policies."""
    columns = [Column("same castings, edges, breakdowns", True), *number_columns(*(head for _, head, _ in _SHOWN))]
    rows = [
        [name, *(number(figures[key], decimals) for key, _, decimals in _SHOWN)]
        for name, figures in found.figures.items()
    ]
    return grid(f"The same shift under other policies, {found.currency}", columns, rows)


def _decisions(found: Debrief) -> list[RenderableType]:
    """Decisions that cost or saved most."""
    if not found.weighed:
        return [Text("You decided nothing that the plan does not do by itself.")]
    columns = [Column(f"worth, {found.currency}"), Column("decision, and where the money went", True)]
    shown = found.weighed[:_MOST_DECISIONS]
    rows = [[_worth(entry), textwrap.fill(f"{entry.words}: {entry.reason}", _FOLD)] for entry in shown]
    note = "Each is weighed alone, by doing the shift again without it; they do not add up."
    if found.not_weighed:
        note += f" The last {found.not_weighed} were not weighed."
    return [grid("Your decisions that cost or earned most", columns, rows), Text(note)]


def _undone(found: Debrief) -> list[RenderableType]:
    """What the trainee did not do."""
    if not found.undone:
        return []
    columns = [Column(f"worth, {found.currency}"), Column("not done, and where the money would have come from", True)]
    rows = [[_worth(entry), textwrap.fill(f"{entry.words}: {entry.reason}", _FOLD)] for entry in found.undone]
    return [grid("What the best found policy does and you did not, each by itself", columns, rows)]


def _worth(entry: Weighed) -> str:
    return f"{'+' if entry.worth >= 0 else '−'}{abs(entry.worth):.0f}"


def _edges(found: Debrief) -> RenderableType:
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
            number(edge.read_mm, 2),
            edge.why,
        ]
        for edge in found.edges[-_MOST_EDGES:]
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
