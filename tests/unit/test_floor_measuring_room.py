"""Parts that are read in the measuring room; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State
from linesim.result.measuring import measuring_sentences, measuring_table
from linesim.routing.account import account_of_run
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

BAD = {"chance": 1.0, "shift": "50 um", "minutes": 5}


def works(room: dict[str, Any], length: float = 12.5, **entries: Any) -> Works:
    """Faces cut in a minute each, every third of which is carried for four minutes and read in none.

    If the machine turns bad it leaves 50 µm on, more than the drawing allows.
    """
    gauge = {"feature": "face", "every": 3, "where": "measuring room", **entries.pop("gauge", {})}
    then = entries.pop("then", {"Op 20": {"minutes": 0.5, "buffer": "unlimited"}})
    parts, now = entries.pop("parts", {}), entries.pop("now", None)
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": {"gauge": gauge}}
    operation |= {"measuring_room": {"carry": 4, **room}, **entries}
    line = {"features": {"face": {"size": {"limits": [99.98, 100.02]}}}, "parts": parts}
    return a_shop(
        {"Op 10": operation, **then}, line=line, length=length, now=now,
        cutters={"blade": a_blade(life=1e9)}, people={"inspectors": {}},
    )  # fmt: skip


def seen_of(room: dict[str, Any], length: float = 12.5, **entries: Any) -> Seen:
    return run_shop(works(room, length, **entries))


def test_the_part_that_is_taken_away_goes_on_when_it_has_been_read() -> None:
    """The third part leaves the machine at 3.0 and lies in the room at 7.0, where it is read for 1.5 minutes."""
    seen = seen_of({}, gauge={"minutes": 1.5})
    complete = seen.moments["complete", "Op 10"]
    assert [complete["line", serial] for serial in (0, 1, 2, 3)] == [1.0, 2.0, 8.5, 4.0]
    assert (seen.tally.room_read[0], seen.tally.room_min[0], seen.tally.room_work_min[0]) == (2, 11.0, 3.0)
    assert seen.minutes_in("Op 10", State.CUTTING) == 12.5


def test_who_reads_reads_one_after_another() -> None:
    """The parts of 3.0, 6.0 and 9.0 are there at 3.0, 6.0 and 9.0, and are read for four minutes each."""
    busy = {"by": "inspectors", "carry": 0, "benches": 2}
    complete = seen_of(busy, 20.0, gauge={"minutes": 4}).moments["complete", "Op 10"]
    assert [complete["line", serial] for serial in (2, 5, 8)] == [7.0, 11.0, 15.0]
    alone = seen_of({"carry": 0, "benches": 2}, 20.0, gauge={"minutes": 4}).moments["complete", "Op 10"]
    assert [alone["line", serial] for serial in (2, 5, 8)] == [7.0, 10.0, 13.0]


def test_a_hidden_fault_is_found_when_the_answer_comes() -> None:
    """Bad from the first part on; the third is read at 7.0, before the eighth is clamped."""
    seen = seen_of({}, turns_bad=BAD)
    assert seen.spans_in("Op 10", State.SETTING_RIGHT) == [(7.0, 12.0)]
    assert (seen.tally.faults_found[0], seen.tally.unfound_min[0], seen.tally.made_bad[0]) == (1, 7.0, 8)
    assert seen.tally.scrapped[0, Cause.METAL_LEFT] == seen.tally.scrapped.sum() == 2
    assert seen.tally.sorted.sum() == 0


def test_parts_in_quarantine_wait_for_an_answer_and_are_sorted_if_it_is_bad() -> None:
    good = seen_of({"meanwhile": "quarantine"}, 12.5).moments["complete", "Op 10"]
    assert {serial: moment for (_, serial), moment in good.items()} == {
        0: 7.0, 1: 7.0, 2: 7.0, 3: 10.0, 4: 10.0, 5: 10.0,
    }  # fmt: skip
    bad = seen_of({"meanwhile": "quarantine"}, 12.0, turns_bad=BAD)
    # Parts 0, 1, 3, 4 and 6 stand there at 7.0; 2 was read and 5 is on its way, and read bad at 10.0.
    assert (bad.tally.sorted[0], bad.tally.sorted_bad[0], bad.tally.scrapped[0].sum()) == (5, 5, 7)
    assert bad.tally.held_min[0] == 6.0 + 5.0 + 3.0 + 2.0 + 0.0
    assert bad.tally.shipped[0] == 0


def test_parts_are_swept_back_as_the_next_machine_would_begin_with_them() -> None:
    """Op 20 takes 3 minutes: it has shipped part 0 and holds part 1 until 7.0, when the third is read bad."""
    slow = {"Op 20": {"minutes": 3.0, "buffer": "unlimited"}}
    seen = seen_of({"meanwhile": "sweep back"}, 11.5, turns_bad=BAD, then=slow)
    # Part 1 is through its cut at 7.0, as the answer comes, and is gone; 3, 4 and 6 stand in the buffer.
    assert (seen.tally.shipped[0], seen.tally.sorted[0], seen.tally.sorted_bad[0]) == (2, 3, 3)
    assert seen.tally.passed[0] == 2
    assert seen.minutes_in("Op 20", State.CUTTING) == 6.0


def test_a_part_at_the_last_machine_is_sorted_as_it_is_done_with() -> None:
    slow = {"Op 20": {"minutes": 3.5, "buffer": "unlimited"}}
    seen = seen_of({"meanwhile": "sweep back"}, 11.5, turns_bad=BAD, then=slow)
    assert (seen.tally.shipped[0], seen.tally.sorted[0], seen.tally.passed[0]) == (1, 4, 1)


def test_a_part_that_passes_the_last_operations_by_is_sorted_before_it_is_shipped() -> None:
    """Of a hundred long parts, which do not come to Op 20, the third is read at 6.5 while the seventh is cut."""
    parts = {"long": {"batch": 100}, "short": {"batch": 1}}
    then = {"Op 20": {"minutes": 1.0, "buffer": "unlimited", "only": ["short"]}}
    room = {"meanwhile": "sweep back", "carry": 3.5}
    seen = seen_of(room, 9.0, turns_bad=BAD, then=then, parts=parts)
    assert (seen.tally.shipped[0], seen.tally.sorted_bad[0], seen.tally.scrapped[0].sum()) == (4, 1, 2)


def test_a_batch_that_is_about_to_begin_runs_without_parts_that_are_swept_back() -> None:
    """At 6.5 two parts lie in the furnace and one is cut; the fourth comes at 13.0, after the setting right."""
    then = {"Op 20": {"minutes": 1.0, "buffer": "unlimited", "batch": {"most": 4, "least": 4}}}
    room = {"meanwhile": "sweep back", "carry": 3.5, "part": "marked"}
    seen = seen_of(room, 14.5, turns_bad=BAD, then=then)
    assert (seen.tally.batches_begun[1], seen.tally.sorted_bad[0], seen.tally.shipped[0]) == (2, 3, 5)


def test_what_waits_as_the_run_begins_is_not_swept_back() -> None:
    """Two parts stand before Op 20, which has shipped them at 6.0; of the others it holds the first until 9.0."""
    slow = {"Op 20": {"minutes": 3.0, "buffer": "unlimited"}}
    now = {"lines": {"line": {"Op 20": {"waiting": 2}}}}
    seen = seen_of({"meanwhile": "sweep back"}, 11.5, turns_bad=BAD, then=slow, now=now)
    # Of seven parts made until 7.0 the third is read and the sixth is on its way.
    assert (seen.tally.shipped[0], seen.tally.sorted[0], seen.tally.sorted_bad[0]) == (2, 5, 5)
    assert seen.tally.passed[0] == 0
    assert seen.minutes_in("Op 20", State.CUTTING) == 9.0


def test_one_part_type_that_is_named_changes_nothing() -> None:
    room = {"meanwhile": "sweep back"}
    plain, named = (seen_of(room, turns_bad=BAD, parts=parts) for parts in ({}, {"long": {}}))
    assert plain.moments == named.moments


def test_a_machine_that_stands_waits_for_the_result() -> None:
    seen = seen_of({"meanwhile": "stands"}, 12.5)
    assert seen.spans_in("Op 10", State.WAITING_FOR_RESULT) == [(3.0, 7.0), (10.0, 12.5)]
    [sentence] = measuring_sentences(works({"meanwhile": "stands"}), seen.plan, seen.tally)
    assert sentence == 'Machines of "Op 10 (bore face)" stood for 6 minutes until the measuring room had answered.'


def test_a_mark_is_read_while_the_part_goes_on() -> None:
    """Later cuts do not change what is read; only the third is read, and it is rejected only if it is swept back."""
    seen = seen_of({"part": "marked"}, turns_bad=BAD)
    assert seen.moments["complete", "Op 10"]["line", 2] == 3.0
    assert (seen.tally.room_bad[0], seen.tally.scrapped.sum(), seen.tally.faults_found[0]) == (2, 0, 1)
    held = seen_of({"part": "marked", "meanwhile": "quarantine"}, 12.0, turns_bad=BAD)
    assert (held.tally.sorted[0], held.tally.scrapped.sum()) == (7, 7)


def test_an_offset_follows_the_answer() -> None:
    """5 µm too deep, given back at the answer of 7.0; what was made before is given back once more at 10.0."""
    gauge = {"corrects": {"cut": "cut"}, "reject": "pass"}
    blade = a_blade(life=1e9, setting={"bias": 5})
    shop = works({}, gauge=gauge)
    shop = shop.model_copy(update={"cutters": {"blade": type(shop.cutters["blade"]).model_validate(blade)}})
    complete = run_shop(shop).values["complete", "Op 10"]
    errors = [complete["line", serial].error_um[0] for serial in (6, 7, 9, 10)]
    assert errors == pytest.approx([-5.0, 0.0, 0.0, 5.0], abs=1e-6)


def test_the_account_of_an_error_follows_the_parts_through_the_room() -> None:
    salvage = {"gauge": {"reject": "salvage", "minutes": 0.5}, "turns_bad": BAD | {"chance": 0.1}}
    for meanwhile in ("quarantine", "sweep back"):
        account = account_of_run(make_plan(works({"meanwhile": meanwhile}, 200.0, **salvage), "as stated"), 0, 0, 1, 0)
        assert len(account.parts) > 50


def test_the_table_says_how_the_room_did() -> None:
    shop = works({"meanwhile": "quarantine"}, 12.0, turns_bad=BAD)
    seen = run_shop(shop)
    [row] = measuring_table(shop, seen.plan, seen.tally).to_dict(orient="records")
    assert (row["answered"], row["bad"], row["sorted"], row["sorted_bad"]) == (2, 2, 5, 5)
    assert (row["min_to_answer"], row["in_quarantine"]) == (4.0, pytest.approx(16.0 / 12.0))
    assert "5 parts" in list(measuring_sentences(shop, seen.plan, seen.tally))[-1]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"measuring_room": None}, "needs a measuring_room"),
        ({"gauge": {"where": "machine"}}, "no gauge of the operation reads there"),
        ({"gauge": {"drift": {"per_hour": 1}}}, "leave drift out"),
        ({"measuring_room": {"by": "inspector"}}, "inspectors"),
        ({"measuring_room": {"meanwhile": "stands", "part": "marked"}}, "leave marked out"),
        ({"first_piece": {"meanwhile": "runs on"}}, "meanwhile: stands was expected"),
    ],
)
def test_what_does_not_go_together_is_refused(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ScenarioError, match=sentence):
        works({}, **change)
