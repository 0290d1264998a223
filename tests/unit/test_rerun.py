"""A report carries its scenario and its question, so that its figures can be had again without the file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from linesim.cli.main import app

SMALLEST = Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"


def asked(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


@pytest.fixture(scope="module")
def report() -> dict[str, Any]:
    answer = asked("compare", str(SMALLEST), "--json", "--store", "none", "--replications", "4", "--seed", "11")
    content: dict[str, Any] = json.loads(answer.stdout)
    return content


def again(folder: Path, content: Any) -> Any:
    (folder / "report.json").write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    answer = asked("rerun", str(folder / "report.json"))
    return answer.exit_code, " ".join(answer.output.split())


def test_the_same_question_has_the_same_figures(report: dict[str, Any], tmp_path: Path) -> None:
    code, said = again(tmp_path, report)
    assert code == 0
    assert "every figure is the same, to the last digit" in said
    assert report["asked"]["options"]["seed"] == 11


def test_a_figure_that_is_not_the_same_is_named(report: dict[str, Any], tmp_path: Path) -> None:
    table = next(name for name, value in report.items() if isinstance(value, list) and name != "sentences")
    rows = [dict(report[table][0], output=1.0), *report[table][1:]]
    code, said = again(tmp_path, report | {table: rows})
    assert code == 1
    assert f"{table}[0].output" in said
    code, said = again(tmp_path, report | {"scenario": report["scenario"].replace("price: 90.0", "price: 91.0")})
    assert code == 1
    assert "figures are not the same" in said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"scenario": None}, "its question or its scenario is missing"),
        ({"scenario": "linesim: ["}, "scenario.yaml"),
        ({"asked": 3}, "it carries no question to ask again"),
        ({"asked": {"command": "dashboard", "options": {}}}, '"dashboard" is no command'),
        ({"asked": {"command": "format", "options": {}}}, '"format" is no command'),
        ({"asked": {"command": "compare", "options": {"--seed": 3}}}, "nothing that linesim compare can be asked"),
        ({"asked": {"command": "compare", "options": {"seed": "soon"}}}, "as an integer"),
        ({"asked": {"command": "compare", "options": {"rules": [{"file": "own.py"}]}}}, "a file beside the scenario"),
    ],
)
def test_what_cannot_be_asked_again_is_said(
    changes: dict[str, Any], said: str, report: dict[str, Any], tmp_path: Path
) -> None:
    code, text = again(tmp_path, report | changes)
    assert code == 2
    assert said in text


def test_what_is_no_report_is_said(tmp_path: Path) -> None:
    assert again(tmp_path, "{")[0] == 2
    assert "this carries no JSON" in again(tmp_path, "{")[1]
    assert "carries no question" in again(tmp_path, "[1, 2]")[1]
    assert "carries no question" in again(tmp_path, "[" * 100_000)[1] or "no JSON" in again(tmp_path, "[" * 100_000)[1]
