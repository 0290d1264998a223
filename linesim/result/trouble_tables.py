"""Tables and sentences on hidden faults, and on what the gauges charge to whom."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

import pandas as pd

from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.works.model import Works

__all__ = ["blame_table", "fault_sentences", "fault_table"]


def fault_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation whose machines can turn bad.

    Returns
    -------
    DataFrame
        line, operation; turned_bad and detected (faults that began and that a gauge found in the counted time);
        mean_min_to_find, of those that were found; made_bad (parts cut while bad), shipped_bad (of parts shipped) and
        shipped_bad_out (of these with something out of the drawing): what nobody noticed.
    """
    stations = [station for station in stations_of(works, plan) if station.spec.turns_bad is not None]
    numbers = [station.number for station in stations]
    began, detected = by_operation(plan, tally.turned_bad), by_operation(plan, tally.faults_found)
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "turned_bad": began[numbers],
            "detected": detected[numbers],
            "mean_min_to_find": per(by_operation(plan, tally.unfound_min), detected)[numbers],
            "made_bad": by_operation(plan, tally.made_bad)[numbers],
            "shipped_bad": tally.bad_shipped[numbers],
            "shipped_bad_out": tally.bad_shipped_out[numbers],
        }
    )


def blame_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each gauge and what it charged with parts that it turned down, by the largest term of the error.

    Returns
    -------
    DataFrame
        line, operation and gauge; cause ("cut", "hidden fault", or "casting and others", with which the last cut
        is charged); of_operation and cut that are to blame (empty where none is); turned_down, readings that failed.
    """
    stations = stations_of(works, plan)
    gauges = [(*station.location, name) for station in stations for name in station.spec.gauges]
    rows = [
        (*gauge, *_suspect(works, plan, suspect), int(count))
        for number, gauge in enumerate(gauges)
        for suspect, count in enumerate(tally.charged[number].tolist())
        if count
    ]
    return pd.DataFrame(rows, columns=["line", "operation", "gauge", "cause", "of_operation", "cut", "turned_down"])


def _suspect(works: Works, plan: Plan, suspect: int) -> tuple[str, str, str]:
    """Cause, operation and cut of a suspect, as `linesim.floor.blame.Terms` numbers them."""
    cuts, stations = len(plan.names.cuts), stations_of(works, plan)
    if suspect < cuts:
        return "cut", stations[int(plan.cuts.operation[suspect])].location.operation, plan.names.cuts[suspect]
    if suspect - cuts < len(stations):
        return "hidden fault", stations[suspect - cuts].location.operation, ""
    return "casting and others", "", ""


def fault_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """What is to be said of machines that turned bad."""
    if not tally.made_bad.any():
        return
    for row in fault_table(works, plan, tally).to_dict(orient="records"):
        if not row["made_bad"]:
            continue
        text = f'"{row["operation"]}" turned bad {_times(row["turned_bad"])} unseen'
        if row["detected"]:
            text += f", and was found out after {row['mean_min_to_find']:.0f} minutes on average"
        else:
            text += ", and no gauge found it"
        yield f"{text}: {_parts(row['made_bad'])} cut meanwhile, of those shipped {_out(row)}."


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _parts(count: int) -> str:
    return "1 part was" if count == 1 else f"{count} parts were"


def _out(row: dict[Hashable, Any]) -> str:
    return f"{row['shipped_bad_out']} of {row['shipped_bad']} out of the drawing"
