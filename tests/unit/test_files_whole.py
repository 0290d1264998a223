"""Files are written whole or not at all, and what cannot be written is told by name."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.errors import StudyError
from linesim.report.files import run_files
from linesim.report.files.overlay import write_overlay
from linesim.report.files.page_file import write_page
from linesim.report.files.run_files import write_table
from linesim.report.files.sheets import write_csv
from linesim.report.files.whole import write_text
from linesim.report.page import justification_excel
from linesim.report.page.justification_excel import write_workbook
from linesim.report.page.sheet_records import SheetContent

TABLE = pd.DataFrame({"policy": ["a"], "mean": [1.5]})
CONTENT = SheetContent(
    title="t", works="w", question="q", answer="a", is_clear=True, certainty="c", remarks=(), blocks=(), shares={},
    account_of="", assumptions=(), sources=(), cautions=(), provenance=(),
)  # fmt: skip


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk on which a few signs still fit before it is full."""

    def write_bytes(path: Path, content: bytes) -> int:
        with path.open("wb") as file:
            file.write(content[:8])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))

    def save(_: Any, path: Any, *__: Any, **___: Any) -> None:
        write_bytes(Path(path), b"PK torn off")

    monkeypatch.setattr(Path, "write_bytes", write_bytes)
    monkeypatch.setattr(justification_excel.Workbook, "save", save)
    monkeypatch.setattr(run_files, "_write_excel", lambda path, *_: write_bytes(path, b"PK torn off"))


WRITERS = {
    "page.html": lambda path: write_page(path, "<!doctype html> new"),
    "runs.csv": lambda path: write_table(path, TABLE, {}, is_forced=True),
    "runs.json": lambda path: write_table(path, TABLE, {}, is_forced=True),
    "runs.xlsx": lambda path: write_table(path, TABLE, {}, is_forced=True),
    "best.yaml": lambda path: write_overlay(path, "extends: a.yaml"),
    "sheet.xlsx": lambda path: write_workbook(path, CONTENT, is_forced=True),
}


@pytest.mark.usefixtures("full")
@pytest.mark.parametrize("name", WRITERS)
def test_a_full_disk_leaves_no_torn_file_and_is_told_by_name(name: str, tmp_path: Path) -> None:
    with pytest.raises(StudyError) as error:
        WRITERS[name](tmp_path / name)
    assert str(tmp_path / name) in str(error.value)
    assert f"could not be written ({os.strerror(errno.ENOSPC)}); nothing was left there" in str(error.value)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["runs.csv", "runs.json", "runs.xlsx", "best.yaml", "sheet.xlsx"])
def test_a_full_disk_leaves_the_older_file_as_it_was(name: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    WRITERS[name](tmp_path / name)
    before = (tmp_path / name).read_bytes()
    request.getfixturevalue("full")
    with pytest.raises(StudyError, match="what lay there before is as it was"):
        WRITERS[name](tmp_path / name)
    assert (tmp_path / name).read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [name]


@pytest.mark.usefixtures("full")
def test_a_full_disk_while_a_folder_is_filled_names_the_table(tmp_path: Path) -> None:
    with pytest.raises(StudyError, match=r"policies\.csv: could not be written"):
        write_csv(tmp_path / "tables", {"policies": TABLE}, {})
    assert list((tmp_path / "tables").iterdir()) == []


def test_what_is_written_is_there_with_the_rights_that_it_had(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_text(path, "one")
    usual = path.stat().st_mode
    (tmp_path / "other").write_text("", encoding="utf-8")
    assert usual == (tmp_path / "other").stat().st_mode
    path.chmod(0o600)
    write_text(path, "two\nµ")
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == ("two\nµ".encode(), 0o600)


def test_a_link_to_a_file_stays_one(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_text("old", encoding="utf-8")
    (tmp_path / "link.txt").symlink_to(tmp_path / "real.txt")
    write_text(tmp_path / "link.txt", "new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_text(encoding="utf-8") == "new"


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_text(Path(os.devnull), "gone")
    assert not Path(os.devnull).is_file()


def test_a_report_that_cannot_be_written_does_not_lose_the_answer(
    tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    scenario = Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"
    request.getfixturevalue("full")
    page = tmp_path / "page.html"
    done = CliRunner().invoke(
        app, ["compare", str(scenario), "--replications", "2", "--length", "2 shifts", "--html", str(page)]
    )
    assert done.exit_code == 2
    assert "Policies (mean ± half width" in done.stdout
    assert f"{page}: could not be written" in " ".join(done.stderr.split()).replace("\n", "")
    assert not page.exists()


def test_a_table_of_runs_reads_back_with_all_its_digits(tmp_path: Path) -> None:
    table = pd.DataFrame({"policy": ["=1+1", "b"], "mean": [1 / 3, float("nan")], "half_width": [2.5e-17, 1.0]})
    write_table(tmp_path / "r.xlsx", table, {"seed": 7, "policies": ["a", "b"]})
    book = openpyxl.load_workbook(tmp_path / "r.xlsx")
    rows = list(book["runs"].iter_rows(values_only=True))
    assert rows == [("policy", "mean", "half_width"), ("'=1+1", 1 / 3, 2.5e-17), ("b", None, 1.0)]
    assert dict(list(book["where from"].iter_rows(values_only=True))[1:]) == {"seed": "7", "policies": '["a", "b"]'}
    write_table(tmp_path / "r.csv", table, {})
    again = pd.read_csv(tmp_path / "r.csv")
    assert again["mean"].to_list()[0] == 1 / 3
    assert again["half_width"].to_list() == [2.5e-17, 1.0]
    assert again["policy"].to_list() == ["'=1+1", "b"]
