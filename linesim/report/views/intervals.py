"""Intervals of cutter sets: what one costs, and the best of all together as a search finds them."""

from __future__ import annotations

import math

from linesim.report.charts.intervals import best_intervals_figure, one_interval_figure
from linesim.report.terminal.levers import lever_words, set_shown
from linesim.report.terminal.search import flat_words
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import interval, number
from linesim.study.comparing.measures import with_unit
from linesim.study.search import BestIntervals
from linesim.study.search.intervals.one_set import SetCurve
from linesim.works.doing import called_anywhere

__all__ = ["best_picture", "best_words", "curve_picture", "levers_sheet", "verdict_sheet"]


def curve_picture(answer: SetCurve, light: Light = DAY) -> Picture:
    """Cost per good part against the interval of one set, with its flat range.

    Parameters
    ----------
    answer : SetCurve
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The flat range is a hatched band with its words; the interval as it stands an upright dashed line.
    """
    return Picture(one_interval_figure(answer, light), " ".join(answer.sentences), _curve_sheet(answer))


def _curve_sheet(answer: SetCurve) -> Sheet:
    rows: list[list[Cell]] = []
    for row in answer.table.to_dict(orient="records"):
        mark = _mark(answer, int(row["parts"]))
        more = "–" if row["parts"] == answer.best else interval(row["worse"], row["worse_half_width"])
        figures = numbers(f"{row['life_share']:.2f}", interval(row["mean"], row["half_width"]), more)
        rows.append([f"{row['parts']} parts", *figures, mark])
    money = answer.works.currency
    heads = ["changed after", *numbers("share of its life", f"{money} per good part", "more than the least"), ""]
    n = int(answer.table["n"].iloc[0])
    caption = (
        f'{answer.set_at.key}, all else by "{answer.policy}": mean of {n} runs ± half width, '
        f"{100.0 * answer.confidence:g} %; differences paired by replication"
    )
    return Sheet(caption, heads, rows, answer.table.drop(columns="difference"))


def _mark(answer: SetCurve, parts: int) -> str:
    flat = answer.flat
    if flat is None:
        return ""
    if parts == answer.best:
        return "least"
    return f"within {100.0 * answer.tolerance:g} %" if flat.low <= parts <= flat.high else ""


def best_words(answer: BestIntervals) -> tuple[str, ...]:
    """What the search comes down to so far; the words of an ended one only once it has ended."""
    if answer.verdict is not None:
        return answer.sentences
    if not answer.setting.parts:
        return ("The policies of the scenario are being looked at.",)
    return (f'The best intervals so far; the last word is a trial against "{answer.against}" in fresh replications.',)


def best_picture(answer: BestIntervals, light: Light = DAY) -> Picture:
    """Every set with its interval and the range in which it hardly matters.

    Parameters
    ----------
    answer : BestIntervals
        As far as the search has come.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
    """
    return Picture(best_intervals_figure(answer, light), " ".join(best_words(answer)), _best_sheet(answer))


def _best_sheet(answer: BestIntervals) -> Sheet:
    table = answer.intervals
    rows: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        by_itself = row["by_itself"]
        alone = "–" if by_itself is None or math.isnan(by_itself) else number(by_itself, 0)
        figures = numbers(number(row["parts"], 0), number(row["life_share"], 2), flat_words(row), alone)
        rows.append([called_anywhere(answer.works, str(row["operation"])), set_shown(row), *figures])
    group = answer.setting.group_past
    grouped = "each set by itself" if group is None else f"with it whatever is past {group:g} of its interval"
    settled = "Best intervals" if answer.is_settled else "Best intervals so far"
    percent = f"{100.0 * answer.tolerance:g} %"
    heads = [
        "operation",
        "cutter set",
        *numbers("change after parts", "share of life", f"flat within {percent}", "by itself"),
    ]
    counts = "" if not any(answer.setting.ways) else "; – where a set goes by another rule than a count"
    caption = f"{settled}, {grouped}; ≤ and ≥ where the range may go further than was tried{counts}"
    return Sheet(caption, heads, rows, table)


def levers_sheet(answer: BestIntervals) -> Sheet | None:
    """What was sought beside the intervals: aims, shares of correction, dead bands; None if nothing was."""
    if not answer.levers:
        return None
    table = answer.lever_values
    rows: list[list[Cell]] = []
    for lever, row in zip(answer.levers, table.to_dict(orient="records"), strict=True):
        figures = (lever.shown(row[name]) for name in ("value", "before"))
        rows.append([str(lever.name), *numbers(*figures, lever_words(row))])
    heads = ["lever", *numbers("best", "before", f"flat within {100.0 * answer.tolerance:g} %")]
    caption = "Beside the intervals; an aim says by how much deeper than intended a fresh edge is set, µm per side"
    return Sheet(caption, heads, rows, table)


def verdict_sheet(answer: BestIntervals) -> Sheet | None:
    """The best intervals against today's practice, or the policy asked for, in fresh replications; None before that."""
    verdict = answer.verdict
    if verdict is None:
        return None
    rows: list[list[Cell]] = []
    for measure in answer.measures:
        factor = 100.0 if measure.is_share else 1.0
        apart = verdict.differences[measure.name]
        cells = [
            interval(factor * each.mean, factor * each.half_width)
            for each in (verdict.best[measure.name], verdict.base[measure.name], apart)
        ]
        remark = "" if apart.is_apart else "not significant"
        rows.append([with_unit(measure, answer.works.currency), *numbers(*cells), remark])
    caption = (
        f'Against "{answer.against}" in {verdict.replications} fresh replications: mean ± half width, '
        f"{100.0 * answer.confidence:g} %; the difference paired by replication"
    )
    return Sheet(caption, ["", *numbers("best intervals", "before", "difference"), ""], rows, answer.comparison)
