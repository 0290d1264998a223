"""What commands answer holds to the schema of their reports: tables, columns, kinds; CSV and Parquet have the same."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from jsonschema import Draft202012Validator
from pyarrow import parquet
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.report.files import report_schema as module
from linesim.report.files.report_schema import commands_with_reports, report_schema, table_columns
from linesim.report.files.sheets import write_parquet
from tests.rounds import some_each_time
from tests.unit.test_watching import book

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
SMALLEST, MIXED = str(SCENARIOS / "smallest.yaml"), str(SCENARIOS / "mixed-line.yaml")
FEW, HERE = ("--replications", "3"), ("--store", "none", "--workers", "1")
TRIAL = ("--set", "Op 20 / finish mill", "--interval", "15", "--weeks", "2", "--replications", "4")
CHEAP: dict[str, tuple[str, ...]] = {
    "check": (MIXED,), "run": (MIXED,), "compare": (MIXED, *FEW, *HERE), "worth": (SMALLEST, *FEW, *HERE),
    "toolroom": (SMALLEST, *FEW, "--weeks", "2"), "handover": (SMALLEST, *FEW), "cards": (SMALLEST, "--store", "none"),
    "shift": (SMALLEST, "--replications", "40"), "records": ("records.yaml",),
    "watch": ("records.yaml", SMALLEST, "--no-runs"), "practice": (SMALLEST, "--claims", "fg"),
}  # fmt: skip
DEAR: dict[str, tuple[str, ...]] = {
    "frontier": (SMALLEST, *FEW, *HERE), "advise": (SMALLEST, *FEW, *HERE), "brief": (SMALLEST, *FEW, *HERE),
    "intervals": (SMALLEST, "--replications", "4", *HERE, "--minutes", "0.2"), "trial": (SMALLEST, *TRIAL),
    "sets": (SMALLEST, *FEW, *HERE, "--minutes", "0.2"), "drivers": (SMALLEST, *FEW, *HERE),
    "regret": (SMALLEST, "--replications", "8", *HERE), "prove": ("records.yaml", SMALLEST),
    "history": (str(SCENARIOS / "block-line.yaml"), "--feature", "top face"),
    "stock": (str(SCENARIOS / "block-line.yaml"), "--feature", "top face", "--check", "2"),
    "speed": (str(SCENARIOS / "block-line.yaml"), "--cut", "Op 60 / rough", *FEW, *HERE),
    "engine": (str(SCENARIOS / "works.yaml"), *FEW),
    "routing": (str(SCENARIOS / "block-line.yaml"), "--variants", str(SCENARIOS / "variants" / "block-deck.yaml"),
                *FEW, *HERE),
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place with records that a mapping names."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "book.csv").write_text(book(0.7) + "\nfinish mill,2026-02-31,9,worn,7\n")
    CliRunner().invoke(app, ["records", "book.csv", "--guess", "records.yaml"])
    return tmp_path


def answer(command: str, *arguments: str) -> dict[str, Any]:
    done = CliRunner().invoke(app, [command, *arguments, "--json"])
    assert done.exit_code in (0, 1), (done.stderr, done.exception)
    content: dict[str, Any] = json.loads(done.stdout)
    return content


def faults(command: str, content: object) -> list[str]:
    found = Draft202012Validator(report_schema(command)).iter_errors(content)
    return [f"{list(each.absolute_path)}: {each.message}" for each in found]


@pytest.mark.parametrize("command", some_each_time(sorted(CHEAP), "check", "compare", "shift"))
def test_an_answer_holds_to_the_schema_of_its_command(command: str, folder: Path) -> None:
    content = answer(command, *CHEAP[command])
    assert faults(command, content) == []
    assert faults(command, {name: value for name, value in content.items() if name != "command"})
    table = next(name for name in table_columns(command) if content.get(name))
    strange = [{**content[table][0], "a column that nobody described": 1.0}, *content[table][1:]]
    assert faults(command, content | {table: strange})


@pytest.mark.longer
@pytest.mark.parametrize("command", sorted(DEAR))
def test_a_dear_answer_holds_to_the_schema_of_its_command(command: str, folder: Path) -> None:
    assert faults(command, answer(command, *DEAR[command])) == []


def test_every_command_that_can_write_tables_is_described() -> None:
    """A command has the option --csv, and the schema, or neither; lessons have their own."""
    import typer.main  # noqa: PLC0415

    from linesim.cli.main import _Commands  # noqa: PLC0415 - which loads none of them

    group: Any = typer.main.get_command(app)
    with_tables = {
        name for name in _Commands.entries if "csv" in {parameter.name for parameter in group.loaded(name).params}
    }
    assert with_tables == set(commands_with_reports()) == {*CHEAP, *DEAR}


def test_every_column_says_what_it_holds_and_every_word_is_of_a_column() -> None:
    every = {
        (command, table, name): column
        for command in commands_with_reports()
        for table, columns in table_columns(command).items()
        for name, column in columns.items()
    }
    assert all(column.kind in ("text", "number", "whole", "flag") and column.meaning for column in every.values())
    names = {name for _, _, name in every} | {".".join(key) for key in every}
    ends = {name.removesuffix(end) for name in names for end in module._ENDS}
    assert set(module._columns()) <= names | ends
    for (_, _, name), column in every.items():
        for end, unit in (("_min", "min"), ("_mm", "mm"), ("_um", "µm"), ("_kw", "kW"), ("_um2", "µm²")):
            is_rate = name.endswith(("_mm_min", "_m_min", "_n_um"))
            assert is_rate or not name.endswith(end) or column.unit == unit, name


def test_the_schema_of_no_command_and_of_none_that_reports(folder: Path) -> None:
    shown = CliRunner().invoke(app, ["schema", "--report", "worth"])
    schema = json.loads(shown.stdout)
    assert schema["properties"]["worth"]["items"]["properties"]["stopped_min"] == {
        "type": ["number", "null"], "description": "minutes an hour that the operation is stopped", "unit": "min",
    }  # fmt: skip
    refused = CliRunner().invoke(app, ["schema", "--report", "manual"])
    assert (refused.exit_code, '"manual" gives no report; these do: check, ' in refused.stderr) == (2, True)
    assert CliRunner().invoke(app, ["schema", "worth"]).exit_code == 2


def test_parquet_has_the_same_tables_column_for_column(folder: Path) -> None:
    content = answer("run", MIXED, "--parquet", "tables", "--csv", "tables")
    for name, columns in table_columns("run").items():
        table = pd.read_parquet(folder / "tables" / f"{name}.parquet")
        assert list(table.columns) == list(columns), name
        assert len(table) == len(content[name])
        assert (folder / "tables" / f"{name}.csv").exists()
    lines = pd.read_parquet(folder / "tables" / "lines.parquet").to_dict(orient="records")
    assert lines == content["lines"]
    carried = json.loads(parquet.read_schema(folder / "tables" / "lines.parquet").metadata[b"linesim"])
    assert carried["asked"]["command"] == "run"
    again = CliRunner().invoke(app, ["rerun", str(folder / "tables" / "linesim.json")])
    assert (again.exit_code, "every figure is the same" in again.output) == (0, True), again.output
    text = (folder / "tables" / "lines.csv").read_text()
    shipped = str(content["lines"][0]["shipped"])
    (folder / "tables" / "lines.csv").write_text(text.replace(f",{shipped},", f",{int(shipped) + 1},", 1))
    again = CliRunner().invoke(app, ["rerun", str(folder / "tables" / "linesim.json")])
    assert (again.exit_code, "lines[0].shipped" in again.output) == (1, True), again.output
    (folder / "other").mkdir()
    (folder / "other" / "lines.parquet").write_text("mine")
    refused = CliRunner().invoke(app, ["run", MIXED, "--parquet", "other"])
    assert (refused.exit_code, (folder / "other" / "lines.parquet").read_text()) == (2, "mine")


def test_a_column_of_several_kinds_becomes_text(tmp_path: Path) -> None:
    """Half of Arrow's types would refuse it; nothing is lost, and what is missing stays missing."""
    mixed = pd.DataFrame(
        {"figure": pd.Series([1, "two", None], dtype=object), "whole": pd.array([1, None, 3], "Int64")}
    )
    write_parquet(tmp_path, {"mixed": mixed}, {"linesim": "0"})
    table = parquet.read_table(tmp_path / "mixed.parquet")
    assert table.column("figure").to_pylist() == ["1", "two", None]
    assert table.column("whole").to_pylist() == [1, None, 3]
