"""The first command tells plainly what stands in its way, and hands on what it is given."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from linesim import begin


def test_too_old_a_python_is_told_with_both_versions(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(begin, "OLDEST", (99, 1))
    assert begin.main(["check"]) == 2
    told = capsys.readouterr().err
    assert told.startswith("linesim: Python 99.1 or newer is needed; this is 3.")


def test_without_a_venv_module_the_way_out_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "pyproject.toml").write_text("", encoding="utf-8")
    monkeypatch.setattr(begin, "ROOT", tmp_path)
    monkeypatch.setattr(begin, "ENVIRONMENT", tmp_path / ".venv")
    monkeypatch.setattr(begin, "_works", lambda command: False)
    monkeypatch.setattr(begin.shutil, "which", lambda name: None)
    assert begin.main(["check"]) == 2
    assert "apt-get install python3-venv" in capsys.readouterr().err


def ready_place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[list[str]]:
    """An environment that is ready; returns the commands that are run in it."""
    commands: list[list[str]] = []

    def hand_over(command: list[str]) -> int:
        commands.append(command)
        return 1

    monkeypatch.setattr(
        begin, "_environment", lambda purpose, is_newest, asked: tmp_path / f"python-{purpose}{'-newest' * is_newest}"
    )
    monkeypatch.setattr(begin, "_hand_over", hand_over)
    monkeypatch.chdir(tmp_path)
    return commands


def test_arguments_and_the_exit_code_are_handed_on(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    commands = ready_place(monkeypatch, tmp_path)
    assert begin.main(["run", "a.yaml", "--seed", "3"]) == 1
    assert commands == [[str(tmp_path / "python-run"), "-P", "-m", "linesim", "run", "a.yaml", "--seed", "3"]]


def test_tests_are_run_by_pytest_with_the_rest_of_the_arguments(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    commands = ready_place(monkeypatch, tmp_path)
    begin.main(["--tests", "-k", "crib"])
    assert commands == [
        [str(tmp_path / "python-test"), "-m", "pytest", "-n", "auto", "--dist", "worksteal", "-k", "crib"]
    ]


def test_the_command_takes_the_place_of_the_first_one() -> None:
    code = (
        "from linesim import begin; import sys, os; print(os.getpid(), flush=True)\n"
        "begin._hand_over([sys.executable, '-c', 'import os, sys; print(os.getpid()); sys.exit(7)'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=begin.ROOT, capture_output=True, text=True, check=False, timeout=60
    )
    first, second = done.stdout.split()
    assert first == second
    assert done.returncode == 7


def test_the_engine_is_compiled_on_nothing_but_what_is_installed_for_it() -> None:
    """All other packages are hidden; a plan of the block line can be made, and the kernels imported."""
    code = (
        "import sys; from importlib.metadata import packages_distributions\n"
        "from linesim.begin import ENGINE\n"
        "key = lambda name: name.lower().replace('_', '-')\n"
        "needed = {*ENGINE, 'linesim'}\n"
        "hidden = [top for top, by in packages_distributions().items() if not {*map(key, by)} & needed]\n"
        "sys.modules.update(dict.fromkeys(hidden))\n"
        "from linesim.fast import warming\n"
        "works = warming.load_works('scenarios/block-line.yaml')\n"
        "print('scipy' in hidden, warming.tier_of_plan(warming.make_plan(works, next(iter(works.policies)))))"
    )
    surroundings = os.environ | {"PYTHONPATH": str(begin.ROOT)}
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, cwd=begin.ROOT, env=surroundings, capture_output=True, text=True, check=True)
    assert done.stdout == "True common\n"


def installing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, fails_at: int) -> list[str]:
    """What is done to install from a lock of three packages; the step of this number does not go well."""
    lock, done = tmp_path / "run.txt", []
    lock.write_text(
        "numpy==1 ; a \\\n    --hash=1\nnumpy==2 ; b \\\n    --hash=2\n"
        "pip==3 \\\n    --hash=3\nrich==4 \\\n    --hash=4\n"
    )

    def installed(installer: Any, what: list[Any]) -> bool:
        is_file = what[-2] == "--requirement"
        assert not is_file or "--require-hashes" in what
        done.append(Path(what[-1]).read_text() if is_file else " ".join(map(str, what)))
        return len(done) != fails_at

    @contextmanager
    def compiling(python: Path, scenarios: list[str]) -> Iterator[subprocess.Popen[bytes]]:
        done.append(f"compiling {scenarios}")
        with subprocess.Popen([sys.executable, "-c", "raise SystemExit(1)"]) as process:
            yield process
        done.append("compiled")

    monkeypatch.setattr(begin, "_installer", lambda python: ["pip"])
    monkeypatch.setattr(begin, "_works", lambda command: True)
    monkeypatch.setattr(begin, "_installed", installed)
    monkeypatch.setattr(begin, "_compiling", compiling)
    done.append(str(begin._install_locked(tmp_path / "python", lock, ["a.yaml"])))
    return done


def test_pip_comes_first_and_the_engine_is_compiled_while_the_rest_is_installed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Each entry comes with its hashes, once for each condition; that compiling fails does not matter."""
    pip, numpy, compiling, all_of_it, own, compiled, fits = installing(monkeypatch, tmp_path, 0)
    assert pip == "pip==3 \\\n    --hash=3"
    assert numpy == "numpy==1 ; a \\\n    --hash=1\nnumpy==2 ; b \\\n    --hash=2"
    assert compiling == "compiling ['a.yaml']"
    assert all_of_it == (tmp_path / "run.txt").read_text()
    assert own == f"--no-deps --no-build-isolation --editable {begin.ROOT}"
    assert (compiled, fits) == ("compiled", "True")


@pytest.mark.parametrize("fails_at", [1, 2, 4, 5])
def test_a_lock_that_does_not_fit_is_told_whichever_step_shows_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path, fails_at: int
) -> None:
    assert installing(monkeypatch, tmp_path, fails_at)[-1] == "False"
    assert "what is locked does not fit this machine" in capsys.readouterr().err


def test_compiling_ends_with_the_installing_that_fails(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    sleeper = tmp_path / "python"
    sleeper.write_text("#!/bin/sh\nexec sleep 600\n")
    sleeper.chmod(0o755)
    with pytest.raises(KeyboardInterrupt), begin._compiling(sleeper, []) as process:
        raise KeyboardInterrupt
    assert process.returncode is not None


def test_files_that_are_there_are_asked_about(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "line.yaml").touch()
    assert begin._scenarios(["compare", "line.yaml", "gone.yaml", "--html", "line.html"]) == ["line.yaml"]
