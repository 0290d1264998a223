"""What other systems take over, the schema of reports, and the worked example from a workbook to a recommendation."""

from __future__ import annotations

import json
import runpy
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.plan.build import make_plan
from linesim.result.indicators import INDICATORS, indicator_table
from linesim.study.handover.study import LEFT_OUT
from linesim.study.handover.tools import PROPERTIES
from linesim.study.one.runs import run_plan
from linesim.works import changed, load_works, to_yaml

ROOT = Path(__file__).resolve().parents[2]
SHORT = {"run": {"length": "1 day", "warm_up": 0, "replications": 3}}


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("line") / "line.yaml"
    path.write_text(to_yaml(changed(load_works(ROOT / "scenarios" / "smallest.yaml"), SHORT)), encoding="utf-8")
    return path


def answer_of(*arguments: str) -> Any:
    done = CliRunner().invoke(app, [*arguments, "--json"])
    assert done.exit_code in (0, 1), done.output
    return json.loads(done.stdout)


def test_indicators_are_means_of_the_runs_and_what_cannot_be_known_is_said(file: Path) -> None:
    answer = answer_of("handover", str(file), "--policy", "every 60 parts")
    works = load_works(file)
    plan = make_plan(works, "every 60 parts")
    by_hand = [
        indicator_table(works, plan, run_plan(plan, works.run.seed, number, engine="fast"))["value"].to_numpy()
        for number in range(3)
    ]
    for at, row in enumerate(answer["indicators"]):
        values = [float(run[at]) for run in by_hand]
        expected = sum(values) / 3.0
        assert row["value"] is None or row["value"] == pytest.approx(expected, rel=1e-12), row["indicator"]
        half = 4.302653 * float(np.std(values, ddof=1)) / 3.0**0.5  # Student's t with two degrees of freedom, 95 %
        assert row["half_width"] is None or row["half_width"] == pytest.approx(half, rel=1e-6, abs=1e-12)
    given, missing = {each.name for each in INDICATORS}, {name for name, _ in LEFT_OUT}
    assert {row["indicator"] for row in answer["indicators"]} == given
    assert {row["indicator"] for row in answer["not_given"]} == missing
    assert not given & missing
    mill = works.cutters["rough mill"]
    (row,) = [row for row in answer["tools"] if row["cutter"] == "rough mill"]
    assert (row["DC"], row["ZEFF"], row["KAPR"], row["sets"]) == (mill.diameter, mill.teeth, mill.lead_angle, mill.sets)
    assert list(row) == [each.name for each in PROPERTIES] == [each["name"] for each in answer["properties"]]
    assert {(row["cutter"], row["parts"]) for row in answer["intervals"]} == {("rough mill", 60), ("finish mill", 60)}


@pytest.mark.longer
def test_what_is_printed_and_what_a_page_carries_keeps_to_the_published_schema(file: Path, tmp_path: Path) -> None:
    schema = json.loads(CliRunner().invoke(app, ["schema", "--report"]).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    page = tmp_path / "page.html"
    few = ("--replications", "2", "--workers", "1", "--store", "none")
    reports = [
        answer_of("compare", str(file), *few, "--html", str(page)),
        answer_of("toolroom", str(file), "--weeks", "1", "--replications", "2"),
        answer_of("handover", str(file), "--replications", "2"),
        answer_of("cards", str(file)),
        answer_of("run", str(file)),
    ]
    for report in reports:
        assert not [error.message for error in validator.iter_errors(report)], report["asked"]["command"]
    broken = reports[0] | {"policies": [[1, 2]], "provenance": {"works": "x"}}
    assert len(list(validator.iter_errors(broken))) == 3
    text = page.read_text(encoding="utf-8")
    assert "The scenario, as a file" in text
    assert CliRunner().invoke(app, ["rerun", str(page)]).exit_code == 0


@pytest.mark.longer
def test_the_worked_example_goes_from_a_workbook_to_a_recommendation(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    example = ROOT / "scenarios" / "from_workbook.py"
    lines = example.read_text(encoding="utf-8").splitlines()
    assert len(lines) < 40
    assert sum(line.startswith("# %%") for line in lines) >= 5
    done = runpy.run_path(str(example))
    printed = capsys.readouterr().out
    assert "flange" in printed
    assert all(sentence in printed for sentence in done["brief"].sentences)
    assert "brief" in (done["folder"] / "brief.html").read_text(encoding="utf-8")
