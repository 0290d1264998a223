"""Searches as pages for the office: best intervals, how many sets and people, what drives the result."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from linesim.report.charts.intervals import best_intervals_figure
from linesim.report.charts.sensitivity import screening_figure, sensitivity_figure
from linesim.report.page.page import Page, entries, page_html
from linesim.report.page.sections import ground_sections
from linesim.report.terminal.levers import lever_words, set_shown
from linesim.report.terminal.search import flat_words, gain_words
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Drawing, Section, Table
from linesim.report.theme.shown import number, within
from linesim.study.comparing.measures import with_unit
from linesim.study.search import BestIntervals, Circulation, Drivers
from linesim.study.statistics.intervals import Difference, Interval
from linesim.words import localised, retell, say
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
            set_shown(row),
            *numbers(number(row["parts"], 0), number(row["life_share"], 2), flat_words(row)),
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
        rows.append([retell(with_unit(by, answer.works.currency)), *numbers(*cells)])
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
    page = Page(
        name=answer.works.name,
        lettering=say("sets.kind"),
        question=say("sets.question"),
        sentences=[*map(retell, answer.sentences)],
        is_settled=answer.is_settled,
        sections=[Section(say("sets.numbers"), [_numbers_table(answer)]), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _numbers_table(answer: Circulation) -> Table:
    rows = [
        [
            retell(item.words),
            *numbers(*(str(row[name]) for name in ("now", "best", "least"))),
            *numbers(*(gain_words(row, end) for end in ("one_more", "one_fewer"))),
        ]
        for item, row in zip(answer.items, answer.table.to_dict(orient="records"), strict=True)
    ]
    heads = map(say, ("sets.now", "search.best", "sets.least", "sets.one_more", "sets.one_fewer"))
    return Table(say("sets.caption", unit=answer.unit), ["", *numbers(*heads)], rows)


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
    page = Page(
        name=answer.works.name,
        lettering=say("drivers.kind"),
        question=say("drivers.question"),
        sentences=[*map(retell, answer.sentences)],
        is_settled=True,
        sections=[*_driver_sections(answer), *ground_sections(answer.works)],
        block=entries(answer.provenance, command),
        scenario=to_yaml(answer.works),
    )
    return page_html(page)


def _driver_sections(answer: Drivers) -> Iterator[Section]:
    inputs = {one.name: one for one in answer.inputs}
    rows: list[list[Cell]] = [
        [retell(inputs[row["input"]].words), *numbers(localised(f"{row['low']:g}"), _end(answer, row, "at_low")),
         *numbers(localised(f"{row['high']:g}"), _end(answer, row, "at_high")), retell(inputs[row["input"]].reason)]
        for row in answer.one_at_a_time.to_dict(orient="records")
    ]  # fmt: skip
    times, difference = say("drivers.times"), say("search.difference")
    table = Table(
        say("drivers.table", measure=with_unit(answer.measure, answer.works.currency)),
        [say("drivers.figure"), *numbers(times, difference, times, difference), say("drivers.why")],
        rows,
    )
    picture = Drawing(sensitivity_figure(answer), say("drivers.alone_caption"), "swings")
    yield Section(say("drivers.alone"), [picture, table])
    if answer.screened:
        picture = Drawing(screening_figure(answer), say("drivers.together_caption"), "screening")
        yield Section(say("drivers.together"), [picture])


def _end(answer: Drivers, row: Mapping[Any, Any], end: str) -> str:
    factor = 100.0 if answer.measure.is_share else 1.0
    return within(factor * row[end], factor * row[f"{end}_half_width"], is_open=not row[f"{end}_is_told"])
