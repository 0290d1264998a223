"""The command line: exit codes, what goes to which stream, and that it answers quickly."""

from __future__ import annotations

import contextlib
import json
import os
import resource
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from linesim import __version__
from linesim.cli import app
from linesim.cli.progress import Bar
from linesim.works import changed, to_yaml
from tests.builders import a_works

COMMAND = [sys.executable, "-m", "linesim"]
HEAVY = (
    "numba",
    "numpy",
    "pandas",
    "pint",
    "plotly",
    "pydantic",
    "rich",
    "scipy",
    "simpy",
    "sqlalchemy",
    "streamlit",
    "yaml",
)


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """The small block line as a file, run for two shifts."""
    path = tmp_path / "block.yaml"
    blades = {"rough blade": {"sets": 12, "lead_time": "1 h", "change": 5}}
    short = {"length": "2 shifts", "warm_up": "1 shift", "replications": 2}
    path.write_text(to_yaml(changed(a_works(), {"run": short, "cutters": blades})), encoding="utf-8")
    return path


@pytest.fixture
def stuck(tmp_path: Path) -> Path:
    """A line to which no casting comes."""
    path = tmp_path / "stuck.yaml"
    late = {"block": {"casting": {"limit": 1, "arrivals": {"between": "1 week"}}}}
    works = changed(a_works(), {"run": {"length": "1 shift", "warm_up": 0}, "lines": late})
    path.write_text(to_yaml(works), encoding="utf-8")
    return path


