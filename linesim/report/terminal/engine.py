"""What the parts mean in the engine, for the terminal."""

from __future__ import annotations

import math

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.routing import EngineEffects
from linesim.routing.effects import EFFECTS

__all__ = ["engine_text"]

_PLACES = {"mm": 4, "µm": 1, "cm³": 2, "": 3}


def engine_text(answer: EngineEffects) -> Group:
    """Engine builder's figures laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : EngineEffects
        What to show.

    Returns
    -------
    rich.console.Group
    """
    head = Text(f"{plain(answer.works.name)}: in the engine", style="bold")
    for text in answer.sentences:
        head.append(f"\n{plain(text)}", style="not bold")
    parts: list[RenderableType] = [head, _effects(answer)]
    if len(answer.piston_classes):
        parts.append(_pistons(answer))
    parts.append(_basis(answer))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _effects(answer: EngineEffects) -> RenderableType:
    """All effects."""
    columns = [Column("effect", True, 24), Column("of", True, 16)]
    columns += number_columns("mean", "±", "sd", "least", "greatest", "limits", "out %", "±")
    rows = []
    for row in answer.table.to_dict(orient="records"):
        places = _PLACES[row["unit"]]
        values = [number(row[name], places) for name in ("mean", "half_width", "sd", "least", "greatest")]
        low, high = row["low"], row["high"]
        limits = f"{low:g}-{high:g}" if math.isfinite(low) else f"≤ {high:g}" if math.isfinite(high) else ""
        shares = [number(100.0 * row["share_outside"], 2), number(100.0 * row["share_half_width"], 2)]
        rows.append(
            [
                f"{row['effect']} {row['unit']}".strip(),
                row["of"],
                *values,
                limits,
                *(shares if limits else [UNKNOWN, UNKNOWN]),
            ]
        )
    return grid("From the true values of shipped parts, in the order of shipping", columns, rows)


def _pistons(answer: EngineEffects) -> RenderableType:
    """Piston classes."""
    columns = [Column("piston, mm", True), *number_columns("share of bores %", "±")]
    rows = [
        [str(row["piston_mm"]), number(100.0 * row["share"], 1), number(100.0 * row["half_width"], 1)]
        for row in answer.piston_classes.to_dict(orient="records")
    ]
    return grid("Pistons by class: the one whose clearance comes nearest to the middle", columns, rows)


def _basis(answer: EngineEffects) -> Text:
    """Formulas and what the figures stand on."""
    sources = [EFFECTS[str(name)].source for name in answer.table["effect"]]
    formulas = dict.fromkeys(part for source in sources for part in source.split("; "))
    last = len(answer.measured) - 1
    return Text(
        f"Formulas: {'; '.join(formulas)}. A bore's error is taken as the place of the wall on which the shaft lies. "
        f'Policy "{plain(answer.policy)}", seed {answer.seed}, replications 0 to {last}; ± is half the '
        f"{100.0 * answer.confidence:g} % interval over the runs.",
        style="dim",
    )
