"""Sister cutters in a magazine; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.tally import State
from linesim.result.magazine_words import magazine_sentences
from linesim.works import Works
from tests.floors import Seen, a_shop, a_tool, run_shop

THREE = {"sisters": {"drill": 3}, "exchange": "7.5 s"}


def works(magazine: dict[str, Any] | None, length: float = 20.0, **entries: Any) -> Works:
    """A part a minute; the drill is due after three parts, and takes two minutes of the setter beside the access."""
    drill = a_tool(sets=40, change=2, **entries.pop("drill", {"breaking": "never"}))
    operation = {
        "minutes": 1, "sets": ["drill", *entries.pop("others", [])], "setters": "setters", "access": 1,
        "magazine": magazine,
    }  # fmt: skip
    cutters = {"drill": drill, "tap": a_tool(change=2)} if len(operation["sets"]) > 1 else {"drill": drill}
    rule = entries.pop("rule", {"parts": 3})
    return a_shop(
        {"Op 10": operation | entries.pop("operation", {})}, length=length, rule=rule,
        cutters=cutters, people={"setters": entries.pop("pool", {})}, **entries,
    )  # fmt: skip


def seen_of(magazine: dict[str, Any] | None, length: float = 20.0, **entries: Any) -> Seen:
    return run_shop(works(magazine, length, **entries))


def test_sisters_take_over_until_the_last_is_due() -> None:
    """Due at 3, 6.125 and 9.25: 7.5 seconds, once more, and then a minute and two for each of three."""
    seen = seen_of(THREE)
    assert seen.spans_in("Op 10", State.CHANGING) == [(3.0, 3.125), (6.125, 6.25), (9.25, 16.25), (19.25, 19.375)]
    tally = seen.tally
    assert (tally.planned[0], tally.taken_over[0], tally.stops[0], tally.jobs[0]) == (4, 3, 1, 1)
    assert tally.bought[0] == 3
    by_sister = ("due, by a sister", 3)
    assert [(change.why, change.parts) for change in seen.changes] == [by_sister, by_sister, ("due", 3), by_sister]
    [sentence] = magazine_sentences(works(THREE), seen.plan, tally)
    assert sentence.startswith('Of 4 cutters of "Op 10" that came to their end, sisters took over from 3')


def test_the_setter_is_called_when_so_many_are_used_up() -> None:
    """One at 3; before the part after the next, at 4.125, he renews it in a minute and two."""
    seen = seen_of(THREE | {"used_up": 1}, 8.0)
    assert seen.spans_in("Op 10", State.CHANGING) == [(3.0, 3.125), (4.125, 7.125)]


def test_used_ones_are_renewed_before_the_first_part_of_a_shift() -> None:
    """Three are used by 9.375; the shift of ten minutes is over with the part of 10.375."""
    often = {"sisters": {"drill": 9}, "exchange": "7.5 s", "renewed": "every shift"}
    seen = seen_of(often, 18.0, calendar={"shift": 10})
    spans = [(3.0, 3.125), (6.125, 6.25), (9.25, 9.375), (10.375, 17.375)]
    assert seen.spans_in("Op 10", State.CHANGING) == spans
    assert seen.changes[-1].now_min == 9.25


def test_a_machine_runs_on_with_its_sisters_while_no_setter_attends() -> None:
    """Shifts of ten minutes, and a setter in every second one: used by 3, 6.125 and 9.25, then 12.375, 15.5 and 18.625.

    He is there again with the part of 20.75, and renews all six in a minute and twelve.
    """
    often = {"sisters": {"drill": 9}, "exchange": "7.5 s", "renewed": "every shift"}
    staffed = {"pool": {"by_shift": [1, 0]}, "calendar": {"shift": 10, "shifts_per_day": 2}}
    seen = seen_of(often, 35.0, **staffed)
    exchanges = [(3.125 * n - 0.125, 3.125 * n) for n in range(1, 7)]
    assert seen.spans_in("Op 10", State.CHANGING) == [*exchanges, (20.75, 33.75), (34.75, 34.875)]
    assert seen.minutes_in("Op 10", State.WAITING_FOR_SETTER) == 0.0
    called = seen_of({"sisters": {"drill": 5}, "exchange": "7.5 s", "used_up": 3}, 35.0, **staffed)
    # The third used one calls him at 10.375, when he has gone; the last of five is due at 15.5, and stands until 20.
    assert called.spans_in("Op 10", State.CHANGING) == [*exchanges[:4], (20.0, 31.0), (34.0, 34.125)]


def test_a_stop_for_another_cutter_renews_what_is_used_up() -> None:
    """The tap is due after five parts, at 5.125: a minute, two for it and two for the drill that was used by 3."""
    seen = seen_of(THREE, 11.0, others=["tap"], exceptions={"tap": {"parts": 5}})
    assert seen.spans_in("Op 10", State.CHANGING) == [(3.0, 3.125), (5.125, 10.125)]
    assert [change.cutter for change in seen.changes] == ["drill", "tap"]


def test_a_sister_takes_over_from_one_that_broke_and_the_setter_comes_where_its_part_is_salvaged() -> None:
    breaks = {"life": 3.5, "breaking": {"shape": 50, "scale": 1}, "extra_when_broken": 5.0}
    seen = seen_of(THREE, 60.0, drill=breaks | {"broken": "spares the part"}, rule="run out")
    stops = [end - start for start, end in seen.spans_in("Op 10", State.CHANGING)]
    # A stop takes a minute, and two with five more for each of three that broke.
    assert stops[:5] == pytest.approx([0.125, 0.125, 22.0, 0.125, 0.125])
    assert seen.tally.saved[0] == seen.tally.unplanned[0] >= 5
    saved = seen_of(THREE, 60.0, drill=breaks | {"broken": {"salvage": {"share": 1, "minutes": 3}}}, rule="run out")
    assert saved.tally.taken_over[0] == 0
    assert saved.spans_in("Op 10", State.CHANGING)[0][1] == pytest.approx(
        saved.spans_in("Op 10", State.CHANGING)[0][0] + 11.0
    )


def test_sisters_that_have_edges_left_are_indexed_where_they_are() -> None:
    indexed = {"breaking": "never", "renewal": {"indexed": {"edges": 2}}, "replace": 4}
    seen = seen_of(THREE, 39.0, drill=indexed)
    spans = [end - start for start, end in seen.spans_in("Op 10", State.CHANGING)]
    assert spans == [0.125, 0.125, 7.0, 0.125, 0.125, 13.0]
    assert (seen.tally.in_place[0], seen.tally.bought[0]) == (3, 3)


def test_a_magazine_without_sisters_changes_nothing() -> None:
    alone, none = seen_of({"exchange": "7.5 s"}, 60.0), seen_of(None, 60.0)
    assert alone.moments == none.moments
    assert alone.changes == none.changes


def test_the_desk_spreads_the_stop_over_the_sisters() -> None:
    """A third of the access, two minutes, and two exchanges of three."""
    row = desk_figures(works(THREE), "as stated").sets.iloc[0]
    assert row["change_min"] == pytest.approx(1.0 / 3.0 + 2.0 + 0.125 * 2.0 / 3.0)


@pytest.mark.parametrize(
    ("magazine", "entries", "sentence"),
    [
        ({"pockets": 2, "sisters": {"drill": 3}}, {}, "too few for 3 cutters; at least 3 was expected"),
        ({"sisters": {"dril": 3}}, {}, '"drill"'),
        (THREE | {"used_up": 3}, {}, "the last of 3 calls the setter anyway"),
        ({"sisters": {"drill": 41}}, {}, "the machines and their magazines hold 41 of it"),
        (THREE, {"drill": {"renewal": {"dressed": {"dressings": 3}}}}, "has no sisters; 1 was expected"),
        (THREE, {"operation": {"batch": {"most": 2}}}, "several parts at once has no magazine"),
    ],
)
def test_what_does_not_go_together_is_refused(magazine: Any, entries: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ScenarioError, match=sentence):
        works(magazine, **entries)
