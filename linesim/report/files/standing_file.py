"""How a line stands, written as a table to fill in or to carry on from: CSV or a workbook."""

from __future__ import annotations

import io
from pathlib import Path

import pandas as pd

from linesim.errors import StudyError
from linesim.report.files.page_file import check_place
from linesim.report.files.whole import write_bytes
from linesim.report.theme.csv_text import as_csv, harmless

__all__ = ["check_standing", "standing_bytes", "write_standing"]

_ENDINGS = (".csv", ".xlsx")
_WIDTHS = (26, 14, 18, 18, 26, 10, 40)


def check_standing(path: Path, is_forced: bool) -> None:
    """See to it that a table can be written, before anything is run for it.

    Raises
    ------
    StudyError
        It cannot.
    """
    if path.suffix.lower() not in _ENDINGS:
        raise StudyError(f"{path}: a name such as state.csv or state.xlsx was expected")
    check_place(path, "the table", "state.csv")
    if path.exists() and not is_forced:
        raise StudyError(f"{path} lies there already; name another file, or add --force to overwrite it")


def standing_bytes(table: pd.DataFrame, ending: str) -> bytes:
    """The table as the content of a file with this ending; no text in it is taken for a formula."""
    if ending == ".csv":
        return as_csv(table).encode("utf-8")
    safe = table.copy()
    for name in safe.columns.drop("figure"):
        safe[name] = [harmless(text) if isinstance(text, str) else text for text in safe[name]]
    out = io.BytesIO()
    with pd.ExcelWriter(out, engine="openpyxl") as writer:
        safe.to_excel(writer, sheet_name="how it stands", index=False, freeze_panes=(1, 0))
        sheet = writer.sheets["how it stands"]
        for column, width in zip("ABCDEFG", _WIDTHS, strict=True):
            sheet.column_dimensions[column].width = width
    return out.getvalue()


def write_standing(path: Path, table: pd.DataFrame) -> None:
    """Write the table, whole or not at all.

    Raises
    ------
    StudyError
        It cannot be written.
    """
    write_bytes(path, standing_bytes(table, path.suffix.lower()))
