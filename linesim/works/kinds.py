"""Which kind of file a scenario stands in: a text in YAML, a workbook or a routing sheet, by its name and content."""

from __future__ import annotations

from pathlib import PurePath

from linesim.errors import Problem
from linesim.works.nodes import Node, collected
from linesim.works.reading import Allowance, read_content
from linesim.works.yaml_tree import refused_at

__all__ = ["ENDINGS", "SEPARATED", "WORKBOOK", "read_any"]

WORKBOOK = ".xlsx"
SEPARATED = ".csv"
"""Of a routing sheet as comma-separated values."""
ENDINGS = (".yaml", ".yml", WORKBOOK)
"""Of files that may be extended."""

_PACKED = b"PK\x03\x04"
_OTHER_SHEETS = (".xls", ".xlsm", ".xlsb", ".xltx", ".xltm", ".ods", ".numbers")


def read_any(content: bytes, shown: str, problems: list[Problem] | None, allowance: Allowance) -> Node:
    """Read a scenario from the content of a file, whose size has been taken off already.

    Parameters
    ----------
    content : bytes
        Of the file.
    shown : str
        Its name; the ending says what it is, and one that says nothing stands for a text.
    problems : list of Problem or None
        Takes what is wrong with single values; raised here if None.
    allowance : Allowance
        What may still be read.

    Returns
    -------
    Node
        A group of entries from the top.

    Raises
    ------
    ScenarioError
        If it cannot be read as a scenario.
    """
    ending = PurePath(shown).suffix.lower()
    if ending in _OTHER_SHEETS:
        text = f"{ending} was found; a workbook saved as {WORKBOOK} was expected"
        raise refused_at(shown, None, text, f"Open it in a spreadsheet program and save it as {WORKBOOK}.")
    if ending in (WORKBOOK, SEPARATED) or content.startswith(_PACKED):  # whatever the name has lost on the way
        return _read_sheets(content, shown, problems, ending)
    return read_content(content, shown, problems, allowance)


def _read_sheets(content: bytes, shown: str, problems: list[Problem] | None, ending: str) -> Node:
    """Read a workbook or a routing sheet."""
    from linesim.works.book.reading import grids_in  # noqa: PLC0415 - most scenarios are texts, and do not wait for it
    from linesim.works.book.trees import tree_of  # noqa: PLC0415 - as above
    from linesim.works.shop.reading import grid_of_csv, is_routing_sheet, read_routing_sheet  # noqa: PLC0415 - as above

    if ending == SEPARATED and not content.startswith(_PACKED):
        return read_routing_sheet(grid_of_csv(content, shown), shown, problems)
    grids = grids_in(content, shown)
    if is_routing_sheet(grids):
        return read_routing_sheet(grids, shown, problems)
    with collected(problems) as wrong:
        return tree_of(grids, shown, wrong)
