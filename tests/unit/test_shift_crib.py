"""The crib and breaks that nobody saw in the record and the replay of a shift; floors worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.report.views.moment import events_of, floor_picture
from linesim.report.views.shift_crib import breaks_sheet, broken_at, crib_picture, crib_sentence
from linesim.study.one.shift_record import ShiftRecord, record_shift
from tests.floors import a_blade, a_cut, a_shop, a_tool
from tests.unit.cells import column

ENGINES = pytest.mark.parametrize("engine", ["fast", "simpy"])


def ground(engine: str = "fast", **more: Any) -> ShiftRecord:
    """Parts of a minute each, a drill changed in no time after ten; a grinder needs 15 minutes for a set."""
    renewal = {"reground": {"stock": 90, "margin": 0.1, "minutes": 15}}
    drill = a_tool(breaking="never", renewal=renewal, **more)
    tool_room: dict[str, Any] = {"crib": {"grinders": 1, "presetters": "hands"}, "people": {"hands": {}}}
    works = a_shop({"Op 10": {"minutes": 1, "sets": ["drill"]}}, cutters={"drill": drill}, rule={"parts": 10},
                   length=480, line={"worth": 1}, **tool_room)  # fmt: skip
    return record_shift(works, engine=engine)


@ENGINES
def test_the_shelf_is_followed_from_set_to_set(engine: str) -> None:
    """One sharp set at first; drawn at 10, the dull one is back at 25, when the machine has stood since 20 for it."""
    record = ground(engine)
    columns = ["minute", "on_shelf", "grinding", "presetting", "on_order"]
    # At 25 the set that comes back is drawn at once, and the other goes to the grinder in its place since 20.
    assert record.crib[columns].head(4).to_numpy().tolist() == [[0, 1, 0, 0, 0], [10, 0, 1, 0, 0], [20, 0, 2, 0, 0],
                                                                [25, 0, 1, 0, 0]]  # fmt: skip
    assert record.draws[["machine", "cutter", "minute", "waited_min"]].head(3).to_numpy().tolist() == [
        ["Op 10", "drill", 10.0, 0.0],
        ["Op 10", "drill", 25.0, 5.0],
        ["Op 10", "drill", 40.0, 5.0],
    ]


def test_what_is_in_the_crib_is_said_at_a_moment() -> None:
    record = ground()
    assert crib_sentence(record, "line", 5.0) == "In the crib at 0:05: 1 sharp set on the shelf."
    assert crib_sentence(record, "line", 21.0) == (
        "In the crib at 0:21: 0 sharp sets on the shelf, 2 being ground. None left of drill."
    )
    assert floor_picture(record, "line", 21.0).words.endswith(crib_sentence(record, "line", 21.0))


def test_the_picture_of_the_crib_shows_an_empty_shelf_and_who_waited() -> None:
    record = ground()
    picture = crib_picture(record, "line")
    shelf, empty = picture.figure.data
    assert list(shelf.z[0])[:12] == [1] * 10 + [0] * 2
    assert list(empty.x) == list(range(10, 481))
    assert column(picture.sheet, "shelf empty, min") == ["470.0"]
    assert column(picture.sheet, "most being ground") == ["2"]
    waits = record.draws["waited_min"]
    assert column(picture.sheet, "machines waited, min") == [f"{waits.sum():.1f}"]
    assert column(picture.sheet, "drawn after a wait") == [str((waits > 0).sum())]
    assert picture.words.endswith(": for a time there was none of drill.")
    assert empty.showlegend
    plenty = crib_picture(ground(sets=99), "line")
    assert plenty.words.endswith(": there was always one on each shelf.")


def test_sets_that_are_preset_or_on_order_are_told_apart() -> None:
    preset = ground(presetting=4)
    assert preset.crib["presetting"].max() == 1
    drill = a_tool(sets=3, breaking="never", renewal={"bought": {}}, lead_time=25)
    works = a_shop({"Op 10": {"minutes": 1, "sets": ["drill"]}}, cutters={"drill": drill}, rule={"parts": 10},
                   length=480, line={"worth": 1})  # fmt: skip
    bought = record_shift(works)
    assert bought.crib["on_order"].max() == 3
    assert crib_sentence(bought, "line", 12.0) == "In the crib at 0:12: 1 sharp set on the shelf, 1 on order."


def unseen(engine: str = "fast", seen_after: int = 6, **spec: Any) -> ShiftRecord:
    """Parts of a minute; an edge breaks in its fourth, and is seen when it has cut six; a change takes 3 min."""
    breaking = {"shape": 50, "scale": 0.035}  # all but sure at 3.5 of a hundred cutting minutes
    kind = a_blade(life=100.0, sets=9, change=2, extra_when_broken=1, breaking=breaking, seen_after=seen_after)
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut(depth=3.0)}}}} | spec
    face = {"face": {"size": {"limits": [99.98, 100.02]}}}
    works = a_shop({"Op 10": operation}, line={"features": face, "worth": 1}, cutters={"blade": kind}, length=480)
    return record_shift(works, engine=engine)


@ENGINES
def test_a_break_is_dated_and_so_is_its_finding(engine: str) -> None:
    """Broken in the stroke from 3 to 4, found as the sixth part after is scrapped at 9; the next edge begins at 12."""
    breaks = unseen(engine).breaks[["machine", "cutter", "broke_min", "found_min", "parts"]]
    assert breaks.head(2).to_numpy().tolist() == [["Op 10", "blade", 3.0, 9.0, 6], ["Op 10", "blade", 15.0, 21.0, 6]]


@ENGINES
def test_a_probe_finds_it_as_the_part_is_done(engine: str) -> None:
    first = unseen(engine, breakage_probe={"minutes": 0.25}).breaks.iloc[0]
    assert (first["broke_min"], first["found_min"], first["parts"]) == (3.75, 5.0, 1)


@ENGINES
def test_what_nobody_finds_stays_unfound(engine: str) -> None:
    breaks = unseen(engine, seen_after=1000).breaks
    assert len(breaks) == 1
    assert math.isnan(breaks["found_min"][0])
    assert breaks["parts"][0] == 476  # the part that is done at 480 belongs to the next shift


def test_the_replay_shows_an_edge_of_which_nobody_knows_that_it_is_broken() -> None:
    record = unseen()
    assert broken_at(record, "line", 5.0) == {("Op 10", "Op 10", "blade")}
    assert not broken_at(record, "line", 2.9)
    assert not broken_at(record, "line", 9.0)
    assert {3.0, 9.0, 15.0, 21.0} <= set(events_of(record, "line"))
    picture = floor_picture(record, "line", 5.0)
    edges = picture.figure.data[-1]
    assert list(edges.marker.symbol) == ["star"]
    assert "broken, and nobody knows yet" in edges.hovertext[0]
    assert "broken unseen" in str(picture.sheet.rows[0])
    assert "broken" not in str(floor_picture(record, "line", 2.0).figure.data[-1].hovertext)


def test_breaks_are_listed_with_when_they_were_found() -> None:
    sheet = breaks_sheet(unseen(), "line")
    heads = ("cutter", "at", "broke", "found", "minutes", "parts cut meanwhile")
    assert [column(sheet, head)[0] for head in heads] == ["blade", "Op 10 (bore face)", "0:03", "0:09", "6.0", "6"]
    never = breaks_sheet(unseen(seen_after=1000), "line")
    assert column(never, "found") == ["not in this shift"]


def test_what_was_broken_before_the_shift_has_no_moment() -> None:
    record = unseen(seen_after=1000)
    later = record_shift(record.works, shift=2)
    assert column(breaks_sheet(later, "line"), "broke") == ["before the shift"]
    assert broken_at(later, "line", 0.0) == {("Op 10", "Op 10", "blade")}
