"""Stores that have suffered in fifty ways: told in words, left as they are, and saved as far as they can be read."""

from __future__ import annotations

import datetime as dt
import json
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event
from typer.testing import CliRunner, Result

from linesim.cli import app
from linesim.store import open_copy, open_store, schema
from linesim.store.checking import KINDS
from linesim.store.progress import Attempt, keep_shift, new_shift, note_attempt
from linesim.store.rescuing import rescue
from linesim.store.store import Store
from tests.rounds import some_each_time
from tests.unit.test_store import WORKS, a_run

SEED = 20260105
"""Fixed before any result was seen."""
PAGE = 4096

Damage = Callable[[Path, random.Random], None]


def a_full_store(path: Path) -> None:
    """Some of everything that a store holds, large enough for pages of every kind."""
    with open_store(path) as store:
        for number in range(3):
            study = store.begin("compare", WORKS, {"seed": number, "policies": ["Ä", "b"]}, "0.1.0-abc", f"n{number}")
            runs = [a_run(100 * number + each, json.dumps({"figures": [each] * 300})) for each in range(60)]
            store.keep(runs, study.number)
            store.end(study.number, "finished", {"sentences": ["One is best."]})
        day = dt.date(2026, 1, 5)
        for number in range(4):
            note_attempt(store, Attempt("Till", "01", number, day, True, 12.5, None, 3, 0))
            keep_shift(store, new_shift(store, "01", {"done": []}, "Till"), {"done": [number]})


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("whole") / "runs.sqlite"
    a_full_store(path)
    return path


def call(*words: object) -> Result:
    return CliRunner().invoke(app, ["runs", *map(str, words)])


