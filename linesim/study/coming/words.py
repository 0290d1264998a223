"""A forecast in sentences: what comes out, who and what is wanted, what runs short, what was assumed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pandas as pd

from linesim.study.coming.clock import clock_told
from linesim.study.coming.forecast_figures import ForecastFigures
from linesim.study.coming.leave import LeftIn
from linesim.study.coming.people import busiest
from linesim.study.coming.standing import unsaid
from linesim.study.statistics.intervals import Difference
from linesim.words import say

__all__ = ["left_in_words", "sentences_of"]

_SHORT = 0.05
_MOST = 3
_OFTEN = 0.2
_MOMENTS = {"from", "due", "to", "about", "at", "then"}
"""Columns with moments of the clock."""


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
    """Rows with their moments told."""
    rows = [{str(name): value for name, value in row.items()} for row in table.to_dict(orient="records")]
    return [row | {name: clock_told(str(row[name])) for name in _MOMENTS & row.keys()} for row in rows]


def _output(forecast: ForecastFigures) -> str:
    of, many = forecast.of, len(forecast.output) > 1
    texts = []
    for row in _rows(forecast.output):
        low, high = row["low"], row["high"]
        band = say("coming.band", low=low, high=high) if low < high else say("coming.every_time", count=low)
        key = "coming.good_of" if many else "coming.good"
        texts.append(say(key, parts=row["shipped"], band=band, line=row["line"]))
    begin, end = of.clock.words(0.0), of.clock.end_words(of.shifts)
    return say("coming.output", begin=begin, end=end, outputs=texts, level=of.level)


def _first(forecast: ForecastFigures) -> str:
    by_hand = forecast.due[forecast.due["by_hand"] >= 0.5]
    due, changes = by_hand[by_hand["chance"] >= 0.5], by_hand["chance"].sum()
    if due.empty:
        return say("coming.no_change")
    first = _rows(due)[0]
    key = "coming.first" if first["from"] == first["to"] else "coming.first_band"
    where = forecast.of.called(int(first["of_machine"]))
    return say(
        key, changes=changes, cutter=first["cutter"], machine=where, time=first["due"], low=first["from"],
        high=first["to"],
    )  # fmt: skip


def _people(forecast: ForecastFigures) -> Iterator[str]:
    for name, row in busiest(forecast.hours).items():
        if row["busy_min"] < 1.0:
            continue
        total = float(forecast.hours.loc[forecast.hours["people"] == name, "busy_min"].sum())
        key = "coming.people_at_once" if row["at_once"] > row["attending"] else "coming.people"
        yield say(
            key, who=name, total=total, low=clock_told(row["from"]), high=clock_told(row["to"]), busy=row["busy_min"],
            machines=row["at_once"], attending=row["attending"],
        )  # fmt: skip
    for row in _rows(forecast.clashes)[:_MOST]:
        yield say(
            "coming.clash", time=row["about"], machine=row["waiting"], waited=row["waited_min"], who=row["people"],
            other=row["meanwhile"], share=row["chance"],
        )  # fmt: skip


def _short(forecast: ForecastFigures) -> Iterator[str]:
    short = _rows(forecast.sets[forecast.sets["short"] >= _SHORT].sort_values("short", ascending=False))
    for row in short[:_MOST]:
        yield say("coming.short", cutter=row["cutter"], share=row["short"], sharp=row["sharp"], at_hand=row["at_hand"])
    if not short:
        yield say("coming.suffice") if len(forecast.sets) else say("coming.no_sets")
    for row in _rows(forecast.standstill[forecast.standstill["often_no_part"] >= _OFTEN]):
        if forecast.constraints.get(row["line"]) == row["operation"]:
            yield say(
                "coming.starved", operation=row["operation"], line=row["line"], minutes=row["no_part_min"],
                share=row["often_no_part"],
            )  # fmt: skip


def _grouping(table: pd.DataFrame) -> Iterator[str]:
    for row in _rows(table)[:_MOST]:
        yield say(
            "coming.grouping", count=max(1, round(row["given_up"])), machine=row["machine"], first=row["first"],
            time=row["at"], second=row["second"], later=row["then"], saved=row["saved_min"],
            share=row["given_up_share"],
        )  # fmt: skip


def left_in_words(of: LeftIn, forecast: ForecastFigures) -> Iterator[str]:
    """What leaving a set in brings, and the caution that goes with it."""
    end = forecast.of.clock.end_words(forecast.of.shifts)
    many = len(of.mounts) > 1
    which = say("coming.on_machines", which=of.named, machines=len(of.mounts)) if many else of.named
    if of.due == 0.0:
        yield say("coming.left_no_change", which=which, end=end)
        return
    yield say(
        "coming.left_in", which=which, end=end, result=_money(of.money, forecast.works.currency),
        shipped=of.shipped.mean, scrapped=of.scrapped.mean, out=of.out.mean, broken=of.broken,
        planned=of.broken_planned,
    )  # fmt: skip
    if of.past_limit > 0.0:
        yield say("coming.past_limit", share=of.past_limit)


def _money(of: Difference, currency: str) -> str:
    """Whether it brings or costs, and the amount with its interval."""
    half = 0.0 if math.isnan(of.half_width) else of.half_width
    low, high = of.mean - half, of.mean + half
    if low <= 0.0 <= high and half > 0.0:
        return say("coming.left_same", currency=currency, mean=of.mean, low=low, high=high)
    if of.mean >= 0.0:
        return say("coming.left_brings", currency=currency, mean=of.mean, low=low, high=high)
    return say("coming.left_costs", currency=currency, mean=-of.mean, low=-high, high=-low)


def _strange(forecast: ForecastFigures) -> Iterator[str]:
    plan = forecast.of.plan
    for mount in forecast.survived.strange[:_MOST]:
        machine = forecast.of.called(int(plan.mounts.machine[mount]))
        kind = plan.names.kinds[int(plan.mounts.kind[mount])]
        assert plan.begins is not None
        yield say("coming.strange", cutter=kind, machine=machine, parts=int(plan.begins.parts[mount]))
