"""Tables and sentences on hidden faults, and on what the gauges charge to whom."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import pandas as pd

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.doing import called_at
from linesim.works.model import Works

__all__ = [
    "Suspect",
    "blame_sentences",
    "blame_table",
    "fault_columns",
    "fault_sentences",
    "fault_table",
    "line_of_gauges",
    "suspect_of",
]

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
        by_machine, of like machines how often each turned bad and how many parts it cut meanwhile; found_by, the
        gauges that found them, each with its count; unseen_min and mean_min_to_find, the minutes from turning bad
        until found of those that were found; made_bad (parts cut while bad), shipped_bad (of parts
        shipped) and shipped_bad_out (of these with something out of the drawing): what nobody noticed.
    """
    everywhere = stations_of(works, plan)
    stations = [station for station in everywhere if station.spec.turns_bad is not None]
    numbers = [station.number for station in stations]
    columns = fault_columns(plan, tally)
    gauges = _gauges(everywhere)
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "turned_bad": columns["turned_bad"][numbers],
            "detected": columns["detected"][numbers],
            "by_machine": [_by_machine(plan, tally, number) for number in numbers],
            "found_by": [_found_by(gauges, tally, number) for number in numbers],
            "unseen_min": columns["unseen_min"][numbers],
            "mean_min_to_find": per(columns["unseen_min"], columns["detected"])[numbers],
            **{name: columns[name][numbers] for name in ("made_bad", "shipped_bad", "shipped_bad_out")},
        }
    )


def fault_columns(plan: Plan, tally: Tally) -> dict[str, Ints | Floats]:
    """What is counted of hidden faults, (operations,) each; see `fault_table`."""
    return {
        "turned_bad": by_operation(plan, tally.turned_bad),
        "detected": by_operation(plan, tally.faults_found),
        "unseen_min": by_operation(plan, tally.unfound_min),
        "made_bad": by_operation(plan, tally.made_bad),
        "shipped_bad": tally.bad_shipped,
        "shipped_bad_out": tally.bad_shipped_out,
    }


def _by_machine(plan: Plan, tally: Tally, operation: int) -> str:
    """Which of several like machines turned bad how often, and what each cut meanwhile."""
    first, end = int(plan.operations.first_machine[operation]), int(plan.operations.end_machine[operation])
    if end - first == 1:
        return ""
    counts = [(plan.names.machines[at], int(tally.turned_bad[at]), int(tally.made_bad[at])) for at in range(first, end)]
    return ", ".join(f"{name}: {_times(began)} ({parts} cut)" for name, began, parts in counts if began or parts)


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
        rows += [(*gauge, *suspect_of(plan, number, suspect), int(charged[suspect])) for suspect in suspects]
    columns = ["line", "operation", "gauge", "cause", "of_operation", "cut", "cutter", "turned_down"]
    return pd.DataFrame(rows, columns=columns)


class Suspect(NamedTuple):
    """What a reading that failed is charged to, as `blame_table` has it."""

    cause: str
    of_operation: str = ""
    cut: str = ""
    cutter: str = ""


def suspect_of(plan: Plan, gauge: int, suspect: int) -> Suspect:
    """Cause, operation, cut and cutter of a suspect.

    Parameters
    ----------
    plan : Plan
        With the names.
    gauge : int
        Number of the gauge that turned the part down.
    suspect : int
        As `linesim.floor.blame.Terms` numbers them; behind all others the one that stands for all else.
    """
    cuts, names = len(plan.names.cuts), plan.names
    if suspect < cuts:
        operation, slot = int(plan.cuts.operation[suspect]), int(plan.cuts.slot[suspect])
        return Suspect("cut", names.operations[operation], names.cuts[suspect], _kind(plan, operation, slot))
    if suspect - cuts < len(names.operations):
        return Suspect("hidden fault", names.operations[suspect - cuts])
    maker, slot = int(plan.gauges.maker_operation[gauge]), int(plan.gauges.maker_slot[gauge])
    if maker == NONE:
        return Suspect("finish, place or casting")
    return Suspect("finish, place or casting", names.operations[maker], "", _kind(plan, maker, slot))


def _kind(plan: Plan, operation: int, slot: int) -> str:
    return plan.names.kinds[int(plan.kind_of_slot[int(plan.operations.first_kind[operation]) + slot])]


def fault_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """What is to be said of machines that turned bad: long unseen, never found, or shipped out of the drawing."""
    columns = fault_columns(plan, tally)
    to_find = per(columns["unseen_min"], columns["detected"])
    is_long = (columns["detected"] == 0) | (to_find >= _LONG_MIN)
    is_said = (columns["made_bad"] > 0) & (is_long | (columns["shipped_bad_out"] > 0))
    if not is_said.any():
        return  # asked of every run of a study, so that nothing is made for nothing
    for station in stations_of(works, plan):
        at = station.number
        if station.spec.turns_bad is None or not is_said[at]:
            continue
        until = {"minutes": float(to_find[at])} if columns["detected"][at] else {}
        yield keep(
            "findings.fault_found" if until else "findings.fault_unfound",
            operation=called_at(works, *station.location), times=_times(int(columns["turned_bad"][at])),
            parts=keep("findings.parts_were", count=int(columns["made_bad"][at])),
            out=int(columns["shipped_bad_out"][at]), shipped=int(columns["shipped_bad"][at]), **until,
        )  # fmt: skip


def _times(count: int) -> str:
    return keep("findings.times", count=count)


def blame_sentences(plan: Plan, tally: Tally) -> Iterator[str]:
    """Say of each line if one cut or one machine that turned bad is behind most of what its gauges turned down.

    It is asked of every run of a study, so that no table is made for it.
    """
    if int(tally.charged.sum()) < _FEWEST_CHARGED:
        return
    line_of = line_of_gauges(plan)
    for line, name in enumerate(plan.names.lines):
        here = np.flatnonzero(line_of == line)
        own = tally.charged[here, :-1].sum(axis=0)
        total = int(tally.charged[here].sum())
        most = int(own.argmax())
        if total < _FEWEST_CHARGED or own[most] <= _MOST * total:
            continue
        yield keep(
            "findings.blame", total=total, line=name, own=own[most], share=100.0 * own[most] / total,
            charged=_charged(suspect_of(plan, int(here[0]), most)),
        )  # fmt: skip


def line_of_gauges(plan: Plan) -> Ints:
    """The number of the line of every gauge."""
    operation_of = np.searchsorted(plan.operations.end_gauge, np.arange(len(plan.gauges.feature)), side="right")
    lines: Ints = plan.operations.line[operation_of]
    return lines


def _charged(of: Suspect) -> str:
    if of.cause == "hidden fault":
        return keep("findings.charged_fault", operation=of.of_operation)
    return keep("findings.charged_cut", cut=of.cut, operation=of.of_operation, cutter=of.cutter)