def written(path: Path, position: int, content: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(position)
        file.write(content)


def flipped(path: Path, chance: random.Random) -> None:
    """One bit somewhere past the head."""
    position = chance.randrange(100, path.stat().st_size)
    written(path, position, bytes([path.read_bytes()[position] ^ 1 << chance.randrange(8)]))


def scrawled(path: Path, chance: random.Random) -> None:
    """A sector full of something else."""
    written(path, chance.randrange(PAGE, path.stat().st_size) // 512 * 512, chance.randbytes(512))


def zeroed(path: Path, chance: random.Random) -> None:
    """A page that was never written."""
    written(path, chance.randrange(1, path.stat().st_size // PAGE) * PAGE, bytes(PAGE))


def swapped(path: Path, chance: random.Random) -> None:
    """Two pages, each where the other belongs."""
    one, other = chance.sample(range(1, path.stat().st_size // PAGE), 2)
    content = path.read_bytes()
    written(path, one * PAGE, content[other * PAGE : (other + 1) * PAGE])
    written(path, other * PAGE, content[one * PAGE : (one + 1) * PAGE])


def cut_off(path: Path, chance: random.Random) -> None:
    path.write_bytes(path.read_bytes()[: chance.randrange(200, path.stat().st_size - 1)])


def changed_by(statement: str) -> Damage:
    def change(path: Path, _: random.Random) -> None:
        with sqlite3.connect(path) as connection:
            connection.execute(statement)
        connection.close()

    return change


def cut_by(count: int) -> Damage:
    return lambda path, _: path.write_bytes(path.read_bytes()[:-count])


NAMED: dict[str, Damage] = {
    "short by one byte": cut_by(1),
    "short by one page": cut_by(PAGE),
    "one byte more": lambda path, _: path.write_bytes(path.read_bytes() + b"\0"),
    "emptied": lambda path, _: path.write_bytes(b""),
    "all zero": lambda path, _: path.write_bytes(bytes(path.stat().st_size)),
    "only its head": lambda path, _: path.write_bytes(path.read_bytes()[:100]),
    "head of another kind": lambda path, _: written(path, 0, b"PK\3\4"),
    "page size of 3": lambda path, _: written(path, 16, b"\0\3"),
    "schema scrawled over": lambda path, chance: written(path, 100, chance.randbytes(400)),
    "settings that are no JSON": changed_by("UPDATE linesim_studies SET settings = '{\"seed\": ' WHERE number = 2"),
    "settings that are a list": changed_by("UPDATE linesim_studies SET settings = '[]', row_sum = NULL"),
    "an answer that is no JSON": changed_by("UPDATE linesim_studies SET answer = 'x', row_sum = NULL WHERE number = 1"),
    "a study that is called otherwise": changed_by("UPDATE linesim_studies SET name = 'other' WHERE number = 1"),
    "a study that ended otherwise": changed_by("UPDATE linesim_studies SET status = 'stopped' WHERE number = 3"),
    "an outcome with another digit": changed_by("UPDATE linesim_runs SET outcome = replace(outcome, '7', '8')"),
    "an outcome that is no text": changed_by(
        "UPDATE linesim_runs SET outcome = CAST(x'ff00fe' AS TEXT) WHERE seed > 0"
    ),
    "an outcome that is a number": changed_by("UPDATE linesim_runs SET outcome = x'00' WHERE replication = 5"),
    "a seed with another digit": changed_by("UPDATE linesim_runs SET seed = seed - 1 WHERE replication = 5"),
    "a run of another scenario": changed_by("UPDATE linesim_runs SET works = 'x' WHERE replication = 7"),
    "a scenario that says something else": changed_by("UPDATE linesim_works SET text = 'name: Other'"),
    "a scenario that is gone": changed_by("DELETE FROM linesim_works"),
    "a policy that is called otherwise": changed_by("UPDATE linesim_study_runs SET policy = 'z' WHERE study = 1"),
    "a day that is none": changed_by("UPDATE linesim_training_attempts SET day = 'yesterday' WHERE number = 2"),
    "a truth that is none": changed_by("UPDATE linesim_training_attempts SET is_passed = 7 WHERE number = 2"),
    "a shift that is no JSON": changed_by("UPDATE linesim_training_shifts SET kept = '{', row_sum = NULL"),
    "no mark of a store": changed_by("DROP TABLE linesim_store"),
}
AT_RANDOM = {
    f"{how.__name__} {number}": how for how in (flipped, scrawled, zeroed, swapped, cut_off) for number in range(5)
}
WAYS = NAMED | AT_RANDOM


def rows_of(path: Path) -> dict[str, set[tuple[object, ...]]]:
    """Everything that a whole store says, but for numbers, which may be given anew."""
    said = {}
    with open_store(path) as store, store.reading() as connection:
        for name in KINDS:
            table = schema.METADATA.tables[name]
            columns = [column for column in table.c if column.name not in {"number", "study", "row_sum"}]
            said[name] = {tuple(row) for row in connection.execute(table.select().with_only_columns(*columns))}
    return said


def test_there_are_fifty_ways() -> None:
    assert len(WAYS) >= 50


@pytest.mark.parametrize("way", some_each_time(WAYS, *NAMED))
def test_a_damaged_store_is_told_left_alone_and_saved_as_far_as_it_can_be(
    whole: Path, tmp_path: Path, way: str
) -> None:
    path = Path(shutil.copy(whole, tmp_path / "runs.sqlite"))
    WAYS[way](path, random.Random(f"{SEED} {way}"))
    before = path.read_bytes()
    assert before != whole.read_bytes()
    listed = call("list", "--store", path)
    checked = call("check", "--store", path)
    saved = call("rescue", tmp_path / "new.sqlite", "--store", path)
    for told in (listed, checked, saved):
        assert told.exception is None or isinstance(told.exception, SystemExit), told.exception
        assert told.exit_code in {0, 1, 2}
    # Unused bytes of a page may have been hit: then nothing is lost, and nothing has to be told.
    is_harmless = checked.exit_code == 0 and (way in AT_RANDOM or way == "one byte more")
    if not is_harmless:
        assert checked.exit_code in {1, 2}
        # An index that does not fit is looked for by check alone: all that it leads to is there.
        assert listed.exit_code == 2 or "missing from index" in checked.output, checked.output
        assert path.read_bytes() == before
    if saved.exit_code == 0:
        original, rescued = rows_of(whole), rows_of(tmp_path / "new.sqlite")
        for name, rows in rescued.items():
            strangers = {row for row in rows - original[name] if "(lost)" not in row}
            assert not strangers, name
        if is_harmless:
            assert rescued == original


@pytest.mark.parametrize("way", ["an outcome with another digit", "settings that are no JSON", "short by one page"])
def test_most_is_saved_of_a_store_that_is_damaged_in_one_spot(whole: Path, tmp_path: Path, way: str) -> None:
    path = Path(shutil.copy(whole, tmp_path / "runs.sqlite"))
    WAYS[way](path, random.Random(SEED))
    told = call("rescue", tmp_path / "new.sqlite", "--store", path)
    assert told.exit_code == 0, told.output
    original, rescued = rows_of(whole), rows_of(tmp_path / "new.sqlite")
    counts = {KINDS[name]: (len(rescued[name]), len(original[name])) for name in KINDS}
    for kind, (n_saved, _) in counts.items():
        assert f"{n_saved} {kind} saved" in told.stdout or kind == "scenarios"
    assert counts["scenarios"] == (1, 1)
    assert counts["runs"][0] >= 0.3 * counts["runs"][1]
    assert counts["shifts in trainees' hands"] == (4, 4)


def test_numbers_of_rows_that_no_file_holds_are_not_asked_for_one_by_one(whole: Path, tmp_path: Path) -> None:
    """A row number out of all reason, and a page that cannot be read: most is saved, in few looks.

    180 runs stand there; a page holds few of them, and the one with the odd number is lost.
    """
    path = Path(shutil.copy(whole, tmp_path / "runs.sqlite"))
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE linesim_runs SET rowid = 1000000000000 WHERE rowid = 180")
    for page in reversed(range(2, path.stat().st_size // PAGE)):
        torn = Path(shutil.copy(path, tmp_path / "torn.sqlite"))
        written(torn, page * PAGE, bytes(PAGE))
        if not reads(torn):
            break
    looks: list[str] = []
    with open_copy(torn) as source, open_store(tmp_path / "new.sqlite") as new:
        event.listen(source.engine, "before_cursor_execute", lambda *given: looks.append(given[2]))
        rescued = rescue(source, new)
    assert 100 < rescued.saved["runs"] < 180
    assert rescued.lost["runs"] > 0
    assert len(looks) < 25_000


def reads(path: Path) -> bool:
    """Whether the runs of a store can be read from end to end, and the rest as well."""
    with closing(sqlite3.connect(path)) as connection:
        try:
            return bool(connection.execute("SELECT * FROM linesim_runs").fetchall())
        except sqlite3.DatabaseError:
            return False


def test_a_scenario_that_was_lost_is_filled_in_when_the_study_is_started_again(whole: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(whole, tmp_path / "runs.sqlite"))
    WAYS["a scenario that says something else"](path, random.Random(SEED))
    assert call("rescue", tmp_path / "new.sqlite", "--store", path).exit_code == 0
    with open_store(tmp_path / "new.sqlite") as store:
        assert store.works(WORKS.digest) is None
        assert store.count_runs() == 180
        assert list(store.problems()) == []
        store.begin("compare", WORKS, {"seed": 0}, "0.1.0-abc")
        assert store.works(WORKS.digest) == WORKS


def test_a_whole_store_is_said_to_be_whole(whole: Path) -> None:
    told = call("check", "--store", whole)
    assert told.exit_code == 0
    assert "is whole: every row says what was written" in told.stdout
    assert json.loads(call("check", "--store", whole, "--json").stdout)["problems"] == []


def test_a_rescue_overwrites_nothing(whole: Path, tmp_path: Path) -> None:
    other = Path(shutil.copy(whole, tmp_path / "other.sqlite"))
    told = call("rescue", other, "--store", whole)
    assert told.exit_code == 2
    assert "is there already; name a file that is not" in told.stderr
    assert other.read_bytes() == whole.read_bytes()


def test_an_empty_file_is_no_new_store(tmp_path: Path) -> None:
    path = tmp_path / "runs.sqlite"
    path.touch()
    told = call("list", "--store", path)
    assert told.exit_code == 2
    assert "is empty, which a store never is" in told.stderr
    assert path.read_bytes() == b""


def test_a_store_that_cannot_be_written_to_is_listed_and_nothing_more(
    whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = Path(shutil.copy(whole, tmp_path / "runs.sqlite"))
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
    monkeypatch.setattr("linesim.store.opening.can_be_written", lambda _: False)
    listed = call("list", "--store", path)
    assert listed.exit_code == 0, listed.output
    assert "180 runs in all" in listed.stdout
    assert call("export", "1", tmp_path / "out.csv", "--store", path).exit_code == 2  # an outcome of no real run
    named = call("name", "1", "spring", "--store", path)
    assert named.exit_code == 2
    assert "cannot be written to, and a store must be" in named.stderr
    (tmp_path / "out.csv").unlink(missing_ok=True)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before


def test_an_older_store_gets_sums_for_what_is_kept_from_then_on(tmp_path: Path) -> None:
    path = tmp_path / "runs.sqlite"
    a_full_store(path)
    with sqlite3.connect(path) as connection:
        for name in KINDS:
            if "desk" in name or "approv" in name:  # which came with steps after the sums
                connection.execute(f"DROP TABLE {name}")
            else:
                connection.execute(f"ALTER TABLE {name} DROP COLUMN row_sum")
        connection.execute("DELETE FROM linesim_store WHERE schema_version >= 3")
    connection.close()
    with open_store(path) as store:
        assert n_summed(store) == 0
        assert [study.name for study in store.studies()] == ["n2", "n1", "n0"]
        store.rename(1, "spring")
        store.keep([a_run(5000)])
        assert n_summed(store) == 2
        assert list(store.problems()) == []


def n_summed(store: Store) -> int:
    with store.reading() as connection:
        counted = [connection.exec_driver_sql(f"SELECT count(row_sum) FROM {name}").scalar_one() for name in KINDS]
    return sum(counted)
