"""``linesim runs``: what has been kept is listed, shown, exported, named, pruned and written back."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from typer.testing import CliRunner, Result

from linesim.ask import compare
from linesim.cli import app
from linesim.store import open_store
from linesim.study.comparing.past import policy_runs, run_table, works_of
from linesim.study.crew.crew import Crew
from linesim.study.crew.recording import recorded
from linesim.works import Works, changed, digest, load_works, to_yaml, works_from_text

SMALLEST = Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"


@pytest.fixture(scope="module")
def works() -> Works:
    small = changed(load_works(SMALLEST), {"run": {"length": "1 shift", "warm_up": "0 min", "replications": 3}})
    first = next(iter(small.policies))
    trick = {"=HYPERLINK(1)": small.policies[first]}
    return small.model_copy(update={"policies": trick | dict(list(small.policies.items())[:1])})


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory, works: Works) -> Path:
    """A store with one finished study, and one that failed; two of its policies say the same."""
    at = tmp_path_factory.mktemp("filled") / "runs.sqlite"
    with open_store(at) as store:
        with recorded(Crew(1, store), "compare", works, {"seed": 1}, "spring") as record:
            found = compare(works, replications=3, seed=1, crew=record.crew)
            record.answer = {"sentences": list(found.sentences)}
        with pytest.raises(ZeroDivisionError):
            fail(Crew(1, store), works)
    return at


@pytest.fixture
def place(filled: Path, tmp_path: Path) -> Path:
    """A copy of it, to do with as a test likes."""
    return Path(shutil.copy(filled, tmp_path))


def fail(crew: Crew, works: Works) -> None:
    with recorded(crew, "compare", works, {"seed": 2}) as record:
        compare(works, replications=2, seed=2, crew=record.crew)
        raise ZeroDivisionError


def call(*words: object) -> Result:
    return CliRunner().invoke(app, ["runs", *map(str, words)])


def test_studies_are_listed_in_100_columns(place: Path) -> None:
    told = call("list", "--store", place)
    assert told.exit_code == 0, told.output
    assert max(map(len, told.stdout.splitlines())) <= 100
    assert [word in told.stdout for word in ("spring", "finished", "failed", "5 runs in all")] == [True] * 4
    listed = json.loads(call("list", "--store", place, "--json").stdout)
    assert [(study["number"], study["status"], study["runs"]) for study in listed["studies"]] == [
        (2, "failed", 4),
        (1, "finished", 6),
    ]


def test_a_study_is_shown_with_its_answer_and_intervals(place: Path, works: Works) -> None:
    told = call("show", "spring", "--store", place)
    assert told.exit_code == 0, told.output
    assert max(map(len, told.stdout.splitlines())) <= 100
    assert "±" in told.stdout
    shown = json.loads(call("show", "1", "--store", place, "--json").stdout)
    assert shown["answer"]["sentences"] == list(compare(works, replications=3, seed=1, workers=1).sentences)
    assert {row["n"] for row in shown["policies"]} == {3}


def test_the_runs_of_a_study_are_those_of_the_comparison(place: Path, works: Works) -> None:
    fresh = compare(works, replications=3, seed=1, workers=1).replications
    with open_store(place) as store:
        study = store.study("spring")
        kept = run_table(store, study)
        assert digest(works_of(store, study)) == digest(works.model_copy())
    order = ["policy", "replication", "line"]
    fresh, kept = (table.sort_values(order).reset_index(drop=True) for table in (fresh, kept))
    for name in (*order, "good_per_hour", "cost_per_good_part", "planned_per_100", "shipped"):
        assert kept[name].tolist() == fresh[name].tolist(), name


@pytest.mark.parametrize("ending", ["csv", "json", "xlsx"])
def test_an_export_holds_every_run_and_no_formula(place: Path, tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"out.{ending}"
    told = call("export", "spring", file, "--store", place)
    assert told.exit_code == 0, told.output
    if ending == "json":
        rows = json.loads(file.read_text(encoding="utf-8"))["runs"]
        names = {row["policy"] for row in rows}
        assert "=HYPERLINK(1)" in names
    else:
        table = pd.read_csv(file) if ending == "csv" else pd.read_excel(file, sheet_name="runs", engine="openpyxl")
        rows = table.to_dict("records")
        assert "'=HYPERLINK(1)" in set(table["policy"])
    if ending == "xlsx":
        cells = [cell for row in openpyxl.load_workbook(file)["runs"].iter_rows() for cell in row]
        assert not any(cell.data_type == "f" for cell in cells)
    assert len(rows) == 2 * 6
    assert call("export", "spring", file, "--store", place).exit_code == 2
    assert call("export", "all", file, "--store", place, "--force").exit_code == 0


def test_an_export_of_another_ending_is_refused_before_the_store_is_opened(tmp_path: Path) -> None:
    told = call("export", "all", tmp_path / "out.txt", "--store", tmp_path / "runs.sqlite")
    assert told.exit_code == 2
    assert "was expected to end in .csv, .json or .xlsx" in told.stderr
    assert not (tmp_path / "runs.sqlite").exists()


def test_a_study_is_named(place: Path) -> None:
    assert call("name", "2", "autumn", "--store", place).exit_code == 0
    with open_store(place) as store:
        assert store.study("autumn").number == 2
    told = call("name", "winter", "x", "--store", place)
    assert told.exit_code == 2
    assert 'there is no study "winter"' in told.stderr


def test_pruning_tells_first_and_takes_only_when_told(place: Path) -> None:
    told = call("prune", "--study", "2", "--store", place)
    assert told.exit_code == 0, told.output
    assert told.stdout.startswith("1 study, 2 runs that no study needs and no scenario would go")
    with open_store(place) as store:
        assert store.count_runs() == 5
    assert "have gone" in call("prune", "--study", "2", "--store", place, "--yes").stdout
    with open_store(place) as store:
        assert store.count_runs() == 3
        assert [study.name for study in store.studies()] == ["spring"]


def test_a_scenario_is_written_back_and_reads_the_same(place: Path, tmp_path: Path, works: Works) -> None:
    file = tmp_path / "again.yaml"
    assert call("works", "spring", file, "--store", place).exit_code == 0
    assert digest(load_works(file)) == digest(works)
    assert digest(works_from_text(call("works", "spring", "-", "--store", place).stdout)) == digest(works)
    assert call("works", "spring", file, "--store", place).exit_code == 2


def test_means_come_with_their_intervals(place: Path) -> None:
    with open_store(place) as store:
        means = policy_runs(run_table(store, store.study("spring")), 0.9)
    assert set(means["confidence"]) == {0.9}
    assert means["half_width"].notna().all()


def test_an_empty_store_says_so(tmp_path: Path) -> None:
    told = call("list", "--store", tmp_path / "runs.sqlite")
    assert "holds no study yet" in " ".join(told.stdout.split())


def test_a_comparison_of_the_command_line_goes_on_from_the_store(tmp_path: Path, works: Works) -> None:
    (tmp_path / "small.yaml").write_text(to_yaml(works), encoding="utf-8")
    command = [
        "compare",
        str(tmp_path / "small.yaml"),
        "--replications",
        "2",
        "--store",
        str(tmp_path / "runs.sqlite"),
        "--json",
    ]
    first = CliRunner().invoke(app, command)
    assert first.exit_code in {0, 1}, first.output
    with open_store(tmp_path / "runs.sqlite") as store:
        before = [run.kept_at for run in store.runs_of()]
    second = CliRunner().invoke(app, command)
    assert json.loads(second.stdout) == json.loads(first.stdout)
    with open_store(tmp_path / "runs.sqlite") as store:
        assert [run.kept_at for run in store.runs_of()] == before
        assert len(store.studies()) == 1
    without = CliRunner().invoke(app, [*command[:-3], "--store", "none", "--json"])
    assert json.loads(without.stdout)["sentences"] == json.loads(first.stdout)["sentences"]
