"""Tables and sentences on hidden faults, and on what the gauges charge to whom."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.works.model import Works

__all__ = ["blame_sentences", "blame_table", "fault_sentences", "fault_table"]

_LONG_MIN = 60.0
"""Minutes until a machine that is bad is found out, from which on it is remarked upon (common practice)."""

_FEWEST_CHARGED = 20
"""Readings that failed, from which on it is remarked upon that one cut is behind most of them (common practice)."""

_MOST = 0.5


def fault_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation whose machines can turn bad.

    Returns
    -------
    DataFrame
        line, operation; turned_bad and detected (faults that began and that a gauge found in the counted time);
        found_by, the gauges that found them, each with its count; unseen_min and mean_min_to_find, the minutes from
        turning bad until found of those that were found; made_bad (parts cut while bad), shipped_bad (of parts
        shipped) and shipped_bad_out (of these with something out of the drawing): what nobody noticed.
    """
    everywhere = stations_of(works, plan)
    stations = [station for station in everywhere if station.spec.turns_bad is not None]
    numbers = [station.number for station in stations]
    began, detected = by_operation(plan, tally.turned_bad), by_operation(plan, tally.faults_found)
    unseen_min = by_operation(plan, tally.unfound_min)
    gauges = _gauges(everywhere)
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "turned_bad": began[numbers],
            "detected": detected[numbers],
            "found_by": [_found_by(gauges, tally, number) for number in numbers],
            "unseen_min": unseen_min[numbers],
            "mean_min_to_find": per(unseen_min, detected)[numbers],
            "made_bad": by_operation(plan, tally.made_bad)[numbers],
            "shipped_bad": tally.bad_shipped[numbers],
            "shipped_bad_out": tally.bad_shipped_out[numbers],
        }
    )


def _gauges(stations: list[Station]) -> list[tuple[str, str, str]]:
    """Line, operation and name of every gauge."""
    return [(*station.location, name) for station in stations for name in station.spec.gauges]


def _found_by(gauges: list[tuple[str, str, str]], tally: Tally, operation: int) -> str:
    """Gauges that found faults of an operation, with their operation and how many each found."""
    counts = tally.found_by[:, operation].tolist()
    named = zip(gauges, counts, strict=True)
    return ", ".join(f"{gauge} after {at}: {count}" for (_, at, gauge), count in named if count)


def blame_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each gauge and what it charged with the readings that failed, by the largest term of the error.

    Returns
    -------
    DataFrame
        line, operation and gauge; cause: "cut" (of the size), "hidden fault", or "finish, place or casting", which the
        gauge cannot tell apart and charges to the cutter that cut last; of_operation, cut and cutter that are charged
        (cut is empty where the cutter is charged as the last one, both with a hidden fault); turned_down, readings
        that failed, a part that was cut again and failed again counted each time. The most first for each gauge.
    """
    rows = []
    for number, gauge in enumerate(_gauges(stations_of(works, plan))):
        charged = tally.charged[number]
        suspects = sorted(np.flatnonzero(charged).tolist(), key=lambda suspect: -int(charged[suspect]))
        rows += [(*gauge, *_suspect(plan, number, suspect), int(charged[suspect])) for suspect in suspects]
    columns = ["line", "operation", "gauge", "cause", "of_operation", "cut", "cutter", "turned_down"]
    return pd.DataFrame(rows, columns=columns)


class _Suspect(NamedTuple):
    cause: str
    of_operation: str = ""
    cut: str = ""
    cutter: str = ""


def _suspect(plan: Plan, gauge: int, suspect: int) -> _Suspect:
    """Cause, operation, cut and cutter of a suspect, as `linesim.floor.blame.Terms` numbers them."""
    cuts, names = len(plan.names.cuts), plan.names
    if suspect < cuts:
        operation, slot = int(plan.cuts.operation[suspect]), int(plan.cuts.slot[suspect])
        return _Suspect("cut", names.operations[operation], names.cuts[suspect], _kind(plan, operation, slot))
    if suspect - cuts < len(names.operations):
        return _Suspect("hidden fault", names.operations[suspect - cuts])
    maker, slot = int(plan.gauges.maker_operation[gauge]), int(plan.gauges.maker_slot[gauge])
    if maker == NONE:
        return _Suspect("finish, place or casting")
    return _Suspect("finish, place or casting", names.operations[maker], "", _kind(plan, maker, slot))


def _kind(plan: Plan, operation: int, slot: int) -> str:
    return plan.names.kinds[int(plan.kind_of_slot[int(plan.operations.first_kind[operation]) + slot])]


def fault_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """What is to be said of machines that turned bad: long unseen, never found, or shipped out of the drawing."""
    if not tally.made_bad.any():
        return
    for row in fault_table(works, plan, tally).to_dict(orient="records"):
        is_long = row["detected"] == 0 or row["mean_min_to_find"] >= _LONG_MIN
        if not row["made_bad"] or not (is_long or row["shipped_bad_out"]):
            continue
        text = f'"{row["operation"]}" turned bad {_times(row["turned_bad"])} unseen'
        if row["detected"]:
            text += f", and was found out after {row['mean_min_to_find']:.0f} minutes on average"
        else:
            text += ", and no gauge found it"
        yield (
            f"{text}: {_parts(row['made_bad'])} cut meanwhile, of those shipped {_out(row)}. Gauge more of its parts, "
            "or gauge them sooner."
        )


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _parts(count: int) -> str:
    return "1 part was" if count == 1 else f"{count} parts were"


def _out(row: dict[Hashable, Any]) -> str:
    return f"{row['shipped_bad_out']} of {row['shipped_bad']} out of the drawing"


def blame_sentences(plan: Plan, tally: Tally) -> Iterator[str]:
    """Say of each line if one cut or one machine that turned bad is behind most of what its gauges turned down.

    It is asked of every run of a study, so that no table is made for it.
    """
    if int(tally.charged.sum()) < _FEWEST_CHARGED:
        return
    operation_of = np.searchsorted(plan.operations.end_gauge, np.arange(len(tally.charged)), side="right")
    line_of = plan.operations.line[operation_of]
    for line, name in enumerate(plan.names.lines):
        here = np.flatnonzero(line_of == line)
        own = tally.charged[here, :-1].sum(axis=0)
        total = int(tally.charged[here].sum())
        most = int(own.argmax())
        if total < _FEWEST_CHARGED or own[most] <= _MOST * total:
            continue
        yield (
            f'Of {total} readings that failed on line "{name}", {own[most]} ({100.0 * own[most] / total:.0f} %) are '
            f"charged to {_charged(_suspect(plan, int(here[0]), most))}."
        )


def _charged(of: _Suspect) -> str:
    if of.cause == "hidden fault":
        return f'"{of.of_operation}" having turned bad unseen'
    return f'the cut "{of.cut}" of "{of.of_operation}", made by "{of.cutter}"'
