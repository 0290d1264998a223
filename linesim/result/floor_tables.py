"""Tables of machines, operations and causes."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import pandas as pd

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Cause, State, Tally
from linesim.result.arithmetic import per
from linesim.works.mishaps import Saved
from linesim.works.model import Works

__all__ = ["by_operation", "cause_table", "first_pass_shares", "machine_table", "operation_columns", "operation_table"]


Counts = TypeVar("Counts", Ints, Floats)


def by_operation(plan: Plan, counts: Counts) -> Counts:
    """Sum counts or minutes of machines over the machines of each operation."""
    sums: Counts = np.add.reduceat(counts, plan.operations.first_machine, axis=0)
    return sums


def first_pass_shares(plan: Plan, tally: Tally) -> Floats:
    """Share of the parts that left each operation which had passed it at the first try, (operations,)."""
    left = by_operation(plan, tally.passed) + by_operation(plan, tally.scrapped_castings)
    return per(by_operation(plan, tally.first_pass), left)


def machine_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each machine.

    Returns
    -------
    DataFrame
        line, operation, machine; worked, passed, scrapped (parts), breakdowns, overhauls, stops (for cutters),
        recut_min; batches (begun, where it takes several parts at once), mean_batch (parts in one); for each state its
        minutes (``cutting_min``) and their share of the counted time (``cutting_share``).
    """
    locations = [stations_of(works, plan)[operation].location for operation in plan.machines.operation.tolist()]
    columns: dict[str, object] = {
        "line": [location.line for location in locations],
        "operation": [location.operation for location in locations],
        "machine": list(plan.names.machines),
        "worked": tally.worked,
        "passed": tally.passed,
        "scrapped": tally.scrapped_castings,
        "breakdowns": tally.breakdowns,
        "overhauls": tally.overhauls,
        "stops": tally.stops,
        "recut_min": tally.recut_min,
        "batches": tally.batches_begun,
        "mean_batch": per(tally.worked, tally.batches_begun),
    }
    shares = per(tally.state_min, tally.counted_min)
    for state in State:
        columns[f"{state.name.lower()}_min"] = tally.state_min[:, state]
        columns[f"{state.name.lower()}_share"] = shares[:, state]
    return pd.DataFrame(columns)


def operation_columns(plan: Plan, tally: Tally) -> dict[str, Floats]:
    """Stock and waits before each operation, and its share of first passes, (operations,) each."""
    return {
        "first_pass_share": first_pass_shares(plan, tally),
        "mean_stock": per(tally.stock_min, tally.counted_min),
        "mean_wait_min": per(tally.stood_min, tally.taken),
        "share_waited": per(tally.had_to_wait, tally.taken),
    }


def operation_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation, in routing order.

    Returns
    -------
    DataFrame
        line, operation, machines; worked, passed, scrapped, recut, salvaged (recut counts each cutting again);
        first_pass_share of the parts that left the operation; mean_stock and most_stock standing before it; taken;
        mean_wait_min over all parts taken, and share_waited, the share that had to wait; mean_moving parts on the way
        there, and carriers_busy_share, not a number where there are no carriers.
    """
    stations = stations_of(works, plan)
    passed, scrapped = by_operation(plan, tally.passed), by_operation(plan, tally.scrapped_castings)
    means = operation_columns(plan, tally)
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "machines": plan.operations.end_machine - plan.operations.first_machine,
            "worked": by_operation(plan, tally.worked),
            "passed": passed,
            "scrapped": scrapped,
            "recut": by_operation(plan, tally.recut).sum(axis=1),
            "salvaged": [int(_salvaged(works, plan, station, tally).sum()) for station in stations],
            "first_pass_share": means["first_pass_share"],
            "mean_stock": means["mean_stock"],
            "most_stock": tally.most_stock,
            "taken": tally.taken,
            "mean_wait_min": means["mean_wait_min"],
            "share_waited": means["share_waited"],
            "mean_moving": per(tally.moving_min, tally.counted_min),
            "carriers_busy_share": per(tally.carrying_min, plan.moves.carriers * tally.counted_min),
        }
    )


def _salvaged(works: Works, plan: Plan, station: Station, tally: Tally) -> Ints:
    """Parts of an operation that were salvaged: from its gauges, as first pieces, from a broken cutter, (causes,)."""
    salvaged: Ints = tally.salvaged[station.gauges].sum(axis=0) + tally.first_salvaged[station.machines].sum(axis=0)
    operation_of = plan.machines.operation[plan.mounts.machine]
    kinds = list(works.cutters.values())
    for mount in np.flatnonzero((operation_of == station.number) & (tally.saved > 0)).tolist():
        if isinstance(kinds[int(plan.mounts.kind[mount])].broken, Saved):
            salvaged[Cause.BROKEN_CUTTER] += tally.saved[mount]
    return salvaged


def cause_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation and cause for which a part was scrapped, recut or salvaged.

    Returns
    -------
    DataFrame
        line, operation, cause (in words), scrapped, recut, salvaged (what broke in it taken out, counted as well).
    """
    scrapped, recut = by_operation(plan, tally.scrapped), by_operation(plan, tally.recut)
    rows = []
    for station in stations_of(works, plan):
        salvaged = _salvaged(works, plan, station, tally)
        for cause in Cause:
            counts = (scrapped[station.number, cause], recut[station.number, cause], salvaged[cause])
            answer = [int(each) for each in counts]
            if any(answer):
                rows.append((*station.location, cause.words, *answer))
    return pd.DataFrame(rows, columns=["line", "operation", "cause", "scrapped", "recut", "salvaged"])
