"""A workbook file becomes the cells of its sheets."""

from __future__ import annotations

import io
from collections.abc import Sequence

from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum

from linesim.works.book.guard import clean_copy
from linesim.works.book.spots import Raw
from linesim.works.book.trees import Grids
from linesim.works.yaml_tree import refused_at

__all__ = ["grids_in"]

_MOST_SHEETS = 100
_MOST_CELLS = 2_000_000


def grids_in(content: bytes, shown: str) -> Grids:
    """Return the cells of all sheets of a workbook.

    Parameters
    ----------
    content : bytes
        An .xlsx file, from anyone.
    shown : str
        What to call it in errors.

    Raises
    ------
    ScenarioError
        If it is no workbook, or one that linesim does not read.
    """
    copy = clean_copy(content, shown)
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(copy)) as book:
            return _grids(book, shown)
    except CalamineError as error:
        raise refused_at(shown, None, "this workbook cannot be read; one saved as .xlsx was expected") from error


def _grids(book: CalamineWorkbook, shown: str) -> Grids:
    """Return the cells of all sheets, if they are not too many."""
    titles = [sheet.name for sheet in book.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
    if len(titles) > _MOST_SHEETS:
        raise refused_at(shown, None, f"{len(titles)} sheets; at most {_MOST_SHEETS} were expected")
    grids: dict[str, Sequence[Sequence[Raw]]] = {}
    left = _MOST_CELLS
    for title in titles:
        sheet = book.get_sheet_by_name(title)
        left -= sheet.total_height * sheet.total_width
        if left < 0:
            raise refused_at(
                shown, None, f"the sheets reach over more than {_MOST_CELLS} cells; a scenario was expected"
            )
        grids[title] = sheet.to_python(skip_empty_area=False)
    return grids
