"""Searches as pages for the office: best intervals, how many sets and people, what drives the result."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from linesim.report.charts.intervals import best_intervals_figure
from linesim.report.charts.sensitivity import screening_figure, sensitivity_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.terminal.levers import lever_words
from linesim.report.terminal.search import flat_words, gain_words, item_words
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Drawing, Section, Table
from linesim.report.theme.shown import number, within
from linesim.study.comparing.measures import with_unit
from linesim.study.comparing.said import with_unit_said
from linesim.study.search import BestIntervals, Circulation, Drivers
from linesim.study.statistics.intervals import Difference, Interval
from linesim.words import retell, say
from linesim.works import to_yaml
from linesim.works.doing import called_anywhere

__all__ = ["circulation_page", "drivers_page", "intervals_page"]


def intervals_page(answer: BestIntervals, command: str | None = None, more: Sequence[str] = ()) -> str:
    """Best intervals as one self-contained HTML page.

    Parameters
    ----------
    answer : BestIntervals
        What to show.
    command : str, optional
        The command that made it, for the record.
    more : sequence of str
        Sentences that stand beneath those of the answer.

    Returns
    -------
    str
    """
    page = Page(
        name=answer.works.name,
        lettering=say("search.kind"),
        question=say("search.question"),
        sentences=[*map(retell, (*answer.sentences, *more))],
        is_settled=answer.is_settled,
        sections=[*_interval_sections(answer), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _interval_sections(answer: BestIntervals) -> Iterator[Section]:
    caption = say("search.caption", tolerance=100.0 * answer.tolerance)
    heads = [
        say("search.operation"),
        say("search.cutter"),
        *numbers(say("search.parts_head"), say("search.life_share")),
    ]
    rows: list[list[Cell]] = [
        [
            retell(called_anywhere(answer.works, row["operation"])),
            row["cutter"],
            *numbers(str(row["parts"]), number(row["life_share"], 2), flat_words(row)),
        ]
        for row in answer.intervals.to_dict(orient="records")
    ]
    table = Table(say("search.table"), [*heads, _flat_head(answer)], rows)
    yield Section(say("search.intervals"), [Drawing(best_intervals_figure(answer), caption, "flat"), table])
    if answer.levers:
        yield Section(say("search.beside"), [_lever_table(answer)])
    if answer.verdict is not None:
        yield Section(say("search.against", against=answer.against), [_verdict_table(answer)])


def _flat_head(answer: BestIntervals) -> Cell:
    """Head of a column of flat ranges."""
    return say("search.flat", tolerance=100.0 * answer.tolerance), "n"


def _lever_table(answer: BestIntervals) -> Table:
    """Aims, shares of correction and dead bands."""
    heads = [say("search.lever"), *numbers(say("search.best"), say("search.before")), _flat_head(answer)]
    rows: list[list[Cell]] = []
    for lever, row in zip(answer.levers, answer.lever_values.to_dict(orient="records"), strict=True):
        figures = (retell(lever.shown(row[name])) for name in ("value", "before"))
        rows.append([retell(lever.name), *numbers(*figures, lever_words(row))])
    return Table(say("search.levers"), heads, rows)


def _verdict_table(answer: BestIntervals) -> Table:
    """Found and base by every measure, in fresh replications."""
    verdict = answer.verdict
    assert verdict is not None
    rows = []
    for by in answer.measures:
        factor = 100.0 if by.is_share else 1.0
        pairs: list[Interval | Difference] = [verdict.best[by.name], verdict.base[by.name]]
        pairs.append(verdict.differences[by.name])
        cells = [within(factor * pair.mean, factor * pair.half_width) for pair in pairs]
        cells[-1] += "" if verdict.differences[by.name].is_apart else " ~"
        rows.append([retell(with_unit_said(by, answer.works.currency)), *numbers(*cells)])
    heads = numbers(say("search.kind"), say("search.before"), say("search.difference"))
    caption = say("search.verdict", level=100.0 * answer.confidence, count=verdict.replications)
    return Table(caption, ["", *heads], rows)


def circulation_page(answer: Circulation, command: str | None = None) -> str:
    """Numbers of sets, grinders and setters as one self-contained HTML page.

    Parameters
    ----------
    answer : Circulation
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    question = "How many cutter sets, tool grinders and setters are worth having?"
    page = Page(
        name=answer.works.name,
        lettering="sets and people",
        question=question,
        sentences=answer.sentences,
        is_settled=answer.is_settled,
        sections=[Section("Numbers", [_numbers_table(answer)]), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _numbers_table(answer: Circulation) -> Table:
    rows = [
        [
            item_words(row),
            *numbers(*(str(row[name]) for name in ("now", "best", "least"))),
            *numbers(*(gain_words(row, end) for end in ("one_more", "one_fewer"))),
        ]
        for row in answer.table.to_dict(orient="records")
    ]
    heads = ["", *numbers("now", "best", "least", "one more gains", "one fewer gains")]
    return Table(f"Gains against the best, {answer.unit}, paired; ~ not significant", heads, rows)


def drivers_page(answer: Drivers, command: str | None = None) -> str:
    """What drives the result, as one self-contained HTML page.

    Parameters
    ----------
    answer : Drivers
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    question = "Which figures that the shop knows least should be measured first?"
    page = Page(
        name=answer.works.name,
        lettering="sensitivity: what drives the result",
        question=question,
        sentences=answer.sentences,
        is_settled=True,
        sections=[*_driver_sections(answer), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _driver_sections(answer: Drivers) -> Iterator[Section]:
    caption = "Each figure alone at both ends of its range; all runs meet the same castings and edges."
    rows: list[list[Cell]] = [
        [row["words"], *numbers(f"{row['low']:g}", _end(answer, row, "at_low")),
         *numbers(f"{row['high']:g}", _end(answer, row, "at_high")), row["reason"]]
        for row in answer.one_at_a_time.to_dict(orient="records")
    ]  # fmt: skip
    table = Table(
        f"Difference of {with_unit(answer.measure, answer.works.currency)} from the base, and why the range; "
        "~ not significant",
        ["figure", *numbers("times", "difference", "times", "difference"), "why this range"],
        rows,
    )
    yield Section("One at a time", [Drawing(sensitivity_figure(answer), caption, "swings"), table])
    if answer.screened:
        caption = "Right: strong. Up: its effect depends on the other figures, or bends (Morris 1991, by SALib)."
        yield Section("All together", [Drawing(screening_figure(answer), caption, "screening")])


def _end(answer: Drivers, row: Mapping[Any, Any], end: str) -> str:
    factor = 100.0 if answer.measure.is_share else 1.0
    return within(factor * row[end], factor * row[f"{end}_half_width"], is_open=not row[f"{end}_is_told"])
