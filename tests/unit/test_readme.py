"""What the README and the manual show is what happens."""

from __future__ import annotations

import contextlib
import io
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from linesim.cli import app
from linesim.manual import TOPICS, page

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SMALLEST = (ROOT / "scenarios" / "smallest.yaml").read_text(encoding="utf-8")
PAGES = {"README": README} | {topic: page(topic) for topic in TOPICS}


def blocks_of(text: str) -> list[tuple[str, str]]:
    return re.findall(r"```(\w+)\n(.*?)```", text, flags=re.DOTALL)


BLOCKS = {where: blocks_of(text) for where, text in PAGES.items()}


def block_with(kind: str, words: str, where: str = "README") -> str:
    """The one block of a kind on a page that holds these words."""
    (only,) = [text for name, text in BLOCKS[where] if name == kind and words in text]
    return only


def test_the_readme_is_a_short_form() -> None:
    assert len(README.split()) <= 1600


@pytest.mark.parametrize(
    ("where", "code", "output"),
    [
        ("README", "linesim.run(", "good_per_hour  cost_per_good_part"),
        ("python", "linesim.run(", "good_per_hour  cost_per_good_part"),
        ("python", "linesim.Tryout(", "<Tryout of"),
    ],
)
def test_the_python_example_prints_what_is_shown(
    where: str, code: str, output: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(block_with("python", code, where), {})
    assert printed.getvalue() == block_with("text", output, where)


def test_the_answer_shown_is_what_compare_prints() -> None:
    """Figures too: whoever types the first command of the README sees the README's numbers."""
    (shown,) = [text for kind, text in BLOCKS["README"] if kind == "text" and "Policies (mean" in text]
    done = CliRunner().invoke(app, ["compare", str(ROOT / "scenarios" / "block-line.yaml"), "--store", "none"])
    assert done.exit_code == 0, done.stderr
    printed = iter([line.rstrip() for line in done.stdout.splitlines()])
    for line in shown.splitlines():
        assert line.strip() == "..." or line.rstrip() in printed, f"{line!r} is not printed, or not in this place"


def test_the_scenario_shown_is_the_smallest() -> None:
    assert block_with("yaml", "cutters:") in SMALLEST


def test_the_errors_shown_are_those_told(tmp_path: Path) -> None:
    shutil.copy(ROOT / "scenarios" / "block-line.yaml", tmp_path)
    tried = tmp_path / "tried-out.yaml"
    tried.write_text(
        "extends: block-line.yaml\n"
        "name: Block line, tried out\n"
        "lines:\n"
        "  block:\n"
        "    operations:\n"
        "      Op 60:\n"
        "        buffer: -2\n"
        "        strokes: {fine and finish: {cuts: {finish: {feature: cylinder bore, depth: 3 kg}}}}\n",
        encoding="utf-8",
    )
    done = CliRunner().invoke(app, ["check", str(tried)])
    assert done.exit_code == 2
    assert done.stderr == block_with("text", "tried-out.yaml, line 7")


def test_the_file_that_extends_another_is_taken(tmp_path: Path) -> None:
    shutil.copy(ROOT / "scenarios" / "block-line.yaml", tmp_path)
    extending = tmp_path / "extending.yaml"
    extending.write_text(block_with("yaml", "extends: block-line.yaml", "scenario"), encoding="utf-8")
    assert CliRunner().invoke(app, ["check", str(extending)]).exit_code == 0


@pytest.mark.parametrize("policy", ["nights", "careful"])
def test_the_rules_of_ones_own_run(tmp_path: Path, policy: str) -> None:
    rules = tmp_path / "night_shift.py"
    rules.write_text(block_with("python", "change_rule", "python"), encoding="utf-8")
    careful = "  careful: {default: {own: {name: look twice, options: {share: 0.9}}}}\n"
    shown = block_with("yaml", "nights:", "python").removeprefix("policies:\n")
    scenario = tmp_path / "own.yaml"
    scenario.write_text(SMALLEST.replace("policies:\n", f"policies:\n{shown}{careful}"), encoding="utf-8")
    done = CliRunner().invoke(app, ["run", str(scenario), "--policy", policy, "--rules", str(rules), "--json"])
    assert done.exit_code == 0, done.stderr
    assert '"good_per_hour"' in done.stdout


def test_every_command_is_listed() -> None:
    commands: Any = typer.main.get_command(app)
    assert set(re.findall(r"\| `linesim (\w+)", README)) == set(commands.entries)


def test_the_pictures_are_there_and_small() -> None:
    pictures = re.findall(r"!\[.*?\]\((.*?)\)", README)
    assert len(pictures) >= 3
    assert all((ROOT / picture).stat().st_size < 100_000 for picture in pictures)
