"""Best intervals, numbers of sets and people, and sensitivity: each cell is the result's."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from linesim.ask import drivers, intervals, sets
from linesim.report.page.search_pages import circulation_page, drivers_page, intervals_page
from linesim.report.terminal.search import circulation_text, drivers_text, intervals_text
from linesim.study.comparing.measures import with_unit
from linesim.study.search import (
    BestIntervals,
    Circulation,
    Drivers,
    SearchPlan,
)
from linesim.works import Works, changed, load_works
from linesim.works.doing import called_anywhere
from tests.printed import UNKNOWN, Printed, all_show, all_within, html_tables, shows, terminal_tables

POLICY = "every 60 parts"


def short() -> Works:
    return changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "1 day"}})


@pytest.fixture(scope="module")
def best() -> BestIntervals:
    # From intervals that are far too long, so that the search has something to better.
    return intervals(short(), policy="run until it breaks", plan=SearchPlan(runs=80, replications=4, fresh=3))


@pytest.fixture(scope="module")
def numbers() -> Circulation:
    return sets(short(), POLICY, replications=4, fresh=3, most_runs=40)


@pytest.fixture(scope="module")
def swings() -> Drivers:
    return drivers(short(), POLICY, replications=3, trajectories=2, are_together=True)


def flat(row: dict[str, object]) -> str:
    """A flat range as it should be read."""
    low, high = row["flat_low"], row["flat_high"]
    if low is None or math.isnan(low):  # type: ignore[arg-type]
        return UNKNOWN
    return f"{'' if row['low_is_sure'] else '≤ '}{low:.0f} to {'' if row['high_is_sure'] else '≥ '}{high:.0f}"


def verdict_shown(table: Printed, found: BestIntervals) -> None:
    """New intervals, those before, and their difference, measure by measure."""
    verdict = found.verdict
    assert verdict is not None
    assert [head.lower() for head in table.column("")] == [
        with_unit(by, found.works.currency).lower() for by in found.measures
    ]
    for at, by in enumerate(found.measures):
        scale = 100.0 if by.is_share else 1.0
        for head, own in (("best intervals", verdict.best[by.name]), ("before", verdict.base[by.name])):
            shows(table.column(head)[at], scale * own.mean, scale * own.half_width)
        less = verdict.differences[by.name]
        shows(table.column("difference")[at], scale * less.mean, scale * less.half_width, not less.is_apart)


def test_best_intervals_are_shown_as_they_are(best: BestIntervals) -> None:
    rows = best.intervals
    percent = f"{100.0 * best.tolerance:g} %"
    terminal, verdict, levers = terminal_tables(intervals_text(best))
    printed, levers_page, verdict_page, _ = html_tables(intervals_page(best))
    for table in (levers, levers_page):
        assert table.column("lever") == best.lever_values["lever"].to_list()
        for head, name in (("best", "value"), ("before", "before")):
            shown = [f"{row[name]:g} {row['unit']}".rstrip() for row in best.lever_values.to_dict(orient="records")]
            assert table.column(head) == shown
    called = [called_anywhere(best.works, name) for name in rows["operation"]]
    for table, parts, names in (
        (terminal, "change after parts", called),
        (printed, "parts", called),
    ):
        assert table.column("operation") == names
        assert table.column("cutter") == rows["cutter"].to_list()
        all_show(table.column(parts), rows["parts"])
        all_show(table.column("share of life"), rows["life_share"])
        assert table.column(f"flat within {percent}") == [flat(row) for row in rows.to_dict(orient="records")]
    all_show(terminal.column("by itself"), rows["by_itself"])
    verdict_shown(verdict, best)
    verdict_shown(verdict_page, best)


def gains_shown(table: Printed, rows: pd.DataFrame) -> None:
    """What one more and one fewer of each gains."""
    for head, end in (("one more gains", "one_more"), ("one fewer gains", "one_fewer")):
        for cell, row in zip(table.column(head), rows.to_dict(orient="records"), strict=True):
            gain = row[f"{end}_gain"]
            is_known = gain is not None and not math.isnan(gain)
            is_open = not row[f"{end}_is_told"] if is_known else None
            shows(cell, gain, row[f"{end}_half_width"] if is_known else None, is_open)


def test_numbers_of_sets_and_people_are_shown_as_they_are(numbers: Circulation) -> None:
    rows = numbers.table
    (terminal,) = terminal_tables(circulation_text(numbers))
    printed, _ = html_tables(circulation_page(numbers))
    for table in (terminal, printed):
        for head in ("now", "best", "least"):
            all_show(table.column(head), rows[head])
        gains_shown(table, rows)
        for cell, row in zip(table.column(""), rows.to_dict(orient="records"), strict=True):
            assert row["kind"] == "grinder" or str(row["name"]) in cell
    hours = numbers.works.calendar.minutes_per()["year"] / 60.0
    all_show(terminal.column(f"one more costs {numbers.works.currency}/year"), rows["hourly_cost"] * hours)


def test_swings_are_shown_as_they_are(swings: Drivers) -> None:
    rows, scale = swings.one_at_a_time, 100.0 if swings.measure.is_share else 1.0
    screening, alone = terminal_tables(drivers_text(swings))
    printed, _ = html_tables(drivers_page(swings))
    for table, low, high in ((alone, ("low", 0), ("high", 0)), (printed, ("times", 0), ("times", 1))):
        count = len(table.rows)
        for (head, nth), end, at in ((low, "at_low", 0), (high, "at_high", 1)):
            own = rows.head(count)
            all_show([cell.removeprefix("× ") for cell in table.column(head, nth)], own[end.removeprefix("at_")])
            all_within(
                table.column("difference", at), scale * own[end], scale * own[f"{end}_half_width"],
                [not told for told in own[f"{end}_is_told"]],
            )  # fmt: skip
    assert len(printed.rows) == len(rows)
    assert printed.column("figure") == rows["words"].to_list()
    assert printed.column("why this range") == [" ".join(str(text).split()) for text in rows["reason"]]
    own = swings.screening.head(len(screening.rows))
    assert screening.column("")[: len(own)] == own["words"].to_list()
    for head, name in (("mu*", "mu_star"), ("mu", "mu"), ("sigma", "sigma")):
        all_show(screening.column(head), scale * own[name])
    all_show([cell.removeprefix("± ") for cell in screening.column("", 1)], scale * own["half_width"])
