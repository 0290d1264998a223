"""What the dashboard shows of the coming shift: when each set is due, who is wanted, what comes out."""

from __future__ import annotations

import pandas as pd

from linesim.report.terminal.coming import due_rows, hour_rows, set_rows
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import number
from linesim.study.coming.forecast import Forecast
from linesim.words import retell, say
from linesim.works.doing import called_at

__all__ = ["due_sheet", "hours_sheet", "output_sheet", "sets_sheet", "standstill_sheet"]


def _heads(*names: str) -> list[str]:
    """Heads of columns by the ends of their keys."""
    return [say(f"coming.head_{name}") for name in names]


def due_sheet(forecast: Forecast) -> Sheet:
    """When each set will be due."""
    heads = [*_heads("set", "machine", "due", "from", "to"), *numbers(*_heads("parts", "comes_due", "breaks"))]
    rows: list[list[Cell]] = [[*row[:5], *numbers(*row[5:])] for row in due_rows(forecast)]
    caption = say("coming.due_caption", level=forecast.of.level)
    return Sheet(caption, heads, rows, forecast.tables["due"])


def hours_sheet(forecast: Forecast) -> Sheet:
    """Who is wanted when."""
    heads = [
        *_heads("people", "from", "to"),
        *numbers(*_heads("there", "busy", "busy_most", "at_once", "wait", "waits")),
    ]
    rows: list[list[Cell]] = [[*row[:3], *numbers(*row[3:])] for row in hour_rows(forecast)]
    return Sheet(say("coming.hours_caption"), heads, rows, forecast.hours)


def sets_sheet(forecast: Forecast) -> Sheet:
    """Sharp sets that will be wanted."""
    heads = [*_heads("cutter"), *numbers(*_heads("sharp", "at_grinder", "wanted", "to_have", "short"))]
    rows: list[list[Cell]] = [[row[0], *numbers(*row[1:])] for row in set_rows(forecast)]
    return Sheet(say("coming.sets_caption"), heads, rows, forecast.sets)


def output_sheet(forecast: Forecast) -> Sheet:
    """Good parts of each line."""
    heads = [*_heads("line"), *numbers(*_heads("good", "from", "to", "scrapped"))]
    rows: list[list[Cell]] = [
        [str(row["line"]), *numbers(number(row["shipped"], 1), str(row["low"]), str(row["high"]),
         number(row["scrapped"], 1))]
        for row in forecast.output.to_dict(orient="records")
    ]  # fmt: skip
    return Sheet(say("coming.output_caption", level=forecast.of.level), heads, rows, forecast.output)


def standstill_sheet(forecast: Forecast) -> Sheet:
    """For what operations stand."""
    columns = ("no_part_min", "held_up_min", "no_set_min", "no_setter_min", "changing_min", "down_min")
    frame: pd.DataFrame = forecast.standstill
    rows: list[list[Cell]] = [
        [
            retell(called_at(forecast.works, str(row["line"]), str(row["operation"]))),
            *numbers(*(number(float(row[name]), 0) for name in columns)),
        ]
        for row in frame.to_dict(orient="records")
    ]
    heads = [*_heads("operation"), *numbers(*_heads(*(name.removesuffix("_min") for name in columns)))]
    return Sheet(say("coming.stands_caption"), heads, rows, frame)
