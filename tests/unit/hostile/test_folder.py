"""A folder received from somebody: a file in it that is named like a module is never run."""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import sys
import time
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path
from unittest.mock import MagicMock
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from linesim import begin
from tests.postgres import free_port

pytestmark = pytest.mark.late

ROOT = Path(__file__).resolve().parents[3]
SMALLEST = ROOT / "scenarios" / "smallest.yaml"
_TRAP = """
import os, pathlib
with open({canary!r}, "a") as canary:
    canary.write(__file__ + " was run\\n")
raise SystemExit("a module of the current folder was imported")
"""


def names_of_modules() -> set[str]:
    """Of the standard library, of every package that is installed, of linesim itself and of its dashboard."""
    names = set(sys.stdlib_module_names) | set(packages_distributions()) | {"linesim", "dashboard", "tests"}
    return {name for name in names if name.isidentifier()}


@pytest.fixture
def canary(tmp_path: Path) -> Path:
    """Written to by whatever is run from the folder that it lies beside."""
    return tmp_path / "canary.txt"


@pytest.fixture
def folder(tmp_path: Path, canary: Path) -> Path:
    """A folder with a scenario, and a trap named like each module that could be imported."""
    made = tmp_path / "received"
    made.mkdir()
    shutil.copy(SMALLEST, made / "line.yaml")
    for name in names_of_modules():
        (made / f"{name}.py").write_text(_TRAP.format(canary=str(canary)), encoding="utf-8")
    return made


def surroundings(tmp_path: Path) -> dict[str, str]:
    """Of a user: nothing in them that makes Python safer, or lets it look elsewhere than where linesim is."""
    plain = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return plain | {"PYTHONPATH": str(ROOT), "LINESIM_STORE": str(tmp_path / "runs.sqlite")}


def command(*words: str) -> list[str]:
    """The command as it is installed, which does not have the current folder on its path."""
    code = "import sys; from linesim.cli import main; sys.argv[0] = 'linesim'; main()"
    return [sys.executable, "-P", "-c", code, *words]


def told(canary: Path) -> str:
    return canary.read_text(encoding="utf-8") if canary.exists() else ""


@pytest.mark.parametrize(
    "words",
    [["2", "--workers", "2"], pytest.param(["6", "--engine", "simpy"], marks=pytest.mark.longer)],
    ids=["workers asked for", "workers as needed"],
)
def test_a_study_runs_nothing_from_the_current_folder(
    folder: Path, canary: Path, tmp_path: Path, words: list[str]
) -> None:
    words = ["compare", "line.yaml", "--json", "--replications", *words]
    done = subprocess.run(
        command(*words), cwd=folder, env=surroundings(tmp_path), capture_output=True, text=True, check=False,
        timeout=300,
    )  # fmt: skip
    assert told(canary) == ""
    assert done.returncode in (0, 1), done.stderr


def test_the_trap_works(folder: Path, canary: Path, tmp_path: Path) -> None:
    script = [sys.executable, "-c", "import array"]
    subprocess.run(script, cwd=folder, env=surroundings(tmp_path), capture_output=True, check=False)
    assert "array.py was run" in told(canary)


@pytest.mark.parametrize("module", ["linesim", "linesim.begin"])
def test_as_a_module_it_takes_the_current_folder_off_its_path_first(
    folder: Path, canary: Path, tmp_path: Path, module: str
) -> None:
    def done(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, *words], cwd=folder, env=surroundings(tmp_path), capture_output=True, text=True,
            check=False, timeout=120,
        )  # fmt: skip

    # What Python itself imports before any line of linesim is run, is beyond reach: those names are left out.
    first = done("-P", "-c", "import runpy, linesim.starting, sys; print(*sys.modules)").stdout.split()
    for name in {"linesim", *first}:
        (folder / f"{name.split('.')[0]}.py").unlink(missing_ok=True)
    # The first command would make a whole environment, but for a Python that is too old.
    as_module = "import runpy, sys; sys.version_info = (3, 10); sys.argv[1:] = ['--help']; "
    ended = done("-c", as_module + f"runpy.run_module({module!r}, run_name='__main__', alter_sys=True)")
    assert told(canary) == ""
    assert "or newer is needed" in ended.stderr if module == "linesim.begin" else ended.returncode == 0, ended.stderr


def test_begin_starts_python_and_pip_without_the_current_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    started: list[tuple[list[str], object]] = []

    class Done:
        returncode = 0

    def run(words: list[object], **options: object) -> Done:
        started.append(([str(word) for word in words], options.get("cwd")))
        return Done()

    monkeypatch.setattr(begin, "ENVIRONMENT", tmp_path / ".venv")

    def started_beside(words: list[object], **options: object) -> MagicMock:
        run(words, **options)
        return MagicMock()

    monkeypatch.setattr(begin, "_make", lambda folder, python: python.parent.mkdir(parents=True))
    monkeypatch.setattr(begin.subprocess, "run", run)
    monkeypatch.setattr(begin.subprocess, "Popen", started_beside)
    monkeypatch.setattr(begin, "_hand_over", lambda words: run(words).returncode)
    assert begin.main(["check", "line.yaml"]) == 0
    assert started
    for words, at in started:
        assert "-P" in words[:2] or at == begin.ROOT, words


def answer_of(port: int) -> str:
    with contextlib.suppress(URLError, OSError), urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=2) as page:
        return str(page.read().decode())
    return ""


def test_the_dashboard_and_its_workers_run_nothing_from_the_current_folder(
    folder: Path, canary: Path, tmp_path: Path
) -> None:
    port = free_port()
    words = command("dashboard", "line.yaml", "--no-browser", "--port", str(port), "--host", "127.0.0.1")
    with (tmp_path / "log").open("wb") as log:
        server = subprocess.Popen(
            words, cwd=folder, env=surroundings(tmp_path), stdout=log, stderr=log, start_new_session=True
        )
    try:
        end = time.monotonic() + 60
        while answer_of(port) != "ok" and time.monotonic() < end and not told(canary) and server.poll() is None:
            time.sleep(0.2)
        assert told(canary) == ""
        assert answer_of(port) == "ok", (tmp_path / "log").read_text(encoding="utf-8")
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(server.pid, signal.SIGKILL)
        server.wait(10)


def test_a_worker_of_the_dashboard_runs_nothing_from_the_current_folder(
    folder: Path, canary: Path, tmp_path: Path
) -> None:
    code = (
        "import time; from dashboard.jobs import Board; board = Board(1)\n"
        "end = time.monotonic() + 90\n"
        "while board.is_warming() and time.monotonic() < end: time.sleep(0.1)\n"
        "print(board.is_warming()); board.close()\n"
    )
    done = subprocess.run(
        [sys.executable, "-P", "-c", code], cwd=folder, env=surroundings(tmp_path), capture_output=True, text=True,
        check=False, timeout=120,
    )  # fmt: skip
    assert told(canary) == ""
    assert done.stdout.strip() == "False", done.stderr


def test_every_dependency_stands_among_the_traps() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    known = {dist.lower().replace("_", "-") for found in packages_distributions().values() for dist in found}
    wanted = {need.split(">")[0].split("[")[0].strip().lower() for need in project["dependencies"]}
    assert wanted <= known
