"""Rows of the coming shift as a setter reads them: one for each stop of a machine, in time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from linesim.report.page.card_words import look_words
from linesim.report.theme.shown import System, number
from linesim.study.coming.clock import clock_told
from linesim.study.coming.figures import MAGAZINE
from linesim.study.coming.forecast import Forecast
from linesim.words import retell, say

__all__ = ["LEAST_SHOWN", "SheetSet", "Stop", "at_hand", "stops_of"]

LEAST_SHOWN = 0.2
"""A change is on the sheet if it comes in so many of the runs."""
_LIKELY = 0.5
_TOGETHER_MIN = 0.5
_SHORT = 0.05


class SheetSet(NamedTuple):
    """One set that is changed in a stop."""

    cutter: str
    counter: str
    """Parts on its counter then."""
    bring: str
    """What is done, and so what is brought."""
    check: str
    """What to look for on the edge that comes off."""


class Stop(NamedTuple):
    """One stop of a machine."""

    due: str
    band: str
    machine: str
    sets: list[SheetSet]
    perhaps: str
    """Empty, or how likely it is if it is not likely."""


def stops_of(forecast: Forecast, system: System = "metric") -> list[Stop]:
    """The stops of a forecast in time; sets of a machine that are due at the same moment stand in one."""
    rows = forecast.due[(forecast.due["chance"] >= LEAST_SHOWN) & (forecast.due["by_hand"] >= _LIKELY)]
    stops: list[Stop] = []
    where: list[tuple[int, float, int]] = []
    for row in rows.to_dict(orient="records"):
        each = _set(forecast, {str(name): value for name, value in row.items()}, system)
        machine, due_min = int(row["of_machine"]), float(row["due_min"])
        at = next((at for of, minute, at in where if of == machine and abs(minute - due_min) < _TOGETHER_MIN), None)
        if at is not None:
            stops[at].sets.append(each)
            continue
        where.append((machine, due_min, len(stops)))
        is_likely = row["chance"] >= _LIKELY
        moments = [clock_told(str(row[name])) for name in ("from", "due", "to")]
        band = "" if row["from"] == row["to"] else say("coming.band", low=moments[0], high=moments[2])
        perhaps = "" if is_likely else say("coming.perhaps", share=row["chance"])
        due = moments[1] if is_likely else say("coming.from", time=moments[0])
        stops.append(Stop(due, band, retell(forecast.of.called(machine)), [each], perhaps))
    return stops


def _set(forecast: Forecast, row: dict[str, Any], system: System) -> SheetSet:
    if row["cutter"] == MAGAZINE:
        return SheetSet(retell(MAGAZINE), "", say("coming.renew_magazine"), "")
    card = forecast.card_sets[row["operation"], row["cutter"]]
    count = card.count
    parts = "" if row["parts"] != row["parts"] else say("coming.about_parts", parts=number(row["parts"], 0))
    counter = say("coming.at_parts", count=count) if count is not None and not card.is_about else parts
    to_do = say("coming.to_do", renewal=card.renewal, minutes=number(card.change_min, 0))
    return SheetSet(str(row["cutter"]), counter, to_do, look_words(card, system))


def at_hand(forecast: Forecast) -> Iterator[tuple[str, str]]:
    """Sharp sets to have at hand, for those that may be wanted: cutter, and how many."""
    for row in forecast.sets.to_dict(orient="records"):
        if row["at_hand"] > 0:
            key = "coming.hand_short" if row["short"] >= _SHORT else "coming.hand"
            yield str(row["cutter"]), say(key, count=row["at_hand"], sharp=row["sharp"], share=row["short"])
