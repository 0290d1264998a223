"""Table and sentences on what was read in the measuring room."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.plan.times import mean_minutes
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.doing import called_at
from linesim.works.model import Works

__all__ = ["measuring_sentences", "measuring_table"]

_LATE = 1.5
"""An answer that takes so many times the carrying and reading is remarked upon (common practice)."""
_FEWEST = 10


def measuring_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation of which gauges read in the measuring room.

    Returns
    -------
    DataFrame
        line, operation; answered (parts read there), bad (of these, turned down), min_to_answer (from leaving the
        machine, in the mean), work_min (minutes of reading, sorting as well); sorted (parts looked through after a bad
        answer), sorted_bad (of these, turned down); in_quarantine (parts that stood there, in the mean), stood_min
        (minutes for which machines stood for a result).
    """
    stations = [station for station in stations_of(works, plan) if plan.rooms.benches[station.number] > 0]
    numbers = [station.number for station in stations]
    answered = by_operation(plan, tally.room_read)
    counted_min = tally.counted_min if tally.counted_min > 0.0 else float("nan")
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "answered": answered[numbers],
            "bad": by_operation(plan, tally.room_bad)[numbers],
            "min_to_answer": per(by_operation(plan, tally.room_min), answered)[numbers],
            "work_min": by_operation(plan, tally.room_work_min)[numbers],
            "sorted": by_operation(plan, tally.sorted)[numbers],
            "sorted_bad": by_operation(plan, tally.sorted_bad)[numbers],
            "in_quarantine": by_operation(plan, tally.held_min)[numbers] / counted_min,
            "stood_min": by_operation(plan, tally.state_min)[numbers, State.WAITING_FOR_RESULT],
        }
    )


def measuring_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Who stood for a result, whose answers came late, and what was sorted."""
    if not int(tally.room_read.sum()):
        return
    for row in measuring_table(works, plan, tally).to_dict(orient="records"):
        at = called_at(works, row["line"], row["operation"])
        if row["stood_min"] > 0.0:
            yield keep("findings.room_stood", operation=at, minutes=row["stood_min"])
        own_min = per(row["work_min"], row["answered"] + row["sorted"]) + _carry_min(
            works, row["line"], row["operation"]
        )
        if row["answered"] >= _FEWEST and row["min_to_answer"] > _LATE * own_min > 0.0:
            yield keep("findings.room_answers", operation=at, minutes=row["min_to_answer"], own=own_min)
        if row["sorted"] > 0:
            yield keep("findings.room_sorted", sorted=row["sorted"], operation=at, bad=row["sorted_bad"])


def _carry_min(works: Works, line: str, operation: str) -> float:
    room = works.lines[line].operations[operation].measuring_room
    return 0.0 if room is None else mean_minutes(room.carry)
