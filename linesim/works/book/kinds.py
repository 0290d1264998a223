"""Which kind of file a scenario stands in: a text in YAML or a workbook, by the ending of its name."""

from __future__ import annotations

from pathlib import PurePath

from linesim.errors import Problem
from linesim.works.book.reading import read_workbook
from linesim.works.nodes import Node
from linesim.works.reading import Allowance, read_content
from linesim.works.yaml_tree import refused_at

__all__ = ["ENDINGS", "WORKBOOK", "read_any"]

WORKBOOK = ".xlsx"
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
        return read_workbook(content, shown, problems)
    return read_content(content, shown, problems, allowance)
