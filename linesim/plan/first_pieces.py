"""From the first piece as the scenario describes it to its row in the plan."""

from __future__ import annotations

from linesim.plan.columns import Rows
from linesim.plan.tables import NONE, FirstPieces, Reject
from linesim.plan.times import TimeTable
from linesim.works.checks_first_piece import is_gauged_first
from linesim.works.operations import Operation

__all__ = ["add_first_piece", "setting_columns", "tries_after"]

_REJECTS = {"scrap": Reject.SCRAP, "salvage": Reject.SALVAGE, "pass": Reject.PASS}


def add_first_piece(rows: Rows[FirstPieces], operation: Operation, pools: dict[str, int], times: TimeTable) -> None:
    """Enter the row of one operation; without a first piece it has no tries."""
    first = operation.first_piece
    if first is None:
        pieces = {"tries": 0, "bad": int(Reject.PASS), "runs_on": 0, "after_changeover": 0}
        rows.add(by=NONE, time=NONE, error_um=0.0, accept_um=0.0, **pieces)
        return
    rows.add(
        by=NONE if first.by is None else pools[first.by],
        time=times.add(first.minutes),
        error_um=first.error,
        accept_um=first.accept,
        tries=first.tries,
        bad=int(_REJECTS[first.bad]),
        runs_on=int(first.meanwhile == "runs on"),
        after_changeover=int(first.after_changeover),
    )


def tries_after(operation: Operation, kind: str) -> int:
    """Pieces gauged at most after a change of one kind of set; 0 if none is, or none of its cuts can be read."""
    first = operation.first_piece
    return first.tries if first is not None and is_gauged_first(operation, kind) else 0


def setting_columns(is_last: bool) -> dict[str, float]:
    """Columns of a cut on how its edge is set, unaimed; ``is_last``: it is the last one of its feature here."""
    return {"aim_um": 0.0, "rezero_aim_um": 0.0, "is_read_first": int(is_last)}
