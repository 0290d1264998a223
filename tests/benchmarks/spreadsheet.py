"""Opens workbooks of linesim in LibreOffice, saves them there, and holds what comes back against what was written.

Run with ``python -m tests.benchmarks.spreadsheet``; it needs ``soffice`` (Debian and its kin: ``apt-get install
libreoffice-calc --no-install-recommends``) and fails where that is missing. Every cell keeps its kind and value, texts
that look like formulas stay texts, sums are those of their columns, drop-downs are still there, and a scenario saved by
the other program is read as the same works.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
from openpyxl import load_workbook

from linesim.cards import tool_cards
from linesim.report.files.book_file import write_tables
from linesim.study.handover.study import HandoverStudy
from linesim.study.options import StudyOptions
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.works import Works, digest, load_works, works_from_text
from linesim.works.book.writing import to_workbook

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
NAMES = {"finish mill": "=2+3 mill", "rough mill": "@SUM(1) mill", "every 60 parts": "-2+3 parts"}
"""Names that a spreadsheet might take for formulas, for those of the smallest scenario."""

FILLED_IN = 1_000
"""Rows of a sheet to which drop-downs must reach."""


def hostile() -> Works:
    """The smallest scenario with names that look like formulas."""
    text = (SCENARIOS / "smallest.yaml").read_text(encoding="utf-8")
    for name, other in NAMES.items():
        text = re.sub(rf"(?<=[ \[]){name}(?=[:,}}\n])", f'"{other}"', text)
    text = re.sub("^name:.*$", 'name: "+1+1"', text, flags=re.MULTILINE)
    return works_from_text(text, "smallest.yaml")


def saved_again(path: Path) -> Path:
    """The workbook as the other program saves it, worked out anew."""
    program = shutil.which("soffice") or shutil.which("libreoffice")
    assert program, "LibreOffice is not on this machine; apt-get install libreoffice-calc --no-install-recommends"
    folder = path.parent / "again"
    profile = (path.parent / "profile").as_uri()
    command = [program, f"-env:UserInstallation={profile}", "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML"]
    subprocess.run([*command, "--outdir", str(folder), str(path)], check=True, capture_output=True, timeout=300)
    return folder / path.name


def differences(before: Path, after: Path) -> Iterator[str]:
    """Cells that are not what they were, and drop-downs that are gone."""
    books = [load_workbook(path) for path in (before, after)]
    worked = load_workbook(after, data_only=True)
    if books[0].sheetnames != books[1].sheetnames:
        yield f"sheets {books[0].sheetnames} became {books[1].sheetnames}"
        return
    for sheet in books[0]:
        other = books[1][sheet.title]
        for row in sheet.iter_rows():
            for cell in row:
                yield from _cell(cell, other[cell.coordinate], worked[sheet.title][cell.coordinate].value, sheet)
        lists = [sorted(_lists(each)) for each in (sheet, other)]
        if lists[0] != lists[1]:
            yield f"{sheet.title}: drop-downs at {lists[0]} became {lists[1]}"


def _cell(cell: Any, other: Any, worked: Any, sheet: Any) -> Iterator[str]:
    where = f"{sheet.title}!{cell.coordinate}"
    if cell.data_type == "f":
        summed = re.fullmatch(r"=SUBTOTAL\(109,([A-Z]+\d+):([A-Z]+\d+)\)", cell.value)
        if summed is None:
            yield f"{where}: the formula {cell.value} is none of linesim's"
            return
        column = [each.value for (each,) in sheet[f"{summed[1]}:{summed[2]}"] if each.value is not None]
        if not isinstance(worked, (int, float)) or abs(worked - sum(column)) > 1e-9 * max(1.0, abs(sum(column))):
            yield f"{where}: {worked!r} is not the sum {sum(column)!r}"
    elif not _same(cell.value, other.value) or (other.data_type == "f" and not isinstance(cell.value, bool)):
        yield f"{where}: {cell.value!r} became {other.value!r} ({other.data_type})"


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, bool):
        return other is one or other == f"={str(one).upper()}()"  # as the other program writes them
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return abs(one - other) <= 1e-14 * abs(one)  # a file of the other program carries fifteen digits
    return (one or None) == (other or None)


def _lists(sheet: Any) -> Iterator[tuple[str, bool]]:
    """Where each drop-down begins, and whether it goes on as far as people fill in: the other program cuts it there."""
    for each in sheet.data_validations.dataValidation:
        if each.type == "list":
            for place in str(each.sqref).split():
                first, _, last = place.partition(":")
                yield first, int(re.sub("[A-Z]", "", last or first)) >= FILLED_IN


def answers(works: Works) -> dict[str, tuple[dict[str, pd.DataFrame], dict[str, Any], Any]]:
    """Tables of a few answers, with where they come from and what is summed."""
    room = ToolRoomStudy(works, weeks=2, options=StudyOptions(replications=3)).run()
    given = HandoverStudy(works, options=StudyOptions(replications=2)).run()
    cards = tool_cards(works)
    return {
        "toolroom.xlsx": (room.tables, room.provenance, room.summed),
        "handover.xlsx": (given.tables, given.provenance, given.summed),
        "cards.xlsx": (cards.tables, {"works": works.name}, {}),
    }


def main() -> int:
    """Write, save again, compare; the exit code says whether all is as it was."""
    faults: list[str] = []
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
        folder = Path(place)
        every = {path.stem: load_works(path) for path in sorted(SCENARIOS.glob("*.yaml"))} | {"hostile": hostile()}
        for name, works in every.items():
            path = folder / f"{name}.xlsx"
            path.write_bytes(to_workbook(works))
            again = saved_again(path)
            found = [f"{path.name}: {words}" for words in differences(path, again)]
            if digest(load_works(again)) != digest(load_works(path)):
                found.append(f"{path.name}: saved again it is read as another works")
            faults += found
            print(f"{path.name}: {len(found)} differences")
        for file, (tables, origin, summed) in answers(hostile()).items():
            write_tables(folder / file, tables, origin, summed)
            found = [f"{file}: {words}" for words in differences(folder / file, saved_again(folder / file))]
            faults += found
            print(f"{file}: {len(found)} differences")
    print(*faults, sep="\n", file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
