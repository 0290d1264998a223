"""The moments of a shift that cost most: stops of the constraint, parts scrapped, parts that went out poor."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

import pandas as pd

from linesim.cutting.component import Component
from linesim.desk import Desk
from linesim.ledger.parts import quality_loss_of_part
from linesim.plan.tally import State
from linesim.works import Works
from linesim.works.doing import machine_called
from linesim.works.rejecting import lost_in_shift, margin

__all__ = ["costly_moments", "minute_price"]

COLUMNS = ["line", "operation", "machine", "start_min", "minutes", "kind", "cost", "words"]
_AT_WORK = {State.LOADING.words, State.CUTTING.words, State.GAUGING.words, State.CHECKING.words}
_MOST = 60
_LEAST_MINUTES = 0.05

Row = dict[Hashable, Any]


def minute_price(works: Works, desk: Desk) -> dict[str, float]:
    """What a minute is reckoned to cost in which the machines of a line's constraint all stand.

    Parameters
    ----------
    works : Works
        The checked scenario.
    desk : Desk
        Its figures on paper, for the constraint.

    Returns
    -------
    dict of str to float
        Money per minute, by line: worth of a good part less its casting, for the parts that the constraint would make
        in that minute. Hours are paid whether it runs or stands. 0 where the scenario gives no worth.
    """
    rates = desk.constraints.set_index("line")["together_per_hour"].to_dict()
    return {name: margin(line) * float(rates[name]) / 60.0 for name, line in works.lines.items()}


def costly_moments(works: Works, desk: Desk, states: pd.DataFrame, parts: pd.DataFrame) -> pd.DataFrame:
    """What cost most in a stretch of time, the dearest first.

    Parameters
    ----------
    works : Works
        The checked scenario.
    desk : Desk
        Its figures on paper.
    states, parts : DataFrame
        As in `linesim.study.one.shift_record.ShiftRecord`.

    Returns
    -------
    DataFrame
        line, operation, machine; start_min and minutes; kind (``stop``, ``scrap`` or ``poor part``); cost in the
        scenario's currency; words. A stop of a machine of the constraint costs its share of `minute_price`; a scrapped
        part what `linesim.works.rejecting.lost_in_shift` says; a poor part its quality loss. At most 60 rows.
    """
    rows: list[dict[str, Any]] = []
    prices = minute_price(works, desk)
    held = desk.constraints.set_index("line")["operation"].to_dict()
    for name, line in works.lines.items():
        own = states[(states["line"] == name) & (states["operation"] == held[name])]
        price = prices[name] / line.operations[str(held[name])].machines
        for machine, group in own.groupby("machine", sort=False):
            stops = _stops(group.sort_values("start_min").to_dict(orient="records"))
            called = machine_called(works, name, str(held[name]), str(machine))
            place = (name, str(held[name]), str(machine))
            rows += [_stop_row(place, called, stop, price) for stop in stops]
        rows += _part_rows(works, name, str(held[name]), parts[parts["line"] == name])
    table = pd.DataFrame(rows, columns=COLUMNS).sort_values(["cost", "minutes"], ascending=False, kind="stable")
    return table.head(_MOST).reset_index(drop=True)


def _stops(rows: list[Row]) -> Iterator[list[Row]]:
    """Runs of states in which a machine is not at work."""
    stop: list[Row] = []
    for row in rows:
        if row["state"] in _AT_WORK:
            if stop:
                yield stop
            stop = []
        else:
            stop.append(row)
    if stop:
        yield stop


def _stop_row(place: tuple[str, str, str], called: str, stop: list[Row], price: float) -> dict[str, Any]:
    """A stop of a machine: line, operation and machine, and what it is called."""
    start, end = float(stop[0]["start_min"]), float(stop[-1]["end_min"])
    by_state: dict[str, float] = {}
    for row in stop:
        by_state[row["state"]] = by_state.get(row["state"], 0.0) + float(row["end_min"]) - float(row["start_min"])
    text = ", ".join(f"{state} {minutes:.1f}" for state, minutes in by_state.items() if minutes >= _LEAST_MINUTES)
    words = f"{called} stood {end - start:.1f} min: {text}"
    values = (*place, start, end - start, "stop", price * (end - start), words)
    return dict(zip(COLUMNS, values, strict=True))


def _part_rows(works: Works, name: str, held: str, parts: pd.DataFrame) -> Iterator[dict[str, Any]]:
    """Parts scrapped, and what the shipped ones lose in use."""
    line = works.lines[name]
    places = [
        feature_name if feature.places == 1 else f"{feature_name} {place + 1}"
        for feature_name, feature in line.features.items()
        for place in range(feature.places)
    ]
    for row in parts.to_dict(orient="records"):
        place = (name, row["operation"], row["machine"], float(row["minute"]), 0.0)
        part = f"part {row['serial']}" + (f" ({row['part_type']})" if row.get("part_type") else "")
        if row["outcome"] == "scrapped":
            cost = lost_in_shift(line, str(row["operation"]), held)
            words = f"{part} scrapped at {machine_called(works, name, str(row['operation']), str(row['machine']))}"
            yield dict(zip(COLUMNS, (*place, "scrap", cost, words), strict=True))
        elif row["outcome"] == "shipped":
            values = [[row.get(f"{at} {of.column}", 0.0) for at in places] for of in Component]
            loss = quality_loss_of_part(line, *values)
            words = f"{part} went out with a quality loss of {loss:.2f}"
            yield dict(zip(COLUMNS, (*place, "poor part", loss, words), strict=True))
