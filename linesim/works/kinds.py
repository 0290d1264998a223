"""Which kind of file a scenario stands in: a text in YAML, a workbook or a routing sheet, by its name and content."""

from __future__ import annotations

from pathlib import PurePath

from linesim.errors import Problem
from linesim.works.book.reading import grids_in
from linesim.works.book.trees import tree_of
from linesim.works.nodes import Node, collected
from linesim.works.reading import Allowance, read_content
from linesim.works.shop.reading import grid_of_csv, is_routing_sheet, read_routing_sheet
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
    if ending == WORKBOOK or content.startswith(_PACKED):  # whatever the name has lost on the way
        grids = grids_in(content, shown)
        if is_routing_sheet(grids):
            return read_routing_sheet(grids, shown, problems)
        with collected(problems) as wrong:
            return tree_of(grids, shown, wrong)
    if ending == SEPARATED:
        return read_routing_sheet(grid_of_csv(content, shown), shown, problems)
    return read_content(content, shown, problems, allowance)
