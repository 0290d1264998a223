"""A forecast in sentences: what comes out, who and what is wanted, what runs short, what was assumed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pandas as pd

from linesim.study.coming.forecast_figures import ForecastFigures
from linesim.study.coming.leave import LeftIn
from linesim.study.coming.people import busiest
from linesim.study.coming.standing import unsaid
from linesim.study.statistics.intervals import Difference

__all__ = ["left_in_words", "sentences_of"]

_SHORT = 0.05
_MOST = 3
_OFTEN = 0.2


def sentences_of(forecast: ForecastFigures) -> Iterator[str]:
    """The answer in words, the most important first."""
    yield _output(forecast)
    yield _first(forecast)
    yield from _people(forecast)
    yield from _short(forecast)
    yield from _grouping(forecast.grouping)
    if forecast.left_in is not None:
        yield from left_in_words(forecast.left_in, forecast)
    yield from _strange(forecast)
    yield from unsaid(forecast.rows)


def _rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [{str(name): value for name, value in row.items()} for row in table.to_dict(orient="records")]


def _output(forecast: ForecastFigures) -> str:
    of, many = forecast.of, len(forecast.output) > 1
    texts = []
    for row in _rows(forecast.output):
        name = f" from line {row['line']}" if many else ""
        band = f"{row['low']} to {row['high']}" if row["low"] < row["high"] else f"{row['low']} every time"
        texts.append(f"{row['shipped']:.0f} good parts{name} ({band})")
    until = f"{of.clock.words(0.0)} to {of.clock.end_words(of.shifts)}"
    return f"From {until}: {', '.join(texts)}; bands hold about {of.level:.0%} of such shifts."


def _first(forecast: ForecastFigures) -> str:
    by_hand = forecast.due[forecast.due["by_hand"] >= 0.5]
    due, changes = by_hand[by_hand["chance"] >= 0.5], by_hand["chance"].sum()
    if due.empty:
        return "No change by hand is likely."
    first = _rows(due)[0]
    when = f"{first['due']} ({first['from']} to {first['to']})" if first["from"] != first["to"] else first["due"]
    where = forecast.of.called(int(first["of_machine"]))
    return f"About {changes:.0f} changes by hand; the first: {first['cutter']} at {where}, {when}."


def _people(forecast: ForecastFigures) -> Iterator[str]:
    for name, row in busiest(forecast.hours).items():
        if row["busy_min"] < 1.0:
            continue
        total = float(forecast.hours.loc[forecast.hours["people"] == name, "busy_min"].sum())
        attending = row["attending"]
        more = f", up to {row['at_once']} machines at once for {attending}" if row["at_once"] > attending else ""
        yield (
            f"{name}: {total:.0f} min of work in all, most from {row['from']} to {row['to']} ({row['busy_min']:.0f} min"
            f"{more})."
        )
    for row in _rows(forecast.clashes)[:_MOST]:
        yield (
            f"About {row['about']} {row['waiting']} waits {row['waited_min']:.0f} min for {row['people']} busy at "
            f"{row['meanwhile']} in {row['chance']:.0%} of the runs: have the sets there beforehand."
        )


def _short(forecast: ForecastFigures) -> Iterator[str]:
    short = _rows(forecast.sets[forecast.sets["short"] >= _SHORT].sort_values("short", ascending=False))
    for row in short[:_MOST]:
        have = f"{row['sharp']} sharp now, {row['at_hand']} to have at hand"
        yield f"Sharp sets run short: {row['cutter']}, in {row['short']:.0%} of the runs ({have})."
    if not short:
        yield "Sharp sets suffice." if len(forecast.sets) else "There are no cutter sets here."
    for row in _rows(forecast.standstill[forecast.standstill["often_no_part"] >= _OFTEN]):
        if forecast.constraints.get(row["line"]) == row["operation"]:
            yield (
                f"{row['operation']}, which sets the pace of line {row['line']}, waits {row['no_part_min']:.0f} min "
                f"for parts (mean), more than a quarter of an hour in {row['often_no_part']:.0%} of the runs."
            )


def _grouping(table: pd.DataFrame) -> Iterator[str]:
    for row in _rows(table)[:_MOST]:
        parts = f"{row['given_up']:.0f} parts" if row["given_up"] >= 1.5 else "a part"
        yield (
            f"One stop might do: {row['machine']}, {row['first']} at {row['at']} and {row['second']} at {row['then']}; "
            f"together they save {row['saved_min']:.1f} min of getting at the spindle and give up {parts} "
            f"({row['given_up_share']:.0%}) of the second's interval."
        )


def left_in_words(of: LeftIn, forecast: ForecastFigures) -> Iterator[str]:
    """What leaving a set in brings, and the caution that goes with it."""
    currency, end = forecast.works.currency, forecast.of.clock.end_words(forecast.of.shifts)
    which = of.named if len(of.mounts) == 1 else f"{of.named} ({len(of.mounts)} machines)"
    if of.due == 0.0:
        yield f"{which} does not come due before {end} in any run, so that leaving it in until then changes nothing."
        return
    verb, figure = _money(of.money, currency)
    parts = f"{of.shipped.mean:+.1f} parts out, {of.scrapped.mean:+.2f} scrapped, {of.out.mean:+.2f} out of the drawing"
    yield (
        f"Leaving {which} in until {end} {verb} {figure} by the end of the shift after, with its change done then "
        f"({parts}). It breaks in {of.broken:.1%} of the runs, as planned in {of.broken_planned:.1%}."
    )
    if of.past_limit > 0.0:
        yield (
            f"Caution: left in, it goes past its wear limit in {of.past_limit:.0%} of the runs. A dull edge breaks, "
            "spoils parts and loads the machine; what its maker, the machine's maker or the people appointed set as a "
            "limit goes before any figure here."
        )


def _money(of: Difference, currency: str) -> tuple[str, str]:
    """Whether it brings or costs, and the amount with its interval."""
    half = 0.0 if math.isnan(of.half_width) else of.half_width
    low, high = of.mean - half, of.mean + half
    if low <= 0.0 <= high and half > 0.0:
        return "makes no difference that shows:", f"{currency} {of.mean:+,.0f} ({low:+,.0f} to {high:+,.0f})"
    if of.mean >= 0.0:
        return "brings", f"{currency} {of.mean:,.0f} ({low:,.0f} to {high:,.0f})"
    return "costs", f"{currency} {-of.mean:,.0f} ({-high:,.0f} to {-low:,.0f})"


def _strange(forecast: ForecastFigures) -> Iterator[str]:
    plan = forecast.of.plan
    for mount in forecast.survived.strange[:_MOST]:
        machine = forecast.of.called(int(plan.mounts.machine[mount]))
        kind = plan.names.kinds[int(plan.mounts.kind[mount])]
        assert plan.begins is not None
        yield (
            f"By the scenario's figures hardly any {kind} at {machine} comes to {int(plan.begins.parts[mount])} parts: "
            "look at the count, or at its life in the scenario. Its times here are not to be leaned on."
        )
