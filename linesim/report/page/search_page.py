"""Searches as pages for the office: best intervals, how many sets and people, what drives the result."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linesim.report.charts.search_figures import flat_figure, screening_figure, swing_figure
from linesim.report.page.html import block_of, header_of, page_of, picture
from linesim.report.page.sections import cautions_section
from linesim.report.terminal.search import flat_words, gain_words, item_words
from linesim.report.theme.markup import numbers, table
from linesim.study.comparing.measures import with_unit
from linesim.study.comparing.words import amount
from linesim.study.search import BestIntervals, Circulation, Drivers
from linesim.study.statistics.intervals import Difference, Interval

__all__ = ["circulation_page", "drivers_page", "intervals_page"]

_WIDE = ("digest", "works")


def intervals_page(found: BestIntervals, command: str | None = None) -> str:
    """Best intervals as one self-contained HTML page.

    Parameters
    ----------
    found : BestIntervals
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    header = header_of(
        found.works.name, "linesim / best intervals", "When should each cutter set be changed?", found.sentences,
        found.is_settled,
    )  # fmt: skip
    return page_of(found.works.name, header, _interval_sections(found), _block(found.provenance, command))


def _interval_sections(found: BestIntervals) -> Iterator[tuple[str, str]]:
    percent = f"{100.0 * found.tolerance:g} %"
    caption = (
        f"Each set's interval on the range that is known to cost no more than {percent}; the ring is what the set "
    )
    yield "The intervals", picture(flat_figure(found), f"{caption}would do by itself.", "flat") + table(
        "Change after so many parts",
        ["operation", "cutter", *numbers("parts", "share of life", f"flat within {percent}")],
        [
            [str(row["operation"]), str(row["cutter"]),
             *numbers(str(row["parts"]), f"{row['life_share']:.2f}", flat_words(row))]
            for row in found.intervals.to_dict(orient="records")
        ],
    )  # fmt: skip
    if found.verdict is not None:
        yield f'Against "{found.base}"', _verdict_table(found)
    yield "Cautions", cautions_section()


def _verdict_table(found: BestIntervals) -> str:
    """Found and base by every measure, in fresh replications."""
    verdict = found.verdict
    assert verdict is not None
    rows = []
    for by in found.measures:
        factor = 100.0 if by.is_share else 1.0
        pairs: list[Interval | Difference] = [verdict.found[by.name], verdict.base[by.name]]
        pairs.append(verdict.differences[by.name])
        cells = [amount(factor * pair.mean, factor * pair.half_width) for pair in pairs]
        cells[-1] += "" if verdict.differences[by.name].is_apart else " ~"
        rows.append([with_unit(by, found.works.currency), *numbers(*cells)])
    level = f"{100.0 * found.confidence:g} %, {verdict.replications} fresh replications; ~ not told apart"
    return table(f"Mean ± half width at {level}", ["", *numbers("best intervals", "before", "difference")], rows)


def circulation_page(found: Circulation, command: str | None = None) -> str:
    """Numbers of sets, grinders and setters as one self-contained HTML page.

    Parameters
    ----------
    found : Circulation
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    question = "How many cutter sets, tool grinders and setters are worth having?"
    header = header_of(found.works.name, "linesim / sets and people", question, found.sentences, True)
    rows = [
        [
            item_words(row),
            *numbers(*(str(row[name]) for name in ("now", "best", "least"))),
            *numbers(*(gain_words(row, end) for end in ("one_more", "one_fewer"))),
        ]
        for row in found.table.to_dict(orient="records")
    ]
    heads = ["", *numbers("now", "best", "least", "one more gains", "one fewer gains")]
    told = table(f"Gains against the best, {found.unit}, paired", heads, rows)
    sections = [("Numbers", told), ("Cautions", cautions_section())]
    return page_of(found.works.name, header, sections, _block(found.provenance, command))


def drivers_page(found: Drivers, command: str | None = None) -> str:
    """What drives the result, as one self-contained HTML page.

    Parameters
    ----------
    found : Drivers
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    question = "Which figures that the shop knows least should be measured first?"
    header = header_of(found.works.name, "linesim / what drives the result", question, found.sentences, True)
    return page_of(found.works.name, header, _driver_sections(found), _block(found.provenance, command))


def _driver_sections(found: Drivers) -> Iterator[tuple[str, str]]:
    caption = "Each figure alone at both ends of its range; all runs meet the same castings and edges."
    yield "One at a time", picture(swing_figure(found), caption, "swings") + table(
        f"Difference of {with_unit(found.measure, found.works.currency)} from the base, and why the range",
        ["figure", *numbers("times", "difference", "times", "difference"), "why this range"],
        [
            [str(row["words"]), *numbers(f"{row['low']:g}", _end(found, row, "at_low")),
             *numbers(f"{row['high']:g}", _end(found, row, "at_high")), str(row["reason"])]
            for row in found.one_at_a_time.to_dict(orient="records")
        ],
    )  # fmt: skip
    if found.screened:
        caption = "Right: strong. Up: its effect depends on the other figures, or bends (Morris 1991, by SALib)."
        yield "All together", picture(screening_figure(found), caption, "screening")
    yield "Cautions", cautions_section()


def _end(found: Drivers, row: Mapping[Any, Any], end: str) -> str:
    factor = 100.0 if found.measure.is_share else 1.0
    told = "" if row[f"{end}_is_told"] else " ~"
    return f"{amount(factor * row[end], factor * row[f'{end}_half_width'])}{told}"


def _block(provenance: Mapping[str, Any], command: str | None) -> str:
    """What is needed to make the page again."""
    cells = [
        ("half" if name in _WIDE else "", name.replace("_", " "), str(value))
        for name, value in provenance.items()
        if value not in (None, {})
    ]
    return block_of([*cells, ("all", "command", command or "made from Python")])
