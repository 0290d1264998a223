"""Columns of the plan on heats of castings and on broken cutters."""

from __future__ import annotations

from typing import Any

from linesim.plan.tables import NONE, Breakage
from linesim.plan.times import TimeTable
from linesim.works.crib import Cutter
from linesim.works.mishaps import Heats

__all__ = ["broken_columns", "heat_columns"]


def heat_columns(heats: Heats | None, day_min: float) -> dict[str, Any]:
    """Columns of a line on the heats of its castings; without heats all factors are 1."""
    if heats is None:
        return {"heat_castings": 0, "heat_min": 0.0, "heat_life_cv": 0.0, "heat_force_cv": 0.0}
    by_day = heats.of == "day"
    return {
        "heat_castings": 0 if by_day else heats.of,
        "heat_min": day_min if by_day else 0.0,
        "heat_life_cv": heats.life,
        "heat_force_cv": heats.force,
    }


def broken_columns(cutter: Cutter, times: TimeTable) -> dict[str, Any]:
    """Columns of a kind of cutter set on what becomes of the part when one breaks."""
    if isinstance(cutter.broken, str):
        fate = Breakage.SCRAP if cutter.broken == "scrap" else Breakage.SPARED
        return {"broken": int(fate), "saved_share": 0.0, "saving_time": NONE}
    salvage = cutter.broken.salvage
    return {
        "broken": int(Breakage.SALVAGE),
        "saved_share": salvage.share,
        "saving_time": times.add(salvage.minutes),
    }
