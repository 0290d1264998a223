"""What the engine builder's figures come down to, in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pandas as pd

__all__ = ["sentences_of"]


def sentences_of(table: pd.DataFrame, classes: pd.DataFrame) -> Iterator[str]:
    """What an engine builder would say.

    Parameters
    ----------
    table, classes : pandas.DataFrame
        The tables ``effects`` and ``piston_classes`` of `linesim.routing.effects.EngineEffects`.

    Yields
    ------
    str
    """
    rows = {(row["effect"], row["of"]): row for row in table.to_dict(orient="records")}
    whole = rows.get(("compression ratio", "all cylinders"))
    if whole is not None:
        spread = rows["spread in an engine", "all cylinders"]
        yield (
            f"Compression comes to {whole['mean']:.2f} to 1, with a standard deviation of {whole['sd']:.3f} from "
            f"cylinder to cylinder; within one engine the highest and the lowest lie {spread['mean']:.3f} apart in the "
            "mean and "
            f"{spread['greatest']:.3f} at most."
        )
    if len(classes):
        misfit = float(classes["share"].iloc[-1])
        taken = [
            f"{100.0 * row['share']:.0f} % take {row['piston_mm']}" for row in classes.iloc[:-1].to_dict("records")
        ]
        tail = f"; {100.0 * misfit:.1f} % of the bores find no piston that fits" if misfit > 0.0 else ""
        yield f"Pistons by class, mm: {', '.join(taken)}{tail}."
    yield from (_share_words(row, what) for (name, _), row in rows.items() for what in _SHARES.get(str(name), ()))


_SHARES: dict[str, tuple[str, ...]] = {
    "bearing off line": ("of the rows have a bearing off the line by more than",),
    "bearing step": ("of the rows have a step between neighbours of more than",),
    "seat run-out": ("of the valve seats run out by more than",),
    "gasket face Ra": ("of the faces are outside what the gasket asks for:",),
    "gasket face scratch": ("of the faces have a scratch deeper than",),
}


def _share_words(row: dict[Any, Any], what: str) -> str:
    """One sentence of shares outside."""
    low, high = row["low"], row["high"]
    bound = f"{high:g} {row['unit']}" if not math.isfinite(low) else f"Ra {low:g} to {high:g} {row['unit']}"
    if row["share_outside"] == 0.0:
        single = what.replace("have", "has").replace("run out", "runs out").replace(" are ", " is ")
        return f"{row['of']}: none {single} {bound} ({row['values']} looked at)."
    width = "" if math.isnan(row["share_half_width"]) else f" ± {100.0 * row['share_half_width']:.1f}"
    return f"{row['of']}: {100.0 * row['share_outside']:.1f}{width} % {what} {bound}."
