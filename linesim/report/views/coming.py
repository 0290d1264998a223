"""What the dashboard shows of the coming shift: when each set is due, who is wanted, what comes out."""

from __future__ import annotations

import pandas as pd

from linesim.report.terminal.coming import due_rows, hour_rows, set_rows
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import number
from linesim.study.coming.forecast import Forecast
from linesim.works.doing import called_at

__all__ = ["due_sheet", "hours_sheet", "output_sheet", "sets_sheet", "standstill_sheet"]


def due_sheet(forecast: Forecast) -> Sheet:
    """When each set will be due."""
    heads = ["set", "machine", "due", "from", "to", *numbers("parts then", "comes due, %", "breaks, %")]
    rows: list[list[Cell]] = [[*row[:5], *numbers(*row[5:])] for row in due_rows(forecast)]
    caption = f"When each set will be due; from and to hold {forecast.of.level:.0%} of such shifts"
    return Sheet(caption, heads, rows, forecast.tables["due"])


def hours_sheet(forecast: Forecast) -> Sheet:
    """Who is wanted when."""
    heads = ["people", "from", "to", *numbers("there", "busy, min", "busy at most, min", "machines at once",
             "machines wait, min", "a machine waits, %")]  # fmt: skip
    rows: list[list[Cell]] = [[*row[:3], *numbers(*row[3:])] for row in hour_rows(forecast)]
    return Sheet("Who is wanted when, hour by hour", heads, rows, forecast.hours)


def sets_sheet(forecast: Forecast) -> Sheet:
    """Sharp sets that will be wanted."""
    heads = ["cutter", *numbers("sharp now", "at the grinder", "wanted", "to have at hand", "runs short, %")]
    rows: list[list[Cell]] = [[row[0], *numbers(*row[1:])] for row in set_rows(forecast)]
    return Sheet("Sharp sets of the kinds that may be wanted", heads, rows, forecast.sets)


def output_sheet(forecast: Forecast) -> Sheet:
    """Good parts of each line."""
    heads = ["line", *numbers("good parts", "from", "to", "scrapped")]
    rows: list[list[Cell]] = [
        [str(row["line"]), *numbers(number(row["shipped"], 1), str(row["low"]), str(row["high"]),
         number(row["scrapped"], 1))]
        for row in forecast.output.to_dict(orient="records")
    ]  # fmt: skip
    return Sheet(f"Good parts; from and to hold {forecast.of.level:.0%} of such shifts", heads, rows, forecast.output)


def standstill_sheet(forecast: Forecast) -> Sheet:
    """For what operations stand."""
    columns = {
        "no_part_min": "without a part", "held_up_min": "held up", "no_set_min": "without a sharp set",
        "no_setter_min": "for a setter", "changing_min": "being changed", "down_min": "down",
    }  # fmt: skip
    frame: pd.DataFrame = forecast.standstill
    rows: list[list[Cell]] = [
        [
            called_at(forecast.works, str(row["line"]), str(row["operation"])),
            *numbers(*(number(float(row[name]), 0) for name in columns)),
        ]
        for row in frame.to_dict(orient="records")
    ]
    heads = ["operation", *numbers(*columns.values())]
    return Sheet("For what each operation stands, minutes of each machine (mean)", heads, rows, frame)
