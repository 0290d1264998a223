"""The list of commands: each stands once, is loaded when it is called, and says of itself what the list says of it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from linesim.cli import app
from linesim.cli.lazy import LazyGroup

GROUP: Any = typer.main.get_command(app)
NAMES = list(GROUP.entries)


def called(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


def test_the_help_lists_every_command_once_and_in_its_panel() -> None:
    assert isinstance(GROUP, LazyGroup)
    shown = called("--help").stdout
    panels = shown.split("╭─ ")
    for name in NAMES:
        lines = [line for line in shown.splitlines() if line.startswith(f"│ {name} ")]
        assert len(lines) == 1, name
        panel = next(part for part in panels if f"│ {name} " in part)
        assert panel.startswith(GROUP.entries[name].panel), name


@pytest.mark.parametrize("name", NAMES)
def test_a_command_says_of_itself_what_the_list_says(name: str) -> None:
    loaded = GROUP.loaded(name)
    assert loaded.name == name
    assert loaded.help.splitlines()[0] == GROUP.entries[name].help
    told = called(name, "--help")
    assert told.exit_code == 0
    assert not re.search(r"<\w+(\.\w+)+ object|_MISSING", told.stdout), "a value of Python's own in place of a default"


@pytest.mark.parametrize("name", NAMES)
def test_every_option_is_explained(name: str) -> None:
    stack = [GROUP.loaded(name)]
    while stack:
        command = stack.pop()
        stack += list(getattr(command, "commands", {}).values())
        bare = [each.name for each in command.params if not (getattr(each, "help", None) or each.name == "help")]
        assert not bare, f"{command.name}: {bare}"


def test_a_mistyped_command_is_answered_with_the_nearest() -> None:
    shown = called("comprae", "scenarios/smallest.yaml")
    assert shown.exit_code == 2
    assert 'did you mean "compare"?' in " ".join(shown.stderr.replace("│", " ").split())


def test_the_shell_completes_commands_without_loading_them() -> None:
    surroundings = os.environ | {
        "_LINESIM_COMPLETE": "complete_bash", "COMP_WORDS": "linesim fro", "COMP_CWORD": "1",
    }  # fmt: skip
    code = "import sys; from linesim.cli import main; sys.argv = ['linesim']; main()"
    done = subprocess.run([sys.executable, "-c", code], env=surroundings, capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["frontier"]


# no store


def test_no_store_is_none_in_the_surroundings_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = Path("scenarios/smallest.yaml").resolve()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LINESIM_STORE", "none")
    shown = called("compare", str(scenario), "--replications", "2", "--json")
    assert shown.exit_code == 0, shown.stderr
    assert list(tmp_path.iterdir()) == []
    listed = called("runs", "list")
    assert listed.exit_code == 2
    assert "there is no store, as LINESIM_STORE says none" in listed.stderr