def call(*arguments: Any) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def process(*arguments: Any, **options: Any) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, as a shell would start it."""
    command = [*COMMAND, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=300, check=False, **options)


# help and version


def test_help_comes_within_a_second_and_without_the_heavy_libraries() -> None:
    process("--help")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    shown = process("--help")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    # Processor time, which does not depend on what else the machine is doing.
    took_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    assert shown.returncode == 0
    assert "compare" in shown.stdout
    assert took_s < 1.0
    probe = f"import sys\nfrom linesim.cli import app\nprint([name for name in {HEAVY!r} if name in sys.modules])\n"
    loaded = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "[]"


def test_the_version_is_told() -> None:
    assert call("--version").stdout == f"linesim {__version__}\n"


def test_each_command_has_help_for_each_option() -> None:
    for command in ("run", "compare", "check", "schema"):
        shown = call(command, "--help")
        assert shown.exit_code == 0, command
        assert "Usage" in shown.stdout, command


# run


def test_run_prints_the_headline_the_machines_the_ledger_and_the_changes(scenario: Path) -> None:
    shown = call("run", scenario, "--policy", "run out", "--seed", 3, "--replication", 1)
    assert shown.exit_code == 0, shown.stderr
    for piece in ('Policy "run out", seed 3, replication 1', "good/h", "Machines: share of time", "Ledger",
                  "all together", "Cutter changes"):  # fmt: skip
        assert piece in shown.stdout
    assert max(map(len, shown.stdout.splitlines())) <= 100


def test_run_json_is_one_document_and_nothing_else(scenario: Path) -> None:
    shown = call("run", scenario, "--json")
    content = json.loads(shown.stdout)
    assert content["summary"]["policy"] == "by parts"
    assert content["lines"][0]["line"] == "block"
    assert "trace" not in content
    assert json.loads(call("run", scenario, "--json").stdout)["summary"] == content["summary"]


def test_run_json_carries_the_trace_if_asked(scenario: Path) -> None:
    content = json.loads(call("run", scenario, "--json", "--trace", "-").stdout)
    assert content["trace"]["parts"][0]["operation"] == "Op 10"


def test_run_writes_its_tables_into_a_folder(scenario: Path, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    shown = call("run", scenario, "--csv", folder, "--trace", "-")
    assert shown.exit_code == 0, shown.stderr
    names = {path.name for path in folder.iterdir()}
    assert {"lines.csv", "ledger.csv", "machines.csv", "parts.csv", "linesim.json"} <= names
    assert (folder / "lines.csv").read_text(encoding="utf-8").startswith("line,castings,shipped")
    note = json.loads((folder / "linesim.json").read_text(encoding="utf-8"))
    assert note["provenance"]["policy"] == "by parts"
    assert note["provenance"]["linesim"] == __version__
    assert call("run", scenario, "--csv", folder, "--trace", "-").exit_code == 0


def test_run_leaves_foreign_files_alone_before_it_runs(scenario: Path, tmp_path: Path) -> None:
    (tmp_path / "lines.csv").write_text("mine", encoding="utf-8")
    shown = call("run", scenario, "--csv", tmp_path)
    assert shown.exit_code == 2
    assert "were not written by linesim" in shown.stderr
    assert (tmp_path / "lines.csv").read_text(encoding="utf-8") == "mine"
    assert call("run", scenario, "--csv", tmp_path, "--force").exit_code == 0


def test_a_dash_prints_the_first_table_alone(scenario: Path) -> None:
    lines = call("run", scenario, "--csv", "-").stdout.splitlines()
    assert lines[0].startswith("line,castings")
    assert len(lines) == 2


def test_a_run_that_finds_a_problem_ends_with_one(stuck: Path) -> None:
    shown = call("run", stuck)
    assert shown.exit_code == 1
    assert "PROBLEM: " in shown.stdout
    assert json.loads(call("run", stuck, "--json").stdout)["summary"]["findings"][0]["is_problem"]


# compare


def test_compare_answers_and_writes_the_page_and_the_tables(scenario: Path, tmp_path: Path) -> None:
    page, folder = tmp_path / "page.html", tmp_path / "tables"
    options = ["--workers", 1, "--html", page, "--csv", folder, "--seed", 9, "--replications", 3]
    shown = call("compare", scenario, *options)
    assert shown.exit_code == 0, shown.stderr
    assert "with 95 % confidence" in " ".join(shown.stdout.split())
    assert "Seed 9, replications 0 to 2" in shown.stdout
    assert max(map(len, shown.stdout.splitlines())) <= 100
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert (folder / "policies.csv").read_text(encoding="utf-8").startswith("policy,line,measure,mean,half_width")


def test_compare_json_tells_verdict_and_provenance(scenario: Path) -> None:
    shown = call("compare", scenario, "--policy", "run out", "--policy", "by parts", "--confidence", 0.9, "--json")
    content = json.loads(shown.stdout)
    assert content["provenance"]["policies"] == ["run out", "by parts"]
    assert content["provenance"]["confidence"] == 0.9
    assert content["best"]["policy"] in ("run out", "by parts")
    assert {row["n"] for row in content["policies"]} == {2}


def test_compare_takes_rules_of_ones_own(scenario: Path, tmp_path: Path) -> None:
    rules = tmp_path / "rules.py"
    rules.write_text(
        "from linesim import change_rule\n"
        "@change_rule('every tenth')\n"
        "def tenth(edge, now_min):\n    return edge.parts >= 10\n",
        encoding="utf-8",
    )
    own = {"own": {"name": "every tenth"}}
    text = scenario.read_text(encoding="utf-8")
    scenario.write_text(text + f"  mine:\n    default: {json.dumps(own)}\n", encoding="utf-8")
    shown = call("run", scenario, "--policy", "mine", "--rules", rules)
    assert shown.exit_code == 0, shown.stderr
    missing = call("run", scenario, "--policy", "mine", "--rules", tmp_path / "none.py")
    assert missing.exit_code == 2
    assert "there is no such file; a Python file with rules was expected" in missing.stderr


# check and schema


def test_check_prints_desk_figures(scenario: Path) -> None:
    shown = call("check", scenario, "--policy", "by parts")
    assert shown.exit_code == 0, shown.stderr
    assert "Cuts: speeds and times" in shown.stdout
    assert "holds the line back" in shown.stdout
    assert 'sets are changed by policy "by parts"' in " ".join(shown.stdout.split())
    assert max(map(len, shown.stdout.splitlines())) <= 100


def test_check_gives_json_and_tables(scenario: Path, tmp_path: Path) -> None:
    assert json.loads(call("check", scenario, "--json").stdout)["operations"][0]["operation"] == "Op 10"
    assert call("check", scenario, "--csv", tmp_path / "desk").exit_code == 0
    assert (tmp_path / "desk" / "cuts.csv").exists()


def test_schema_prints_a_json_schema() -> None:
    content = json.loads(call("schema").stdout)
    assert content["title"] == "linesim scenario"


# what is wrong


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["run", "FILE", "--policy", "weekly"], 'there is no policy "weekly"'),
        (["run", "FILE", "--seed", "-1"], "a seed of -1 cannot be"),
        (["run", "FILE", "--trace", "-"], "--trace - needs somewhere to go"),
        (["run", "FILE", "--json", "--csv", "-"], "both want the standard output"),
        (["compare", "FILE", "--replications", "0"], "0 replications were asked for"),
        (["compare", "FILE", "--confidence", "95"], "a confidence of 95 cannot be"),
        (["compare", "FILE", "--workers", "0"], "0 workers were asked for"),
        (["compare", "FILE", "--html", "."], "this is a folder"),
        (["check", "FILE", "--policy", "weekly"], 'there is no policy "weekly"'),
        (["check", "FILE", "--csv", "FILE"], "this is a file; a folder for the tables was expected"),
    ],
)
def test_wrong_input_ends_with_two_and_one_text(scenario: Path, arguments: list[str], words: str) -> None:
    shown = call(*[str(scenario) if part == "FILE" else part for part in arguments])
    assert shown.exit_code == 2
    assert words in shown.stderr
    assert "Traceback" not in shown.output


@pytest.mark.parametrize("option", ["--replication", "--seed"])
def test_numbers_that_are_none_are_refused(scenario: Path, option: str) -> None:
    shown = call("run", scenario, option, "many")
    assert shown.exit_code == 2
    assert option in shown.stderr


def test_every_problem_of_a_scenario_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("linesim: 1\nname: x\nrun: {length: 3 kg}\nlines: {}\npolicies: {}\n", encoding="utf-8")
    shown = process("check", path)
    assert shown.returncode == 2
    assert "bad.yaml, line 3" in shown.stderr
    assert "3 kg" in shown.stderr
    assert len(shown.stderr.splitlines()) >= 3
    assert "Traceback" not in shown.stderr
    assert shown.stdout == ""


def test_files_that_cannot_be_read_are_named(tmp_path: Path) -> None:
    (tmp_path / "bytes.yaml").write_bytes(b"\x00\xff\xfe")
    (tmp_path / "empty.yaml").write_text("", encoding="utf-8")
    for name in ("none.yaml", "", "bytes.yaml", "empty.yaml"):
        shown = call("run", tmp_path / name)
        assert shown.exit_code == 2, name
        assert shown.stderr.strip(), name
        assert "Traceback" not in shown.output, name


def test_a_folder_that_cannot_be_made_is_named(scenario: Path) -> None:
    shown = call("check", scenario, "--csv", scenario / "inside")
    assert shown.exit_code == 2
    assert "Traceback" not in shown.output


@pytest.mark.late
def test_names_reach_a_terminal_that_knows_no_greek(scenario: Path) -> None:
    environment = os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C"}
    shown = process("check", scenario, env=environment)
    assert shown.returncode == 0, shown.stderr
    assert "Traceback" not in shown.stderr


@pytest.mark.late
def test_a_reader_that_has_seen_enough_is_no_error(scenario: Path) -> None:
    command = f'"{sys.executable}" -m linesim schema | head -n 1'
    shown = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, check=False)
    assert shown.stdout == "{\n"
    assert "Traceback" not in shown.stderr


def wait_for_a_run_in(store: Path) -> None:
    """Wait until a study has kept its first run; how long that takes depends on the load of the machine."""
    until_s = time.monotonic() + 120.0
    while time.monotonic() < until_s:
        if not store.exists():  # opening it would make an empty file, which is no store
            time.sleep(0.2)
            continue
        with contextlib.suppress(sqlite3.Error), contextlib.closing(sqlite3.connect(store)) as opened:
            if opened.execute("SELECT count(*) FROM linesim_runs").fetchone()[0]:
                return
        time.sleep(0.2)
    raise AssertionError("no run was kept within two minutes")


@pytest.mark.late
@pytest.mark.parametrize("workers", [pytest.param(1, marks=pytest.mark.longer), 2])
def test_an_interrupt_ends_a_comparison_with_130_and_no_traceback(scenario: Path, workers: int, tmp_path: Path) -> None:
    store = tmp_path / "interrupted.sqlite"
    asked = ["compare", str(scenario), "--replications", "100000", "--workers", str(workers), "--store", str(store)]
    command = [*COMMAND, *asked]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                          start_new_session=True) as running:  # fmt: skip
        wait_for_a_run_in(store)
        os.killpg(running.pid, signal.SIGINT)
        out, errors = running.communicate(timeout=60)
    assert running.returncode == 130
    assert "Stopped; the runs that had ended are kept in" in errors
    assert "Traceback" not in errors
    assert out == ""


# the bar


class Terminal:
    """Says that it is a terminal, and keeps what is written."""

    def __init__(self) -> None:
        self.texts: list[str] = []
        self.encoding = "utf-8"

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.texts.append(text)
        return len(text)

    def flush(self) -> None:
        pass


def test_the_bar_shows_after_a_second_and_only_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with Bar("running") as bar:
        bar(1, 4)
        assert terminal.texts == []
        monkeypatch.setattr(bar, "_began_s", bar._began_s - 2.0)
        bar(2, 4)
    assert "2/4" in "".join(terminal.texts)


@pytest.mark.late
def test_no_bar_goes_into_a_pipe_or_beside_json(scenario: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Bar("running", is_wanted=False) as bar:
        monkeypatch.setattr(bar, "_began_s", bar._began_s - 2.0)
        bar(2, 4)
        assert bar._bar is None
    assert "━" not in process("run", scenario).stderr
