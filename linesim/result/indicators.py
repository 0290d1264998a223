"""Indicators of ISO 22400-2 by their standard names, per machine and per line.

Source: ISO 22400-2:2014 with Amendment 1:2017, formulas as transcribed in the open ontology of Helmut Schmidt
University Hamburg; the three mean times from memory. What a given works counts as what, the standard leaves open. Here:

* Planned busy time PBT: the counted minutes; the model has worked time only. PBT = AUBT + ADOT, AUBT = AUPT + ADET,
  AUPT = ASUT + APT.
* Production APT: cutting and loading, recuts included. Set-up ASUT: changing cutters and checking edges. Delay ADET:
  gauging, waiting for a sharp cutter, for a setter or for a fitter, and repair. Down time ADOT (could run, has no order
  running): waiting for a part and held up.
* Produced quantity PQ: parts that left the machine, passed on or scrapped; GQ those passed on (for a line: shipped), SQ
  scrapped, GP passed on at the first try, RQ the other ones passed on. IP, the parts inspected, are PQ.
* Planned run time per unit PRU: mean minutes of cutting and handling of one part in the plan.
* Order execution time AOET. The throughput rate counts the parts of one order, and the order is the counted run. The
  allocation ratio and the production process ratio compare work with the time of an order from start to end, and here
  the order is one part: AOET is the time that parts spent in the line, all parts together. So both are given per line.
* Fall-off ratio: scrap of the machine over what the line's first operation produced.
* Mean times: TBF is cutting time (what the model's failures run on), TTF the time outside repair, TTR waiting for a
  fitter and repair. The standard divides by the failures FE plus one; who divides by FE finds larger figures.

A line's times and planned run times are the sums over its machines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.plan.times import mean_minutes
from linesim.result.arithmetic import per
from linesim.works.model import Works

__all__ = ["INDICATORS", "STATES_OF_TIME", "Indicator", "Quantities", "indicator_table"]

STATES_OF_TIME: dict[str, tuple[State, ...]] = {
    "APT": (State.CUTTING, State.LOADING),
    "ASUT": (State.CHANGING, State.CHECKING, State.SETTING_RIGHT, State.FIRST_PIECE, State.CHANGING_OVER),
    "ADET": (
        State.GAUGING,
        State.WAITING_FOR_SET,
        State.WAITING_FOR_SETTER,
        State.WAITING_FOR_FITTER,
        State.WAITING_FOR_OPERATOR,
        State.UNDER_REPAIR,
        State.OVERHAUL,
        State.WAITING_FOR_RESULT,
    ),
    "ADOT": (State.WAITING_FOR_PART, State.WAITING_FOR_FELLOW, State.FILLING, State.HELD_UP),
}
"""Which states of a machine make up each time of the standard."""


@dataclass(frozen=True)
class Quantities:
    """Times (min) and counts that the indicators are made of, by the standard's letters.

    Attributes
    ----------
    pbt, aubt, aupt, apt, asut, adet : float, min
        Planned busy, busy, processing, production, set-up and delay time.
    planned_min : float, min
        Planned run time per unit times parts, PRU PQ.
    part_min : float, min
        Time that parts spent in the line.
    run_min : float, min
        Counted minutes.
    pq, gq, sq, gp : float
        Produced, good and scrapped quantity, and good parts at the first try.
    first_pq : float
        Produced quantity of the line's first operation.
    stock : float
        Mean number of parts in the line.
    failures, operating_min, repair_min : float
        Failures, cutting minutes, minutes of waiting for a fitter and repair.
    """

    pbt: float
    aubt: float
    aupt: float
    apt: float
    asut: float
    adet: float
    planned_min: float
    part_min: float
    run_min: float
    pq: float
    gq: float
    sq: float
    gp: float
    first_pq: float
    stock: float
    failures: float
    operating_min: float
    repair_min: float


@dataclass(frozen=True)
class Indicator:
    """One indicator: its name and formula in the standard's letters, its unit, where it is given, and how it is made.

    Attributes
    ----------
    name, formula, unit : str
        As shown.
    levels : tuple of str
        ``machine``, ``line`` or both.
    top, bottom : callable
        What is divided by what.
    """

    name: str
    formula: str
    unit: str
    levels: tuple[str, ...]
    top: Callable[[Quantities], float]
    bottom: Callable[[Quantities], float]

    def value(self, of: Quantities) -> float:
        """The indicator of a machine or line; not a number where there is nothing to divide by."""
        return float(per(self.top(of), self.bottom(of)))


_BOTH = ("machine", "line")

INDICATORS: tuple[Indicator, ...] = (
    Indicator("availability", "APT / PBT", "", _BOTH, lambda q: q.apt, lambda q: q.pbt),
    Indicator("effectiveness", "PRU PQ / APT", "", _BOTH, lambda q: q.planned_min, lambda q: q.apt),
    Indicator("quality ratio", "GQ / PQ", "", _BOTH, lambda q: q.gq, lambda q: q.pq),
    Indicator(
        "OEE index",
        "availability × effectiveness × quality ratio",
        "",
        _BOTH,
        lambda q: q.planned_min * q.gq,
        lambda q: q.pbt * q.pq,
    ),
    Indicator(
        "NEE index",
        "AUPT / PBT × effectiveness × quality ratio",
        "",
        _BOTH,
        lambda q: q.aupt * q.planned_min * q.gq,
        lambda q: q.pbt * q.apt * q.pq,
    ),
    Indicator("utilisation efficiency", "APT / AUBT", "", _BOTH, lambda q: q.apt, lambda q: q.aubt),
    Indicator("allocation efficiency", "AUBT / PBT", "", _BOTH, lambda q: q.aubt, lambda q: q.pbt),
    Indicator("allocation ratio", "AUBT / AOET", "", ("line",), lambda q: q.aubt, lambda q: q.part_min),
    Indicator("technical efficiency", "APT / (APT + ADET)", "", _BOTH, lambda q: q.apt, lambda q: q.apt + q.adet),
    Indicator("production process ratio", "APT / AOET", "", ("line",), lambda q: q.apt, lambda q: q.part_min),
    Indicator("setup ratio", "ASUT / AUPT", "", _BOTH, lambda q: q.asut, lambda q: q.aupt),
    Indicator("throughput rate", "PQ / AOET", "parts/h", _BOTH, lambda q: 60.0 * q.pq, lambda q: q.run_min),
    Indicator("scrap ratio", "SQ / PQ", "", _BOTH, lambda q: q.sq, lambda q: q.pq),
    Indicator("rework ratio", "RQ / PQ", "", _BOTH, lambda q: q.gq - q.gp, lambda q: q.pq),
    Indicator("first pass yield", "GP / IP", "", _BOTH, lambda q: q.gp, lambda q: q.pq),
    Indicator("fall-off ratio", "SQ / PQ of the first operation", "", _BOTH, lambda q: q.sq, lambda q: q.first_pq),
    Indicator("inventory turns", "TH / average inventory", "", ("line",), lambda q: q.gq, lambda q: q.stock),
    Indicator(
        "mean operating time between failures",
        "Σ TBF / (FE + 1)",
        "min",
        ("machine",),
        lambda q: q.operating_min,
        lambda q: q.failures + 1.0,
    ),
    Indicator(
        "mean time to failure",
        "Σ TTF / (FE + 1)",
        "min",
        ("machine",),
        lambda q: q.pbt - q.repair_min,
        lambda q: q.failures + 1.0,
    ),
    Indicator(
        "mean time to restoration",
        "Σ TTR / (FE + 1)",
        "min",
        ("machine",),
        lambda q: q.repair_min,
        lambda q: q.failures + 1.0,
    ),
)
"""All indicators given, in this order."""

_COLUMNS = ("level", "line", "operation", "machine", "indicator", "value", "unit", "formula")


def indicator_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """Indicators of every line and every machine.

    Returns
    -------
    DataFrame
        level (``line`` or ``machine``), line, operation and machine (empty for a line), indicator, value, unit (empty
        for a ratio), formula in the standard's letters.
    """
    rows = []
    for level, *names, quantities in _all_quantities(works, plan, tally):
        for indicator in INDICATORS:
            if level in indicator.levels:
                value = indicator.value(quantities)
                rows.append((level, *names, indicator.name, value, indicator.unit, indicator.formula))
    return pd.DataFrame(rows, columns=list(_COLUMNS))


def _all_quantities(works: Works, plan: Plan, tally: Tally) -> Iterator[tuple[str, str, str, str, Quantities]]:
    """Level, line, operation, machine and quantities of each line, followed by its machines."""
    stations = stations_of(works, plan)
    planned_min = [_planned_min(station, plan) for station in stations]
    produced = tally.passed + tally.scrapped_castings
    for number, name in enumerate(works.lines):
        operations = range(int(plan.lines.first_operation[number]), int(plan.lines.end_operation[number]))
        own = stations[operations.start : operations.stop]
        first_pq = float(produced[own[0].machines].sum())
        machines = range(own[0].machines.start, own[-1].machines.stop)
        each = {}
        for machine in machines:
            operation = int(plan.machines.operation[machine])
            each[machine] = _of_machine(machine, number, planned_min[operation], first_pq, tally)
        yield "line", name, "", "", _of_line(number, list(each.values()), tally)
        for machine, quantities in each.items():
            operation_name = stations[int(plan.machines.operation[machine])].location.operation
            yield "machine", name, operation_name, plan.names.machines[machine], quantities


def _planned_min(station: Station, plan: Plan) -> float:
    """Planned run time per unit: mean minutes of handling and cutting of one part."""
    spec, rows = station.spec, plan.operations
    strokes = slice(int(rows.first_stroke[station.number]), int(rows.end_stroke[station.number]))
    handling = (mean_minutes(spec.load) + mean_minutes(spec.unload)) / spec.handled_at_once
    if spec.chips is not None and spec.chips.clean:
        handling += mean_minutes(spec.chips.clean_minutes)
    return handling + mean_minutes(spec.minutes) / spec.at_once + float(plan.strokes.cut_min[strokes].sum())


def _of_machine(machine: int, line: int, planned_min: float, first_pq: float, tally: Tally) -> Quantities:
    spent = tally.state_min[machine]
    times = {name: float(spent[list(states)].sum()) for name, states in STATES_OF_TIME.items()}
    aupt = times["ASUT"] + times["APT"]
    gq, sq = float(tally.passed[machine]), float(tally.scrapped_castings[machine])
    return Quantities(
        pbt=float(spent.sum()),
        aubt=aupt + times["ADET"],
        aupt=aupt,
        apt=times["APT"],
        asut=times["ASUT"],
        adet=times["ADET"],
        planned_min=planned_min * (gq + sq),
        part_min=float(tally.in_line_min[line]),
        run_min=tally.counted_min,
        pq=gq + sq,
        gq=gq,
        sq=sq,
        gp=float(tally.first_pass[machine]),
        first_pq=first_pq,
        stock=float(per(tally.in_line_min[line], tally.counted_min)),
        failures=float(tally.breakdowns[machine]),
        operating_min=float(spent[State.CUTTING]),
        repair_min=float(spent[State.WAITING_FOR_FITTER] + spent[State.UNDER_REPAIR]),
    )


_SUMMED = ("pbt", "aubt", "aupt", "apt", "asut", "adet", "planned_min", "failures", "operating_min", "repair_min")


def _of_line(line: int, machines: list[Quantities], tally: Tally) -> Quantities:
    """Times summed over the machines; quantities of the whole line."""
    sums = {name: float(np.sum([getattr(machine, name) for machine in machines])) for name in _SUMMED}
    shipped, scrapped = float(tally.shipped[line]), float(tally.scrapped_parts[line])
    return Quantities(
        **sums,
        part_min=machines[0].part_min,
        run_min=tally.counted_min,
        pq=shipped + scrapped,
        gq=shipped,
        sq=scrapped,
        gp=float(tally.shipped_first_pass[line]),
        first_pq=machines[0].first_pq,
        stock=machines[0].stock,
    )
