"""Table and sentences on the first pieces after changes of cutters."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import State, Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.doing import called_at
from linesim.works.model import Works

__all__ = ["first_piece_columns", "first_piece_sentences", "first_piece_table"]

_MOST = 0.5
_FEWEST = 20
"""First pieces from which on it is remarked upon that most of them had to be corrected (common practice)."""


def first_piece_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation that gauges the first piece after a change.

    Returns
    -------
    DataFrame
        line, operation; stops (for cutters, of its machines); gauged (first pieces, several after one change while
        they are off), corrected (whose reading moved an offset), corrected_share of those gauged, scrapped and
        salvaged for what was read; stood_min (minutes for which machines stood for it, with the wait for whoever
        gauges), min_per_piece.
    """
    stations = [station for station in stations_of(works, plan) if station.spec.first_piece is not None]
    numbers = [station.number for station in stations]
    columns = first_piece_columns(plan, tally)
    gauged, corrected, stood_min = (columns[name] for name in ("gauged", "corrected", "stood_min"))
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "stops": by_operation(plan, tally.stops)[numbers],
            "gauged": gauged[numbers],
            "corrected": corrected[numbers],
            "corrected_share": per(corrected, gauged)[numbers],
            "scrapped": columns["scrapped"][numbers],
            "salvaged": columns["salvaged"][numbers],
            "stood_min": stood_min[numbers],
            "min_per_piece": per(stood_min, gauged)[numbers],
        }
    )


def first_piece_columns(plan: Plan, tally: Tally) -> dict[str, Ints | Floats]:
    """What is counted of first pieces, (operations,) each; see `first_piece_table`."""
    return {
        "gauged": by_operation(plan, tally.first_gauged),
        "corrected": by_operation(plan, tally.first_corrected),
        "scrapped": by_operation(plan, tally.first_scrapped),
        "salvaged": by_operation(plan, tally.first_salvaged.sum(axis=1)),
        "stood_min": by_operation(plan, tally.state_min)[:, State.FIRST_PIECE],
    }


def first_piece_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Say of each operation if most of its first pieces had to be corrected."""
    if int(tally.first_gauged.sum()) < _FEWEST or not (tally.first_corrected > _MOST * tally.first_gauged).any():
        return
    for row in first_piece_table(works, plan, tally).to_dict(orient="records"):
        if row["gauged"] >= _FEWEST and row["corrected_share"] > _MOST:
            stood = {"minutes": row["stood_min"]} if row["stood_min"] > 0.0 else {}
            yield keep(
                "findings.first_off_stood" if stood else "findings.first_off", corrected=row["corrected"],
                gauged=row["gauged"], operation=called_at(works, row["line"], row["operation"]),
                share=100.0 * row["corrected_share"], **stood,
            )  # fmt: skip
