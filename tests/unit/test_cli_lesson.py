"""``linesim lesson``: played by a policy, by orders, by hand; kept, gone on with, checked, and told of."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from linesim.cli import app
from tests.training import FILES, LESSONS, a_lesson

FOLDER = ("--folder", str(LESSONS))


@pytest.fixture(autouse=True)
def a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def lesson(*words: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, ["lesson", *words], input=typed)


@pytest.mark.late
def test_all_lessons_are_listed() -> None:
    done = lesson("list", *FOLDER)
    assert done.exit_code == 0
    assert all(path.stem in done.stdout for path in FILES)


def test_lessons_are_listed_as_json(tmp_path: Path) -> None:
    """Of a folder with one of them, as each that is listed is read whole."""
    (tmp_path / "lessons").mkdir()
    shutil.copy(FILES[3], tmp_path / "lessons")
    for scenario in LESSONS.parent.glob("*.yaml"):
        shutil.copy(scenario, tmp_path)
    listed = json.loads(lesson("list", "--folder", str(tmp_path / "lessons"), "--json").stdout)
    assert len(listed) == 1


def test_the_good_policy_passes_and_the_bad_one_does_not() -> None:
    good = lesson("play", "04", "--policy", "good", *FOLDER)
    assert (good.exit_code, "PASSED" in good.stdout) == (0, True)
    bad = lesson("play", "04", "--policy", "bad", *FOLDER)
    assert (bad.exit_code, "NOT PASSED" in bad.stdout) == (1, True)
    assert all(len(line) <= 100 for line in good.stdout.splitlines())


def test_orders_from_a_file_are_played_and_told_as_json(tmp_path: Path) -> None:
    orders = [{"do": "run", "minutes": 60}, {"do": "change", "machine": "Op 20", "set": "seat wheel"}]
    file = tmp_path / "orders.json"
    file.write_text(json.dumps(orders))
    done = lesson("play", "04", "--orders", str(file), "--json", "--shift", "3", *FOLDER)
    told = json.loads(done.stdout)
    assert told["number"] == 3
    assert [entry["words"][:25] for entry in told["weighed"]] == ["Op 20: changed the seat w"]
    assert told["kept"]["history"][:1] == [{"do": "run", "minutes": 60.0}]
    again = tmp_path / "kept.json"
    again.write_text(json.dumps(told["kept"]))
    looked = json.loads(lesson("debrief", "04", "--kept", str(again), "--json", *FOLDER).stdout)
    assert looked["figures"] == told["figures"]


def test_a_person_plays_stops_and_goes_on_where_he_stopped(tmp_path: Path) -> None:
    stopped = lesson("play", "04", *FOLDER, typed="r 100\nc\n1\nq\n")
    assert stopped.exit_code == 0
    assert "Op 20: dress the seat wheel before the next part" in stopped.stdout
    assert "Stopped at minute 100; kept in 04-wheel-not-dressed.shift.json" in stopped.stdout
    kept = json.loads((tmp_path / "04-wheel-not-dressed.shift.json").read_text())
    assert [entry["do"] for entry in kept["history"]] == ["run", "change"]
    ended = lesson("play", "04", *FOLDER, typed="\n" * 12)
    assert "goes on where you stopped, at minute 100" in ended.stdout
    assert "changed the seat wheel when the edge truly stood at" in ended.stdout


def test_another_shift_does_not_take_the_place_of_the_one_that_was_kept() -> None:
    lesson("play", "04", *FOLDER, typed="r 30\nq\n")
    refused = lesson("play", "04", "--shift", "2", *FOLDER, typed="q\n")
    assert refused.exit_code == 2
    assert "shift 1 was kept at minute 30; add --afresh to give it up and begin shift 2" in refused.stderr
    lesson("play", "04", *FOLDER, typed="\n" * 12)
    assert "0 shipped" in lesson("play", "04", "--shift", "2", *FOLDER, typed="q\n").stdout


def test_an_interrupt_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = iter(["r 50", KeyboardInterrupt()])

    def typed(_: str) -> str:
        answer = next(answers)
        if isinstance(answer, BaseException):
            raise answer
        return answer

    monkeypatch.setattr("builtins.input", typed)
    assert "kept in" in lesson("play", "04", *FOLDER).stdout
    assert (tmp_path / "04-wheel-not-dressed.shift.json").exists()


def test_what_is_typed_wrong_is_told_and_nothing_is_lost() -> None:
    done = lesson("play", "04", *FOLDER, typed="r soon\n99\np 5 Op 99\nwhat\nh\nh\nh\nb\nt\ns\nq\n")
    assert done.exit_code == 0
    for told in ('"soon" was typed', "there is no choice 99", 'no machine in your hands called "Op 99"', "Hint:"):
        assert told in done.stdout
    assert "There are no more hints" in done.stdout
    assert "nothing has been decided yet" in done.stdout
    assert "Traceback" not in done.output


def test_progress_is_written_down_told_exported_and_deleted(tmp_path: Path) -> None:
    store = ("--store", f"{tmp_path / 'p.db'}")
    lesson("play", "04", "--policy", "good", "--nickname", "=Till", *store, *FOLDER)
    lesson("play", "04", "--policy", "bad", "--nickname", "=Till", *store, *FOLDER)
    assert "04-wheel-not-dressed" in lesson("progress", *store).stdout
    assert [entry["is_passed"] for entry in json.loads(lesson("progress", *store, "--json").stdout)] == [True, False]
    assert lesson("progress", *store, "--csv", "out").exit_code == 0
    assert "'=Till,04-wheel-not-dressed,2,1," in (tmp_path / "out" / "progress.csv").read_text()
    assert "2 entries deleted" in lesson("progress", *store, "--nickname", "=Till", "--delete").stdout
    assert "No shift has been played" in lesson("progress", *store).stdout
    assert lesson("progress", *store, "--delete").exit_code == 2


def test_a_shift_under_a_nickname_is_kept_in_the_store(tmp_path: Path) -> None:
    mine = ("--nickname", "Ada", "--store", f"{tmp_path / 'p.db'}", *FOLDER)
    assert "kept under the nickname Ada" in lesson("play", "04", *mine, typed="r 30\nq\n").stdout
    assert "at minute 30" in lesson("play", "04", *mine, typed="q\n").stdout
    assert "at minute 30" not in lesson("play", "04", *mine, "--afresh", typed="q\n").stdout


def test_a_lesson_is_checked(tmp_path: Path) -> None:
    done = lesson("check", str(a_lesson(tmp_path, "04")), "--shifts", "2")
    assert done.exit_code == 0
    assert "Sound." in done.stdout
    good = {"about": "x", "orders": []}
    spoilt = lesson("check", str(a_lesson(tmp_path, "04", good=good)), "--shifts", "2")
    assert (spoilt.exit_code, "NOT SOUND" in spoilt.stdout) == (1, True)
    wrong = lesson("check", str(a_lesson(tmp_path, "04", plan="none")))
    assert (wrong.exit_code, "there is no policy" in wrong.stderr) == (2, True)


def test_the_schema_is_printed() -> None:
    told = lesson("schema").stdout
    assert json.loads(told)["title"] == "linesim lesson"
    assert '"gt"' not in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("play", "xyz", *FOLDER), "there is no one lesson"),
        (("play", "04", "--policy", "x", *FOLDER), 'there is no policy "x"; there are "run until it breaks"'),
        (("play", "04", "--shift", "0", "--policy", "bad", *FOLDER), "there is no shift 0"),
        (("play", "04", "--orders", "none.json", *FOLDER), "none.json: No such file or directory"),
        (("list", "--folder", "nowhere"), "there are no lessons"),
    ],
)
def test_what_cannot_be_is_told_without_a_traceback(words: tuple[str, ...], told: str) -> None:
    done = lesson(*words)
    assert done.exit_code == 2
    assert told in done.stderr


@pytest.mark.parametrize("content", ["{", "[1]", '{"history": 3}', '"x"'])
def test_orders_that_are_none_are_refused(tmp_path: Path, content: str) -> None:
    file = tmp_path / "orders.json"
    file.write_text(content)
    done = lesson("play", "04", "--orders", str(file), *FOLDER)
    assert done.exit_code == 2
    assert "expected" in done.stderr or "not JSON" in done.stderr
