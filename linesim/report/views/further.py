"""Further questions about the cutters: the value of a minute, how many sets there should be, what drives it all."""

from __future__ import annotations

import math
from typing import Any

from linesim.report.charts.minute_value import minute_value_figure
from linesim.report.charts.sensitivity import sensitivity_figure
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import interval, number
from linesim.study.comparing.measures import with_unit
from linesim.study.questions.worth import Worth
from linesim.study.search import Circulation, Drivers
from linesim.study.search.numbers.figures import counted_words
from linesim.works.doing import called_at

__all__ = ["drivers_picture", "numbers_sheet", "numbers_taken", "worth_picture"]

_NOT_SIGNIFICANT = "not significant"


def worth_picture(answer: Worth, light: Light = DAY) -> Picture:
    """What a minute less stopped is worth at each machine, with its interval.

    Parameters
    ----------
    answer : Worth
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Filled marks where a value is significant.
    """
    return Picture(minute_value_figure(answer, light), " ".join(answer.sentences), _worth_sheet(answer))


def _worth_sheet(answer: Worth) -> Sheet:
    several = len(answer.works.lines) > 1
    cells: list[list[Cell]] = []
    for row in answer.table.to_dict(orient="records"):
        called = called_at(answer.works, str(row["line"]), str(row["operation"]))
        name = f"{row['line']}: {called}" if several else called
        figures = numbers(
            interval(row["worth"], row["worth_half_width"]), interval(-row["cost"], row["cost_half_width"]),
            number(100.0 * row["utilisation"], 1), number(row["stopped_min"], 1),
        )  # fmt: skip
        cells.append([name, *figures, "" if row["is_told"] else _NOT_SIGNIFICANT])
    money = answer.works.currency
    heads = [
        "operation",
        *numbers(f"a minute less, {money}/h", f"a minute more, {money}/h", "busy, %", "stopped, min/h"),
    ]
    caption = (
        f'Value of a minute under "{answer.policy}": mean of {answer.n_replications} runs ± half width; all '
        f"intervals of a column hold at once, {100.0 * answer.confidence:g} %"
    )
    return Sheet(caption, [*heads, ""], cells, answer.table)


def numbers_sheet(answer: Circulation) -> Sheet:
    """How many sets, grinders and setters there are, would be best, and what one more or fewer brings.

    Parameters
    ----------
    answer : Circulation
        As far as the search has come.

    Returns
    -------
    Sheet
    """
    hours = answer.works.calendar.minutes_per()["year"] / 60.0
    rows: list[list[Cell]] = []
    for row in answer.table.to_dict(orient="records"):
        words = counted_words(str(row["kind"]), str(row["name"]))
        year = number(row["hourly_cost"] * hours, 0)
        figures = [str(row["now"]), str(row["best"]), year, _gain(row, "one_more"), _gain(row, "one_fewer")]
        rows.append([words, *numbers(*figures)])
    money = answer.works.currency
    heads = ["", *numbers("now", "best", f"one more costs, {money}/year", "one more gains", "one fewer gains")]
    caption = f"Gains against the best, {answer.unit}, paired by replication; ~ not significant"
    return Sheet(caption, heads, rows, answer.table)


def drivers_picture(answer: Drivers, light: Light = DAY) -> Picture:
    """What each input that a shop knows least does to the result, alone at the low and at the high end of its range.

    Parameters
    ----------
    answer : Drivers
        As far as the study has come.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The widest swings; open marks are not significant.
    """
    return Picture(sensitivity_figure(answer, light), " ".join(answer.sentences), _drivers_sheet(answer))


def _drivers_sheet(answer: Drivers) -> Sheet:
    factor = 100.0 if answer.measure.is_share else 1.0
    rows: list[list[Cell]] = []
    for row in answer.one_at_a_time.to_dict(orient="records"):
        ends = [interval(factor * row[end], factor * row[f"{end}_half_width"]) for end in ("at_low", "at_high")]
        range_ = f"{row['low']:g} to {row['high']:g} times"
        is_sure = row["at_low_is_told"] or row["at_high_is_told"]
        rows.append([str(row["words"]), range_, *numbers(*ends), "" if is_sure else _NOT_SIGNIFICANT])
    heads = ["input", "range", *numbers("at its low end", "at its high end"), ""]
    caption = f"One at a time: {with_unit(answer.measure, answer.works.currency)} less the base, paired by replication"
    return Sheet(caption, heads, rows, answer.one_at_a_time)


def numbers_taken(answer: Circulation) -> str:
    """How many numbers the scenario gets changed, in words."""
    count = sum(best != item.now for item, best in zip(answer.items, answer.counts, strict=True))
    return f"{count} number{'s' if count != 1 else ''} of the scenario changed."


def _gain(row: dict[Any, Any], head: str) -> str:
    """A gain with its half width, and a sign if it is not significant."""
    gain = row[f"{head}_gain"]
    if gain is None or math.isnan(gain):
        return "–"
    return f"{interval(gain, row[f'{head}_half_width'])}{'' if row[f'{head}_is_told'] else ' ~'}"
