"""The first command tells plainly what stands in its way, and hands on what it is given."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

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
        begin, "_environment", lambda purpose, is_newest: tmp_path / f"python-{purpose}{'-newest' * is_newest}"
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
