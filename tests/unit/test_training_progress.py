"""Progress under a nickname, on SQLite and on PostgreSQL: what is kept, what is not, and that it goes on request."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import update

from linesim.errors import StoreError
from linesim.report.terminal.lesson_debrief import progress_table
from linesim.report.theme.csv_text import as_csv
from linesim.store import Store, open_store, schema
from linesim.store.progress import (
    KEPT_DAYS,
    Attempt,
    attempts,
    delete_trainee,
    ended_shift,
    keep_shift,
    kept_shift,
    new_shift,
    note_attempt,
    open_shift_of,
    open_shifts,
    trainees,
)
from tests.postgres import Server, postgres_server

DAY = dt.date(2026, 3, 2)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with postgres_server(tmp_path_factory) as running:
        yield running


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    served = request.param == "postgresql"
    place = request.getfixturevalue("server").new_database() if served else str(tmp_path / "runs.sqlite")
    with open_store(place) as opened:
        yield opened


def an_attempt(
    nickname: str = "Till", lesson: str = "01", is_passed: bool = True, share: float | None = 0.9
) -> Attempt:
    return Attempt(nickname, lesson, 1, DAY, is_passed, 900.0, share, 4, 0)


def test_attempts_come_back_as_they_were_noted(store: Store) -> None:
    noted = [an_attempt(), an_attempt("Ada", "02", False, None), an_attempt("Till", "02")]
    for attempt in noted:
        note_attempt(store, attempt)
    assert attempts(store) == noted
    assert attempts(store, " Till ") == [noted[0], noted[2]]
    assert trainees(store) == ["Ada", "Till"]


def test_a_shift_is_kept_step_by_step_and_found_by_its_key_and_its_nickname(store: Store) -> None:
    begun = new_shift(store, "01", {"history": []}, " Till ")
    gone_on = keep_shift(store, begun, {"history": [1]})
    assert kept_shift(store, begun.key) == gone_on
    assert open_shift_of(store, "Till", "01") == gone_on
    assert open_shift_of(store, "Till", "02") is None
    assert kept_shift(store, "another key") is None


def test_two_shifts_of_one_lesson_do_not_mix(store: Store) -> None:
    first, second = (new_shift(store, "01", {"history": []}, "Till") for _ in range(2))
    keep_shift(store, first, {"history": [1]})
    keep_shift(store, second, {"history": [2]})
    assert [shift.kept for shift in open_shifts(store, "Till")] in (
        [{"history": [1]}, {"history": [2]}],
        [{"history": [2]}, {"history": [1]}],
    )
    assert first.key != second.key


def test_who_has_not_seen_the_last_step_overwrites_nothing(store: Store) -> None:
    begun = new_shift(store, "01", {"history": []})
    keep_shift(store, begun, {"history": [1]})
    with pytest.raises(StoreError, match="has gone on elsewhere since"):
        keep_shift(store, begun, {"history": [2]})
    found = kept_shift(store, begun.key)
    assert found is not None
    assert found.kept == {"history": [1]}


def test_a_shift_that_is_over_is_noted_once_and_can_be_looked_at_again(store: Store) -> None:
    begun = new_shift(store, "01", {"history": []}, "Till")
    over = ended_shift(store, begun, {"history": [1]}, an_attempt())
    assert ended_shift(store, over, {"history": [1]}, an_attempt()) == over
    with pytest.raises(StoreError, match="has gone on elsewhere since"):
        ended_shift(store, begun, {"history": [1]}, an_attempt())
    assert len(attempts(store)) == 1
    assert open_shifts(store, "Till") == []
    assert kept_shift(store, begun.key) == over


def test_deleting_a_trainee_leaves_nothing_of_him_and_all_of_the_others(store: Store) -> None:
    kept = {}
    for name in ("Till", "Ada"):
        note_attempt(store, an_attempt(name))
        kept[name] = new_shift(store, "02", {"history": []}, name)
    assert delete_trainee(store, "Till") == 2
    assert trainees(store) == ["Ada"]
    assert kept_shift(store, kept["Till"].key) is None
    assert kept_shift(store, kept["Ada"].key) is not None
    assert delete_trainee(store, "Till") == 0
    with pytest.raises(StoreError, match="or was deleted"):
        keep_shift(store, kept["Till"], {"history": [1]})


def test_shifts_of_nobody_and_shifts_that_are_over_go_after_a_while(store: Store) -> None:
    nobody, open_one = new_shift(store, "01", {}), new_shift(store, "01", {}, "Till")
    over = ended_shift(store, new_shift(store, "01", {}, "Till"), {}, an_attempt())
    long_ago = dt.date.today() - dt.timedelta(days=KEPT_DAYS + 1)  # noqa: DTZ011 - as the store reckons
    with store.writing() as connection:
        connection.execute(update(schema.shifts).values(day=long_ago, row_sum=None))
    new_shift(store, "02", {})
    assert kept_shift(store, nobody.key) is None
    assert kept_shift(store, over.key) is None
    assert kept_shift(store, open_one.key) == replace(open_one, day=long_ago)
    assert len(attempts(store)) == 1


def test_nothing_of_a_person_is_kept_but_the_nickname() -> None:
    columns = {column.name for table in (schema.attempts, schema.shifts) for column in table.columns}
    assert columns == {
        "number", "nickname", "lesson", "shift", "day", "is_passed", "earned", "share_of_best", "decisions",
        "steps_back", "key", "step", "is_over", "kept", "row_sum",
    }  # fmt: skip


@pytest.mark.parametrize("nickname", ["", "   ", "x" * 41, "a\x1b[31m"])
def test_what_cannot_be_a_nickname_is_refused(store: Store, nickname: str) -> None:
    with pytest.raises(StoreError, match="cannot be a nickname"):
        new_shift(store, "01", {}, nickname)


def test_nicknames_in_either_unicode_form_are_one(store: Store) -> None:
    note_attempt(store, an_attempt("Jörg"))
    assert len(attempts(store, "Jo\u0308rg")) == 1


def test_a_formula_for_a_nickname_is_harmless_in_the_export(store: Store) -> None:
    note_attempt(store, an_attempt("=1+1"))
    text = as_csv(progress_table(attempts(store)))
    assert "\n'=1+1,01,1,1,0.9,2026-03-02\n" in text


def test_the_instructors_table_sums_up_by_trainee_and_lesson(store: Store) -> None:
    for passed, share in ((False, 0.5), (True, 0.8), (False, None)):
        note_attempt(store, an_attempt(is_passed=passed, share=share))
    (row,) = progress_table(attempts(store)).to_dict(orient="records")
    assert (row["shifts"], row["passed"], row["best_share"]) == (3, 1, 0.8)
    assert progress_table([]).empty
